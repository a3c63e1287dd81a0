package catalog

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
)

// Kind is the kind of a part: one per file of the catalog folder.
type Kind string

// The kinds of part.
const (
	KindConductor Kind = "conductor"
	KindFuse      Kind = "fuse"
	KindHolder    Kind = "holder"
	KindBlock     Kind = "block"
	KindTerminal  Kind = "terminal"
	KindSleeve    Kind = "sleeve"
	KindRelay     Kind = "relay"
	KindSundry    Kind = "sundry"
	KindEquipment Kind = "equipment"
	KindTool      Kind = "tool"
)

// Kinds lists every kind of part, in the order shown to people.
func Kinds() []Kind {
	return []Kind{KindConductor, KindFuse, KindHolder, KindBlock, KindTerminal, KindSleeve, KindRelay, KindSundry, KindEquipment, KindTool}
}

// SoldBy is the unit a part's price stands for.
type SoldBy string

// The units of sale.
const (
	Each    SoldBy = "each"
	ByMetre SoldBy = "metre"
	ByFoot  SoldBy = "foot"
	ByPack  SoldBy = "pack"
)

// SoldBys lists every unit of sale.
func SoldBys() []SoldBy { return []SoldBy{Each, ByMetre, ByFoot, ByPack} }

// Part is what every stocked part has, whatever its kind.
type Part struct {
	SKU         string
	Kind        Kind
	Description string
	Price       currency.Amount // to the customer, before tax, per SoldBy
	Cost        currency.Amount // to the shop; zero Amount where not entered
	HasCost     bool
	SoldBy      SoldBy
	PackQty     int // pieces in a pack, 1 where not sold by pack
	Supplier    string
	// Breaks is the lower prices of larger quantities, by quantity.
	Breaks []Break
	// Broken tells that a pack may be broken: its pieces are sold singly.
	Broken bool
	// UnitNano is the price of one piece or one metre in billionths of the
	// currency unit, rounded half up once: what selection compares.
	UnitNano int64
}

// Range is a span of conductor sizes, both ends included, compared by copper area.
type Range struct{ Min, Max quantity.Size }

// Conductor is a cable sold by length.
type Conductor struct {
	Part
	electrical.Conductor
	Colour        string               // e.g. "red", "black"
	OuterDiameter quantity.Millimetres // over the insulation
	// BundleDiameter is the diameter of the bare strand bundle, which a barrel
	// must admit.
	BundleDiameter quantity.Millimetres
}

// Fuse is an overcurrent device that goes into a holder (or, as a breaker, is one).
type Fuse struct {
	Part
	Family       electrical.Family
	Rating       quantity.Amps
	Voltage      quantity.Volts // highest DC system voltage
	Interrupting quantity.Amps  // DC, at Voltage or below as the family's table states
	// IgnitionProtected tells that it may be mounted where petrol vapour can gather.
	IgnitionProtected bool
	// Curve is the band of opening times: the family's, or by its maker's own gates.
	Curve       electrical.Curve
	CurveSource string // of its maker's gates; empty = the family's
}

// Rated gives what the rules need to know of the fuse.
func (f *Fuse) Rated() electrical.Fuse {
	return electrical.Fuse{Family: f.Family, Rating: f.Rating, Curve: f.Curve}
}

// Holder carries one fuse of a family in one circuit.
type Holder struct {
	Part
	Family    electrical.Family
	MinRating quantity.Amps // smallest fuse that belongs in it, 0 = no bound
	MaxRating quantity.Amps // largest fuse it may carry
	Landing   Landing       // what both its ends offer a conductor
	// PostHole is the hole that goes over the stud of a battery's post, where the
	// holder sits right on it and its source side needs no conductor; 0 elsewhere.
	PostHole quantity.Millimetres
	Sealed   bool // against spray: needed outside cabins
	// IgnitionProtected as for Fuse.
	IgnitionProtected bool
}

// OnPost tells that the holder sits on the battery's post.
func (h *Holder) OnPost() bool { return h.PostHole > 0 }

// Block distributes one feed to several ways, fused or plain.
type Block struct {
	Part
	Fused    bool
	Family   electrical.Family // of the ways' fuses, where fused
	Ways     int
	WayMax   quantity.Amps
	TotalMax quantity.Amps
	In, Out  Landing
	Sealed   bool
}

// Form is the shape of a terminal.
type Form string

