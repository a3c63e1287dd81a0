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

// adiabaticConstants gives K in A·√s/mm² and β in K of a conductor's metal.
func adiabaticConstants(m Material) (k, beta float64) {
	if m == CopperClad {
		return aluminiumK, aluminiumBeta
	}
	return copperK, copperBeta
}

// AdiabaticK gives the k of a conductor between two temperatures, in A·√s/mm².
//
//	k = K·√ln(1 + (Tf − Ti)/(β + Ti))
//
// Copper: K 226, β 234.5; copper-clad aluminium as aluminium: K 148, β 228.
// Example: copper, 70 → 160 °C: 115.
func AdiabaticK(m Material, initial, final quantity.Celsius) float64 {
	k, beta := adiabaticConstants(m)
	return k * math.Sqrt(math.Log(1+float64(final-initial)/(beta+float64(initial))))
}

// adiabaticSeconds gives how long a conductor bears a fault current from its
// insulation's rating to a final temperature while no heat leaves it.
func adiabaticSeconds(c Conductor, final quantity.Celsius, fault quantity.Amps) float64 {
	switch {
	case c.Rating >= final:
		return 0
	case fault <= 0:
		return math.Inf(1)
	}
	root := AdiabaticK(c.Material, c.Rating, final) * float64(c.CopperArea()) / float64(fault)
	return root * root
}

// adiabaticTemperature turns the rule round: how hot a fault current makes a
// conductor from its insulation's rating in a time.
//
//	T = (β + Ti)·exp(t·(I/(K·A))²) − β
func adiabaticTemperature(c Conductor, fault quantity.Amps, seconds float64) quantity.Celsius {
	k, beta := adiabaticConstants(c.Material)
	density := float64(fault) / (k * float64(c.CopperArea()))
	return quantity.Celsius((beta+float64(c.Rating))*math.Exp(seconds*density*density) - beta)
}

// faultMultiple is the least far-end fault, over the fuse's rating, that counts as
// surely cleared (common practice, no source).
const faultMultiple = 2
