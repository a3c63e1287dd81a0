package electrical

import (
	"math"
	"time"

	"example.com/lugbook/api/quantity"
)

// Constants of the adiabatic rule, IEC 60364-5-54 annex A after IEC 60949 (the
// copper formula from memory; it gives the published 115 and 143).
const (
	copperK, copperBeta       = 226.0, 234.5
	aluminiumK, aluminiumBeta = 148.0, 228.0
)

// softFinal is the highest conductor temperature in a short circuit for PVC and
// for any circuit with a soldered joint: IEC 60364-5-54 (PVC).
const softFinal quantity.Celsius = 160

// adiabaticLimit is the longest time for which no heat is taken to leave the
// conductor: IEC 60364-4-43 clause 434.5.2, from memory.
const adiabaticLimit = 5 * time.Second

// AdiabaticK gives the k of a conductor between two temperatures, in A·√s/mm².
//
//	k = K·√ln(1 + (Tf − Ti)/(β + Ti))
//
// Copper: K 226, β 234.5; copper-clad aluminium as aluminium: K 148, β 228.
// Example: copper, 70 → 160 °C: 115.
func AdiabaticK(m Material, initial, final quantity.Celsius) float64 {
	k, beta := copperK, copperBeta
	if m == CopperClad {
		k, beta = aluminiumK, aluminiumBeta
	}
	return k * math.Sqrt(math.Log(1+float64(final-initial)/(beta+float64(initial))))
}

// Withstand gives how long a conductor bears a fault current, from its
// insulation's rating to 160 °C: t = (k·A/I)². Not above five seconds, where the
// rule ends.
func Withstand(c Conductor, fault quantity.Amps) time.Duration {
	if c.Rating >= softFinal {
		return 0
	}
	root := AdiabaticK(c.Material, c.Rating, softFinal) * float64(c.CopperArea()) / float64(fault)
	seconds := root * root
	return min(adiabaticLimit, time.Duration(seconds*float64(time.Second)))
}

// faultMultiple is the least far-end fault, over the fuse's rating, that counts as
// surely cleared (common practice, no source).
const faultMultiple = 2

// ClearsFarEnd tells whether a fault at the far end is cleared before the
// conductor is harmed: the fault is at least twice the rating, and even the
// slowest fuse of the band opens within what the conductor bears.
func ClearsFarEnd(c Conductor, f Family, rating, fault quantity.Amps) bool {
	if fault < faultMultiple*rating {
		return false
	}
	return CurveOf(f, rating).Opening(rating, fault).Max < Withstand(c, fault).Seconds()
}
