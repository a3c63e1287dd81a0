package electrical

import (
	"fmt"
	"math"

	"example.com/lugbook/api/quantity"
)

// SourceAt gives the source volts of a nominal voltage: 12, 24 or 48 V.
func (d Defaults) SourceAt(nominal quantity.Volts) (SourceVolts, error) {
	switch nominal {
	case 12:
		return d.Volts12, nil
	case 24:
		return d.Volts24, nil
	case 48:
		return d.Volts48, nil
	default:
		return SourceVolts{}, fmt.Errorf("nominal voltage %v V is not 12, 24 or 48 V", float64(nominal))
	}
}

// RestVolts gives the source's volts with the engine off.
func (v SourceVolts) RestVolts(c Chemistry) quantity.Volts {
	if c == Lithium {
		return v.Lithium
	}
	return v.EngineOff
}

// DropLimit gives the share of nominal that the conductors of a class may lose,
// engine running (ABYC practice: 3 % critical, 10 % general; 5 % motors).
func (d Defaults) DropLimit(c DropClass) quantity.Percent {
	switch c {
	case General:
		return d.DropGeneral
	case MotorDrop:
		return d.DropMotor
	default:
		return d.DropCritical
	}
}

// Ambient gives the ambient temperature assumed of an environment.
func (d Defaults) Ambient(e Environment) quantity.Celsius {
	switch e {
	case EngineSpace:
		return d.AmbientEngineSpace
	case Exposed:
		return d.AmbientExposed
	case Underbody:
		return d.AmbientUnderbody
	case WetLocker:
		return d.AmbientWetLocker
	default:
		return d.AmbientCabin
	}
}

// SurroundingsOf gives the surroundings of a run in an environment whose
// ambient nobody stated. An engine space takes the factor of 33 CFR note 1.
func (d Defaults) SurroundingsOf(e Environment, bundled int) Surroundings {
	if e == EngineSpace && d.AmbientEngineSpace == engineSpaceAmbient {
		return Surroundings{EngineSpace: true, Bundled: bundled}
	}
	return Surroundings{Ambient: d.Ambient(e), HasAmbient: true, Bundled: bundled}
}

// HolderAmbient gives the ambient temperature of a fuse holder in an environment.
func (d Defaults) HolderAmbient(e Environment) quantity.Celsius {
	if e == EngineSpace {
		return d.HolderEngineSpace
	}
	return d.Ambient(e)
}

// bound is the safe span of one default; a shop may not leave it.
type bound struct {
	name      string
	value     float64
	low, high float64
}

// Check tells which overridden default lies outside the span in which the rules
// stay safe; nil when all is well.
func (d Defaults) Check() error {
	bounds := []bound{
		{"drop_critical_percent", float64(d.DropCritical), 0.5, 5},
		{"drop_motor_percent", float64(d.DropMotor), 0.5, 7},
		{"drop_general_percent", float64(d.DropGeneral), 0.5, 10},
		{"drop_total_extra_percent", float64(d.DropTotalExtra), 0, 3},
		{"drop_engine_off_percent", float64(d.DropEngineOff), 1, 12},
		{"fuse_load_share", d.LoadShare, 0.5, 0.8},
		{"ambient_cabin_c", float64(d.AmbientCabin), 20, 60},
		{"ambient_engine_space_c", float64(d.AmbientEngineSpace), 50, 100},
		{"ambient_exposed_c", float64(d.AmbientExposed), 30, 70},
		{"ambient_underbody_c", float64(d.AmbientUnderbody), 40, 90},
		{"ambient_wet_locker_c", float64(d.AmbientWetLocker), 20, 60},
		{"holder_engine_space_c", float64(d.HolderEngineSpace), 50, 100},
		{"chassis_steel_ohm", float64(d.ChassisSteel), 0.0005, 0.02},
		{"chassis_aluminium_ohm", float64(d.ChassisAluminium), 0.0005, 0.02},
		{"chassis_frame_ohm", float64(d.ChassisFrame), 0.001, 0.02},
		{"chassis_max_a", float64(d.ChassisMax), 0, 150},
		{"fuse_distance_m", float64(d.PlaceRoad), 0.05, 0.45},
		{"fuse_distance_close_m", float64(d.PlaceClose), 0.05, 0.2},
		{"governing_section_m", float64(d.GoverningSection), 0, 0.3},
		{"unfused_tail_m", float64(d.UnfusedTail), 0, 0.18},
		{"insulation_new_c", float64(d.NewInsulation), 60, 105},
	}
	for _, v := range []struct {
		name    string
		nominal float64
		volts   SourceVolts
	}{{"volts_12", 12, d.Volts12}, {"volts_24", 24, d.Volts24}, {"volts_48", 48, d.Volts48}} {
		bounds = append(bounds,
			bound{v.name + ".running", float64(v.volts.Running), v.nominal, v.nominal * 1.25},
			bound{v.name + ".engine_off", float64(v.volts.EngineOff), v.nominal * 0.9, v.nominal * 1.1},
			bound{v.name + ".lithium", float64(v.volts.Lithium), v.nominal * 0.9, v.nominal * 1.15},
			bound{v.name + ".low", float64(v.volts.Low), v.nominal * 0.8, v.nominal},
			bound{v.name + ".highest", float64(v.volts.Highest), v.nominal * 1.2, v.nominal * 1.4},
		)
	}
	for _, b := range bounds {
		if math.IsNaN(b.value) || b.value < b.low || b.value > b.high {
			return fmt.Errorf("rules.%s is %v; allowed: %v to %v", b.name, b.value, b.low, b.high)
		}
	}
	return nil
}
