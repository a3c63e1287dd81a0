package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// RulesVersion names the rules that made a design. It changes whenever a figure
// of any design could.
const RulesVersion = "2026.2"

// Design is the sized answer.
type Design struct {
	// Circuits holds a trunk before the branches that it feeds.
	Circuits []Circuit
	Leads    []LeadPlan
	// Straps let the body carry all that returns over it; nil where it does without.
	Straps *Circuit
	Blocks []BlockUse
	Layout Layout
	// Crowded tells that a battery post bears more terminals than it should, because
	// no arrangement avoids it.
	Crowded bool
	// Alternatives are the best of the layouts turned down, cheapest first; theirs
	// have none.
	Alternatives []Alternative
	Charging     Charging
	Conflicts    []Conflict
	Advice       []Advice
	Notes        []Note
	Assumptions  []electrical.Reason
	// Work of the whole job that belongs to no single circuit: access, battery,
	// passes, the test of the system.
	Work []catalog.Work
	// Sundries of the whole job.
	Sundries []Material
}

// Layout is how devices are fed.
type Layout string

// The layouts. Mixed is a result: trunks in some zones, single feeds elsewhere.
const (
	AutoLayout  Layout = "auto"
	SingleFeeds Layout = "single"
	TrunkFeeds  Layout = "trunk"
	MixedLayout Layout = "mixed"
)

// LayoutChoices lists the layouts that may be asked for.
func LayoutChoices() []Layout { return []Layout{AutoLayout, SingleFeeds, TrunkFeeds} }

// Alternative is a layout that was turned down.
type Alternative struct {
	Design *Design
	// Differences says zone by zone what it does otherwise.
	Differences []electrical.Reason
}

// BlockUse is a block or bus of the design, with where it sits and what feeds it.
type BlockUse struct {
	ID, Zone string
	Part     *catalog.Block
	FedBy    string // id of the trunk
	Ways     int    // in use
}

// Circuit is one feed with its protection and return: a single feed, a trunk, or
// a branch of a trunk.
type Circuit struct {
	ID, Label string
	Kind      CircuitKind
	DeviceIDs []string // a trunk: all that it feeds
	FedFrom   string   // id of the battery or converter; a branch: the trunk's id
	Zone      string   // a trunk: the zone of its block
	Part      int      // a trunk: which of the zone's, from 1
	Side      Side     // a DC-DC charger's
	Routes    []int    // indexes of the vehicle's routes that its cables take
	// Load is the current that conductor and fuse are rated for; Peak the most
	// that is drawn at once.
	Load, Peak quantity.Amps
	Protection Overcurrent
	// FarProtection is the second fuse of a link between batteries; nil elsewhere.
	FarProtection *Overcurrent
	Relay         *RelayUse // nil without one
	Runs          []Run
	Running       VoltageCheck
	EngineOff     *VoltageCheck // nil where it is not judged
	// Short is what a dead short at the far end does.
	Short electrical.FarEndVerdict
	// Selectivity is whether a branch's fuse opens before the main; nil elsewhere.
	Selectivity *electrical.Selectivity
	// Nodes are the real volts of the circuit: at the device, or at a trunk's block.
	Nodes    []Node
	Reasons  []electrical.Reason
	Work     []catalog.Work // mounting, pulling, labels, test; ends carry their own
	Sundries []Material
	// Devices to sell and fit.
	Equipment []Supply
}

// CircuitKind tells single feeds, trunks and branches apart.
type CircuitKind string

// The kinds of circuit.
const (
	SingleCircuit CircuitKind = "single"
	TrunkCircuit  CircuitKind = "trunk"
	BranchCircuit CircuitKind = "branch"
	LeadCircuit   CircuitKind = "lead"
	StrapCircuit  CircuitKind = "strap"
)

// Supply is a device that the job fits.
type Supply struct {
	DeviceID string
	Part     *catalog.Equipment // nil where the customer brings it or it is not from the catalog
	Label    string
	Count    int
}

