package electrical

import (
	"math"
	"time"

	"example.com/lugbook/api/quantity"
)

// ShortTimeLimit is the longest time on that counts as a short-time load.
const ShortTimeLimit = time.Minute

// ShortTime tells that the duty is a short-time load: on for a minute at most,
// with a stated rest.
func (d Duty) ShortTime() bool {
	return d.Kind == Intermittent && d.On > 0 && d.On <= ShortTimeLimit && d.Off > 0
}

// Heating gives the current that heats a conductor as much as the duty does.
//
//	Irms = I·√(on/(on + off))   for a short-time load; I otherwise
func (d Duty) Heating(i quantity.Amps) quantity.Amps {
	if !d.ShortTime() {
		return i
	}
	return i * quantity.Amps(math.Sqrt(float64(d.On)/(float64(d.On)+float64(d.Off))))
}

// Heat capacities in J/(K·m³): IEC 60949. Copper-clad aluminium is nine tenths
// aluminium and is counted as aluminium, which warms faster (from memory).
const (
	copperHeat    = 3.45e6
	aluminiumHeat = 2.5e6
)

// AdiabaticRise gives how far a conductor warms when a current flows for a time
// and no heat leaves it: ΔT = I²·R'(Tins)·t / (c·A). R' is taken at the
// insulation's rating, the unfavourable end; c is 3.45e6 J/(K·m³) for copper and
// 2.5e6 for copper-clad aluminium, IEC 60949.
func AdiabaticRise(c Conductor, i quantity.Amps, on time.Duration) quantity.Celsius {
	heat := float64(i.Heating(c.ResistancePerMetre(c.Rating))) * on.Seconds()
	return quantity.Celsius(heat / c.heatCapacity())
}

// heatCapacity gives the heat that warms a metre of the conductor by one kelvin, in
// J/(K·m).
func (c Conductor) heatCapacity() float64 {
	capacity := copperHeat
	if c.Material == CopperClad {
		capacity = aluminiumHeat
	}
	return capacity * float64(c.CopperArea()) * 1e-6
}

// ShortTimePeak gives the temperature at the end of one time on, starting from
// where the duty's mean heating holds the conductor.
func ShortTimePeak(c Conductor, ambient quantity.Celsius, d Duty, i, ampacity quantity.Amps) quantity.Celsius {
	return Temperature(ambient, c.Rating, d.Heating(i), ampacity) + AdiabaticRise(c, i, d.On)
}

// FuseOverAmpacity gives how far above a conductor's ampacity the fuse of a
// short-time motor may be: 1.5 on boats (33 CFR 183.455(c)(1), below 50 V), 2.5
// on the road (common practice, no source). The far-end fault must still be cleared.
func FuseOverAmpacity(c Category) float64 {
	if c == Boat {
		return 1.5
	}
	return 2.5
}
