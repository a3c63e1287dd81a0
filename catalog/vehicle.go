package catalog

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Vehicle is what is wired: batteries, charging, zones and the routes between them.
type Vehicle struct {
	ID, Label    string
	Category     electrical.Category
	Nominal      quantity.Volts // 12, 24 or 48
	Batteries    []Battery      // the first is the default source
	Links        []Link
	Charging     Charging
	StandingLoad quantity.Amps // the vehicle's own load, engine running
	HasStanding  bool          // it is stated; else it goes by category
	Zones        []Zone
	Routes       []Route
	Fuel         Fuel
	Sensor       bool // a current sensor on the negative post of the battery it starts from
	Body         Body
	OutboardOnly bool
}

// Battery is one bank; its figures are for the whole bank at its voltage.
type Battery struct {
	ID           string
	Chemistry    electrical.Chemistry
	Capacity     quantity.AmpHours
	ColdCranking quantity.Amps // 0 = not stated
	Internal     quantity.Ohms // 0 = not stated
	ShortCircuit quantity.Amps // 0 = not stated
	Zone         string
	Stud         Stud
	Count        int
	Role         Role
}

// SensorAt tells that the vehicle's current sensor sits on a battery: on any but one
// that only feeds the house.
func (v *Vehicle) SensorAt(b *Battery) bool { return v.Sensor && b.Role != House }

// Role is what a battery is for.
type Role string

// The roles.
const (
	Starting Role = "starting"
	House    Role = "house"
	Both     Role = "both"
)

// Roles lists every role.
func Roles() []Role { return []Role{Starting, House, Both} }

// Link joins two batteries, or a charging source and a battery.
type Link struct {
	ID, Label    string
	From, To     string
	Kind         LinkKind
	Rated        quantity.Amps
	EquipmentSKU string // sold with it; empty = none
}

// LinkKind is the sort of a link.
type LinkKind string

// The kinds of link.
const (
	SplitRelay   LinkKind = "split_relay"
	DCDCCharger  LinkKind = "dc_dc_charger"
	ShoreCharger LinkKind = "shore_charger"
	Solar        LinkKind = "solar"
	Parallel     LinkKind = "parallel"
)

// LinkKinds lists every kind of link.
func LinkKinds() []LinkKind {
	return []LinkKind{SplitRelay, DCDCCharger, ShoreCharger, Solar, Parallel}
}

// Charging is the vehicle's own charging source.
type Charging struct {
	Kind        ChargingKind
	Rated       quantity.Amps
	IdleShare   float64        // of Rated, 0 = default by category
	CruiseShare float64        // of Rated, 0 = default by category
	RunningV    quantity.Volts // 0 = default by nominal
}

// ChargingKind is the sort of charging source.
type ChargingKind string

// The kinds of charging source.
const (
	Alternator ChargingKind = "alternator"
	Stator     ChargingKind = "stator"
	DCDC       ChargingKind = "dc_dc"
	NoCharging ChargingKind = "none"
)

// ChargingKinds lists every kind of charging source.
func ChargingKinds() []ChargingKind { return []ChargingKind{Alternator, Stator, DCDC, NoCharging} }

// Zone is a part of the vehicle with one environment.
type Zone struct {
	ID, Label     string
	Environment   electrical.Environment
	Ambient       quantity.Celsius // where HasAmbient
	HasAmbient    bool
	ChassisGround bool // there is sound bare metal to return to
	GroundStud    Stud
	Vapour        bool            // petrol or gas vapour can gather
	Restraints    bool            // airbag or belt-tensioner connectors near
	Reach         quantity.Metres // run length inside the zone, 1 m by default
	HasReach      bool
	Controls      bool // the driver's controls, head unit and switches are here
	Removable     bool // drawer, saddlebag, top case: needs a longer service loop
}

// Route is a way for cable between two zones.
type Route struct {
	From, To    string
	Length      quantity.Metres
	Environment electrical.Environment
	Grommets    int
	BundledWith int      // loaded conductors already there
	Access      []string // labour operations that open it, once per job
}

// Fuel is what the engine burns.
type Fuel string

// The fuels.
const (
	Petrol   Fuel = "petrol"
	Diesel   Fuel = "diesel"
	Gas      Fuel = "gas"
	Electric Fuel = "electric"
	NoFuel   Fuel = "none"
)

// Fuels lists every fuel.
func Fuels() []Fuel { return []Fuel{Petrol, Diesel, Gas, Electric, NoFuel} }

// Body is what the vehicle's body is made of.
type Body string

// The body materials.
const (
	Steel      Body = "steel"
	Aluminium  Body = "aluminium"
	GlassFibre Body = "glass_fibre"
	Wood       Body = "wood"
	NoBody     Body = "none"
)

// Bodies lists every body material.
func Bodies() []Body { return []Body{Steel, Aluminium, GlassFibre, Wood, NoBody} }