// The forms of terminals.
const (
	Ring    Form = "ring"    // on a stud
	Ferrule Form = "ferrule" // in a set-screw
	PushOn  Form = "push_on" // on a flat blade
	Butt    Form = "butt"    // crimped in-line splice
)

// Forms lists every form.
func Forms() []Form { return []Form{Ring, Ferrule, PushOn, Butt} }

// Construction is how a terminal's barrel is made; it decides whether solder can be fed.
type Construction string

// The constructions.
const (
	OpenSeam     Construction = "open_seam"
	Window       Construction = "window" // brazed or drawn barrel with a sight hole
	ClosedBarrel Construction = "closed" // no seam or window that solder could enter
)

// Constructions lists every construction.
func Constructions() []Construction { return []Construction{OpenSeam, Window, ClosedBarrel} }

// Terminal is a ring, ferrule, push-on or butt connector.
type Terminal struct {
	Part
	Form         Form
	Takes        Range
	Stud         Stud                 // rings: the stud it is sold for
	Hole         quantity.Millimetres // rings: the hole's diameter
	TabWidth     quantity.Millimetres // push-ons: the blade's width
	BarrelInner  quantity.Millimetres
	BarrelOuter  quantity.Millimetres // uncrimped
	BarrelLength quantity.Millimetres
	Construction Construction
	Insulated    bool // pre-insulated; never soldered
	Tinned       bool
}

// Sleeve is heat-shrink tubing.
type Sleeve struct {
	Part
	Supplied  quantity.Millimetres // inner diameter as supplied, at least
	Recovered quantity.Millimetres // inner diameter fully recovered, at most
	Adhesive  bool
	// LengthLoss is the longitudinal change to plan for, in percent of the cut.
	LengthLoss quantity.Percent
	Colour     string
}

// Relay switches a load by a coil.
type Relay struct {
	Part
	Contact quantity.Amps
	Coil    quantity.Amps
	CoilV   quantity.Volts // nominal
	Landing Landing
	Sealed  bool
}

// Use is what a sundry is for.
type Use string

// The uses of sundries.
const (
	UseSolder    Use = "solder"
	UseFlux      Use = "flux"
	UseLoom      Use = "loom"
	UseGrommet   Use = "grommet"
	UseClamp     Use = "clamp"
	UseLabel     Use = "label"
	UseBoot      Use = "boot"
	UseWasher    Use = "star_washer"
	UseSealant   Use = "sealant"
	UseScrew     Use = "screw"
	UseHeatGuard Use = "heat_guard"
	UseSignal    Use = "signal_lead"
)

// Uses lists every use.
func Uses() []Use {
	return []Use{UseSolder, UseFlux, UseLoom, UseGrommet, UseClamp, UseLabel, UseBoot, UseWasher, UseSealant, UseScrew, UseHeatGuard, UseSignal}
}

// Sundry is a small part that goes with the work.
type Sundry struct {
	Part
	Use   Use
	Inner quantity.Millimetres // bore of loom, grommet, clamp or boot; 0 where it has none
}

// Equipment is a device that the shop sells, with its electrical data.
type Equipment struct {
	Part
	Device    electrical.DeviceKind
	Load      electrical.Load
	Surge     electrical.Surge
	MinVolts  quantity.Volts // 0 = not stated
	MakerFuse quantity.Amps  // 0 = not stated
	Positive  Landing
	Negative  Landing
	Converter Converter // zero for what is none
}

// Converter is what a converter gives at its output; the zero Converter is none.
type Converter struct {
	Nominal quantity.Volts // of what it feeds: 12, 24 or 48 V
	Output  quantity.Volts // 0 = not stated
	Rated   quantity.Amps  // for good
	Limit   quantity.Amps  // the most into a short, 0 = not stated
}

// Given tells that there is a converter.
func (c Converter) Given() bool { return c != Converter{} }

// Tool makes crimps on a range of conductors.
type Tool struct {
	Part
	Forms  []Form
	Takes  Range
	Sort   ToolSort
	Dies   string // how its dies are marked, for people
	Repeat bool   // gives the same crimp in any hands (ratchet, hydraulic die)
}

// ToolSort is the working principle of a tool.
type ToolSort string

// The sorts of tool.
const (
	Ratchet   ToolSort = "ratchet"
	Hydraulic ToolSort = "hydraulic"
	HandTool  ToolSort = "hand" // the result depends on the hand
)

// ToolSorts lists every sort of tool.
func ToolSorts() []ToolSort { return []ToolSort{Ratchet, Hydraulic, HandTool} }
