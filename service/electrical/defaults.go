package electrical

import "example.com/lugbook/api/quantity"

// Defaults holds every figure that the rules take when the job states none. A
// shop may override single figures in its shop.yaml within the bounds that
// Check allows. The zero Defaults is not useful: start from Standard.
type Defaults struct {
	Volts12 SourceVolts `yaml:"volts_12"`
	Volts24 SourceVolts `yaml:"volts_24"`
	Volts48 SourceVolts `yaml:"volts_48"`

	// Voltage drop, in percent of nominal.
	DropCritical   quantity.Percent `yaml:"drop_critical_percent"`
	DropMotor      quantity.Percent `yaml:"drop_motor_percent"`
	DropGeneral    quantity.Percent `yaml:"drop_general_percent"`
	DropTotalExtra quantity.Percent `yaml:"drop_total_extra_percent"`
	DropEngineOff  quantity.Percent `yaml:"drop_engine_off_percent"`

	// LoadShare is the part of a fuse's rating that a lasting load may take.
	LoadShare float64 `yaml:"fuse_load_share"`

	// Ambient temperature by environment, for conductors.
	AmbientCabin       quantity.Celsius `yaml:"ambient_cabin_c"`
	AmbientEngineSpace quantity.Celsius `yaml:"ambient_engine_space_c"`
	AmbientExposed     quantity.Celsius `yaml:"ambient_exposed_c"`
	AmbientUnderbody   quantity.Celsius `yaml:"ambient_underbody_c"`
	AmbientWetLocker   quantity.Celsius `yaml:"ambient_wet_locker_c"`
	// HolderEngineSpace is the ambient of a fuse holder under a bonnet.
	HolderEngineSpace quantity.Celsius `yaml:"holder_engine_space_c"`

	// Return over the body: allowance for body and straps together, and limit.
	ChassisSteel     quantity.Ohms `yaml:"chassis_steel_ohm"`
	ChassisAluminium quantity.Ohms `yaml:"chassis_aluminium_ohm"`
	ChassisFrame     quantity.Ohms `yaml:"chassis_frame_ohm"`
	ChassisMax       quantity.Amps `yaml:"chassis_max_a"`

	// Placement of the first overcurrent device, along the cable from the battery.
	PlaceRoad  quantity.Metres `yaml:"fuse_distance_m"`
	PlaceClose quantity.Metres `yaml:"fuse_distance_close_m"`

	// GoverningSection is the shortest hot section that governs a whole run.
	GoverningSection quantity.Metres `yaml:"governing_section_m"`
	// UnfusedTail is the longest tail thinner than its fuse protects.
	UnfusedTail quantity.Metres `yaml:"unfused_tail_m"`

	// NewInsulation is assumed where a question names no cable.
	NewInsulation quantity.Celsius `yaml:"insulation_new_c"`
}

// SourceVolts are the volts a source gives at one nominal voltage.
type SourceVolts struct {
	Running   quantity.Volts `yaml:"running"`    // engine running
	EngineOff quantity.Volts `yaml:"engine_off"` // rested lead-acid
	Lithium   quantity.Volts `yaml:"lithium"`    // rested lithium
	Low       quantity.Volts `yaml:"low"`        // low battery, for the heating check
	Highest   quantity.Volts `yaml:"highest"`    // for the voltage rating of fuses
}

// Standard gives the defaults of the project. Figures without a named source
// are common practice, no source.
func Standard() Defaults {
	return Defaults{
		// Resting volts: 2.1 V per lead-acid cell as printed by battery makers.
		Volts12: SourceVolts{Running: 13.8, EngineOff: 12.6, Lithium: 12.8, Low: 11.0, Highest: 15},
		Volts24: SourceVolts{Running: 27.6, EngineOff: 25.2, Lithium: 25.6, Low: 22.0, Highest: 30},
		Volts48: SourceVolts{Running: 55.2, EngineOff: 50.4, Lithium: 51.2, Low: 44.0, Highest: 60},

		DropCritical:   3,  // ABYC practice for feeders, electronics and the like
		DropMotor:      5,  // a maker's rigging table for trolling motors is built on it
		DropGeneral:    10, // ABYC practice where drop is not critical
		DropTotalExtra: 2,
		DropEngineOff:  10,

		LoadShare: 0.8, // makers' catalogues: load at most 80 % of the rating

		AmbientCabin:       30,
		AmbientEngineSpace: 50, // 33 CFR 183.425 Table 5 note 1
		AmbientExposed:     40,
		AmbientUnderbody:   50,
		AmbientWetLocker:   30,
		HolderEngineSpace:  65,

		ChassisSteel:     1.0 * quantity.Milliohm,
		ChassisAluminium: 0.5 * quantity.Milliohm,
		ChassisFrame:     2.0 * quantity.Milliohm,
		ChassisMax:       150,

		PlaceRoad:  0.45,
		PlaceClose: 0.18,

		GoverningSection: 0.3,
		UnfusedTail:      0.18, // 33 CFR 183.425(g): pigtails under 7 in

		NewInsulation: 105, // the 33 CFR column most hook-up cable is sold to
	}
}
