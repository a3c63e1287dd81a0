package electrical

// Material is what a conductor's strands are made of.
type Material string

// The conductor materials.
const (
	Copper           Material = "copper"
	TinnedCopper     Material = "tinned_copper"
	CopperClad       Material = "copper_clad_aluminium" // ASTM B566 class 10A
	MaterialUnstated Material = ""
)

// Materials lists every material, in the order shown to people.
func Materials() []Material { return []Material{Copper, TinnedCopper, CopperClad} }

// Insulation is the sort of a conductor's insulation.
type Insulation string

// The insulation sorts.
const (
	PVC                Insulation = "pvc"
	CrossLinked        Insulation = "cross_linked"
	Silicone           Insulation = "silicone"
	Rubber             Insulation = "rubber"
	InsulationUnstated Insulation = ""
)

// Insulations lists every insulation sort, in the order shown to people.
func Insulations() []Insulation { return []Insulation{PVC, CrossLinked, Silicone, Rubber} }

// Environment is where in or on the vehicle something lies.
type Environment string

// The environments.
const (
	Cabin       Environment = "cabin"
	EngineSpace Environment = "engine_space"
	Exposed     Environment = "exposed"
	Underbody   Environment = "underbody"
	WetLocker   Environment = "wet_locker"
)

// Environments lists every environment, in the order shown to people.
func Environments() []Environment {
	return []Environment{Cabin, EngineSpace, Exposed, Underbody, WetLocker}
}

// Category is the kind of vehicle; several rules and habits depend on it.
type Category string

// The vehicle categories.
const (
	Motorcycle   Category = "motorcycle"
	Car          Category = "car"
	Van          Category = "van"
	Truck        Category = "truck"
	SideBySide   Category = "side_by_side"
	Boat         Category = "boat"
	Trailer      Category = "trailer"
	OtherVehicle Category = "other"
)

// Categories lists every category, in the order shown to people.
func Categories() []Category {
	return []Category{Motorcycle, Car, Van, Truck, SideBySide, Boat, Trailer, OtherVehicle}
}

// Chemistry is a battery's chemistry.
type Chemistry string

// The battery chemistries. Lithium is lithium iron phosphate as sold for vehicles.
const (
	Flooded Chemistry = "flooded"
	AGM     Chemistry = "agm"
	Gel     Chemistry = "gel"
	Lithium Chemistry = "lithium"
)

// Chemistries lists every chemistry, in the order shown to people.
func Chemistries() []Chemistry { return []Chemistry{Flooded, AGM, Gel, Lithium} }

// Family is a family of overcurrent devices.
type Family string

// The families. The standards' type is named in the table fuse_families.csv.
const (
	Blade         Family = "blade"      // ISO 8820-3 type C
	Mini          Family = "mini"       // ISO 8820-3 type F
	Micro         Family = "micro"      // two-blade micro
	Maxi          Family = "maxi"       // ISO 8820-3 type E
	BoltSmall     Family = "bolt_small" // ISO 8820-5 SF30
	BoltLarge     Family = "bolt_large" // ISO 8820-5 SF51
	MiniANL       Family = "mini_anl"
	ANL           Family = "anl"
	TerminalMount Family = "terminal_mount" // SAE J1171, on the battery post
	ClassT        Family = "class_t"        // UL 248-15
	Glass         Family = "glass"          // UL 248-14 supplementary
	Breaker       Family = "breaker"        // SAE J553 type III, manual reset
)

// Families lists every family, in the order shown to people.
func Families() []Family {
	return []Family{Blade, Mini, Micro, Maxi, BoltSmall, BoltLarge, MiniANL, ANL, TerminalMount, ClassT, Glass, Breaker}
}

// DropClass is how much voltage drop a device bears.
type DropClass string

// The drop classes: 3 %, 5 % and 10 % of nominal in the conductors (ABYC practice).
const (
	Critical  DropClass = "critical"
	MotorDrop DropClass = "motor"
	General   DropClass = "general"
)

// DropClasses lists every drop class, strictest first.
func DropClasses() []DropClass { return []DropClass{Critical, MotorDrop, General} }

// Behaviour is how a load's current answers to the voltage it gets.
type Behaviour string

// The behaviours.
const (
	Resistive       Behaviour = "resistive"        // I proportional to V
	ConstantCurrent Behaviour = "constant_current" // I independent of V
	ConstantPower   Behaviour = "constant_power"   // I = P/V
)

// Behaviours lists every behaviour.
func Behaviours() []Behaviour { return []Behaviour{Resistive, ConstantCurrent, ConstantPower} }

// DeviceKind is the kind of equipment fed.
type DeviceKind string

// The device kinds.
const (
	Amplifier     DeviceKind = "amplifier"
	HeadUnit      DeviceKind = "head_unit"
	Light         DeviceKind = "light"
	Fan           DeviceKind = "fan"
	Pump          DeviceKind = "pump"
	Refrigerator  DeviceKind = "refrigerator"
	Inverter      DeviceKind = "inverter"
	Charger       DeviceKind = "charger"
	USBCharger    DeviceKind = "usb_charger"
	Heater        DeviceKind = "heater"
	Motor         DeviceKind = "motor"
	TrollingMotor DeviceKind = "trolling_motor"
	Winch         DeviceKind = "winch"
	Windlass      DeviceKind = "windlass"
	Compressor    DeviceKind = "compressor"
	Radio         DeviceKind = "radio"
	Navigation    DeviceKind = "navigation"
	HeatedGear    DeviceKind = "heated_gear"
	Horn          DeviceKind = "horn"
	Socket        DeviceKind = "socket"
	OtherDevice   DeviceKind = "other"
)

// DeviceKinds lists every device kind, in the order shown to people.
func DeviceKinds() []DeviceKind {
	return []DeviceKind{Amplifier, HeadUnit, Light, Fan, Pump, Refrigerator, Inverter, Charger, USBCharger, Heater, Motor,
		TrollingMotor, Winch, Windlass, Compressor, Radio, Navigation, HeatedGear, Horn, Socket, OtherDevice}
}

// AmplifierClass is the output stage of an audio amplifier.
type AmplifierClass string

// The amplifier classes.
const (
	ClassA       AmplifierClass = "a"
	ClassAB      AmplifierClass = "ab"
	ClassD       AmplifierClass = "d"
	ClassGOrH    AmplifierClass = "gh"
	ClassUnknown AmplifierClass = ""
)

// AmplifierClasses lists every stated class.
func AmplifierClasses() []AmplifierClass {
	return []AmplifierClass{ClassA, ClassAB, ClassD, ClassGOrH}
}
