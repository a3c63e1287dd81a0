package electrical

import (
	"math"

	"example.com/lugbook/api/quantity"
)

// hardFinal is the highest conductor temperature in a short circuit for
// cross-linked insulation: IEC 60364-5-54. Silicone rubber is cross-linked and
// bears more by itself (IEC 60724, from memory).
const hardFinal quantity.Celsius = 250

// FinalTemperature gives the highest conductor temperature that a circuit bears in
// a short circuit: 250 °C for cross-linked insulation and silicone with crimped
// joints only, else 160 °C: PVC, rubber of a sort that nobody stated, and any
// circuit with a soldered joint (IEC 60364-5-54; soldered joints IEC 60724, from
// memory).
func FinalTemperature(i Insulation, soldered bool) quantity.Celsius {
	if !soldered && (i == CrossLinked || i == Silicone) {
		return hardFinal
	}
	return softFinal
}

// Section is a length of one conductor in one place.
type Section struct {
	Conductor Conductor
	Length    quantity.Metres
	Ambient   quantity.Celsius
	Ampacity  quantity.Amps // Iz there, derated
	Load      quantity.Amps // what it carries when nothing is wrong
}

// Temperature gives the conductor's temperature under its load.
func (s Section) Temperature() quantity.Celsius {
	return Temperature(s.Ambient, s.Conductor.Rating, s.Load, s.Ampacity)
}

// Resistance gives the section's resistance under its load.
func (s Section) Resistance() quantity.Ohms {
	return s.Conductor.Resistance(s.Length, s.Temperature())
}

// Withstand gives how long, in seconds, the section bears a fault current until it
// is at its final temperature; +Inf where it never gets there.
//
//	t = (k·A/I)²                                     up to 5 s, from Tins
//	t = 5 + τ·ln((ΔT∞ − ΔT5)/(ΔT∞ − ΔTf))            beyond
//
// ΔT∞ = (Tins − Ta)·(I/Iz)² is the rise over the ambient Ta that the current would
// reach, ΔTf = Tf − Ta the rise allowed, and ΔT5 the rise after the five seconds in
// which no heat is taken to leave. τ is the copper's heat over what it loses per
// kelvin, as Iz implies: c·A·(Tins − Ta)/(Iz²·R'(Tins)); the heat that the insulation
// takes up is left out, the unfavourable side. Both parts begin at the insulation's
// rating, whatever the load, so that at 5 s they meet and more current is never
// borne longer.
//
// It is 0 where Tins is at or above Tf, and where the insulation cannot be used
// there at all (Tins ≤ Ta, no ampacity).
// Example: 8 AWG PVC of 105 °C at 30 °C, Iz 80 A: 160 A for 32 s.
func (s Section) Withstand(fault quantity.Amps, soldered bool) float64 {
	c, final := s.Conductor, FinalTemperature(s.Conductor.Insulation, soldered)
	full := float64(c.Rating - s.Ambient)
	if !(full > 0) || !(s.Ampacity > 0) {
		return 0
	}
	t := adiabaticSeconds(c, final, fault)
	limit := adiabaticLimit.Seconds()
	if t <= limit || math.IsInf(t, 1) { // nothing flows
		return t
	}
	share := float64(fault / s.Ampacity)
	steady, allowed := full*share*share, float64(final-s.Ambient)
	if steady <= allowed {
		return math.Inf(1)
	}
	atLimit := float64(adiabaticTemperature(c, fault, limit) - s.Ambient)
	return limit + s.timeConstant()*math.Log((steady-atLimit)/(steady-allowed))
}

// timeConstant gives τ in seconds.
func (s Section) timeConstant() float64 {
	c := s.Conductor
	lossAtRating := float64(s.Ampacity.Heating(c.ResistancePerMetre(c.Rating))) // W/m
	return c.heatCapacity() * float64(c.Rating-s.Ambient) / lossAtRating
}