// Material is a sundry in a quantity: pieces, or millimetres of what is sold by length.
type Material struct {
	Sundry *catalog.Sundry
	Milli  int64 // thousandths of a piece, or millimetres
}

// Polarity is which side of the circuit a run is on.
type Polarity string

// The polarities.
const (
	Feed   Polarity = "feed"
	Return Polarity = "return"
	Link   Polarity = "link"
)

// Run is one length of one conductor between two ends.
type Run struct {
	ID          string
	From, To    Point
	Polarity    Polarity
	Length      quantity.Metres // to cut, before waste
	Conductor   *catalog.Conductor
	Current     quantity.Amps
	Ampacity    quantity.Amps
	Resistance  quantity.Ohms // at its temperature under load
	Drop        quantity.Volts
	Temperature quantity.Celsius
	Environment electrical.Environment // the one that governs
	Ends        [2]End
	Reasons     []electrical.Reason
}

// Point is where a run begins or ends.
type Point struct {
	Kind PointKind
	ID   string // of the battery, device or zone
}

// PointKind is the sort of a point.
type PointKind string

// The points.
const (
	AtBatteryPositive   PointKind = "battery_positive"
	AtBatteryNegative   PointKind = "battery_negative"
	AtConverterPositive PointKind = "converter_positive"
	AtConverterNegative PointKind = "converter_negative"
	AtFuseHolder        PointKind = "fuse_holder"
	AtDevicePositive    PointKind = "device_positive"
	AtDeviceNegative    PointKind = "device_negative"
	AtChassis           PointKind = "chassis"
	AtSensor            PointKind = "sensor_chassis_side"
	AtEngine            PointKind = "engine_block" // ID is the zone's
	AtRelay             PointKind = "relay"
	AtFarFuse           PointKind = "far_fuse"
	AtRelayCoil         PointKind = "relay_coil"
	AtDeviceTrigger     PointKind = "device_trigger"
	AtDeviceSpeaker     PointKind = "device_speaker"
	AtSpeaker           PointKind = "speaker"  // ID is the zone's
	AtControls          PointKind = "controls" // ID is the zone's
	AtSwitch            PointKind = "switch"   // ID is the zone's
	AtBlock             PointKind = "block"    // ID is the zone's
	AtBus               PointKind = "bus"      // ID is the zone's
)

// End is one end of a run.
type End struct {
	Landing catalog.Landing
	Plan    termination.Plan
}

// Overcurrent is the fuse of a circuit, its holder and where it sits.
type Overcurrent struct {
	Fuse         *catalog.Fuse
	Holder       *catalog.Holder // nil for a fuse in a block
	Block        *catalog.Block  // nil for a fuse in a holder of its own
	Distance     quantity.Metres // from the battery or converter, along the cable, at most
	ByConverter  bool            // that is a converter
	Interrupting quantity.Amps
	Prospective  quantity.Amps
	Zone         string
	Reasons      []electrical.Reason
}

// VoltageCheck is the drop of a circuit beside its limits.
type VoltageCheck struct {
	Source, Device        quantity.Volts
	Drop                  quantity.Volts
	DropPercent           quantity.Percent
	LimitPercent          quantity.Percent
	ConductorDrop         quantity.Volts
	ConductorLimitPercent quantity.Percent
	Pass                  bool
}

// Conflict is where the maker's figures and the rules do not agree. It is
// reported, never silently solved.
type Conflict struct {
	DeviceID string
	Code     string
	Figures  []electrical.Figure
}

// Advice is something worth saying that rejects nothing.
type Advice struct {
	Code    string
	At      string
	Figures []electrical.Figure
}

// Severity ranks notes and findings.
type Severity string

// The severities.
const (
	Danger     Severity = "danger"
	Fault      Severity = "fault"
	AdviceOnly Severity = "advice"
)

// Note is a caution with the fact that called for it.
type Note struct {
	Code     string
	Severity Severity
	Because  electrical.Reason
}
