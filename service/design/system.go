package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// System is what is to be fed.
type System struct {
	Devices []Device
	// Growth is how much more the trunks are to carry later; single feeds ignore it.
	Growth quantity.Percent
	Layout Layout // empty = AutoLayout
	// RouteAllowance is added to route lengths that nobody measured; nil = the shop's.
	RouteAllowance *quantity.Percent
	Leads          []Lead
	Links          []catalog.Link // installed by this job
}

// Device is one piece of equipment, or a group of equal ones.
type Device struct {
	ID, Label    string
	Kind         electrical.DeviceKind
	EquipmentSKU string // fills in what the job does not state
	Zone         string
	Quantity     int    // 0 counts as 1
	FedFrom      string // id of a battery, or of a device that is a converter; empty = the vehicle's first battery
	Load         electrical.Load
	Duty         electrical.Duty // zero = usual for the kind
	Surge        electrical.Surge
	MinVolts     quantity.Volts   // 0 = not stated
	MaxDrop      quantity.Percent // of nominal, conductors; where HasMaxDrop
	HasMaxDrop   bool
	DropClass    electrical.DropClass // empty = by kind
	Maker        Maker
	// CustomerSupplied: the customer brings it; it is not sold.
	CustomerSupplied bool
	Measured         quantity.Metres // feed length one way as measured on the vehicle; where HasMeasured
	HasMeasured      bool
	Switched         bool
	Nominal          quantity.Volts    // the device's own, 0 = that of what feeds it
	Converter        catalog.Converter // what it gives, where it is one
	NoLeads          bool              // an amplifier that gets no leads by default
	UsedEngineOff    *bool             // nil = by kind
	link             catalog.LinkKind  // of a circuit that is a link, else empty
	farBattery       string            // the battery at the far end of a link
	side             Side              // of a DC-DC charger
	asked            string            // the id it was asked for by, where a quantity made several of one
}

// Maker is what the device's maker demands. It wins over the rules.
type Maker struct {
	Fuse            quantity.Amps   // 0 = not stated
	ConductorMin    quantity.Size   // zero = not stated
	TerminalMax     quantity.Size   // zero = not stated
	Positive        catalog.Landing // zero Kind = not stated
	Negative        catalog.Landing
	ReturnToBattery bool
	Manual          string
}

// bankOf gives what the rules need to know of a battery of the vehicle.
func bankOf(v *catalog.Vehicle, b *catalog.Battery) electrical.Bank {
	return electrical.Bank{Chemistry: b.Chemistry, Nominal: v.Nominal, Capacity: b.Capacity,
		ColdCranking: b.ColdCranking, Internal: b.Internal, ShortCircuit: b.ShortCircuit}
}
