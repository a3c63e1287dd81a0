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

// overloadTime is the longest that a current above the ampacity is said to be
// borne, in seconds: the conventional time of small fuses, within which IEC
// 60364-4-43 allows an overload (from memory). The final temperature is a short
// circuit's; held for hours it would age any insulation.
const overloadTime = 3600

// Withstand gives how long, in seconds, the section bears a fault current until it
// is at its final temperature Tf; +Inf up to its ampacity, never above an hour
// beyond it.
//
//	t = (k·A/I)²                              up to 5 s, from Tins
//	t = 5 + τ·ln(D(Tf)/D(T5))/(p − 1)         beyond, from T5 on
//	D(T) = p·(β + T) − (T − Ta),  p = (Tins − Ta)·(I/Iz)²/(β + Tins)
//
// Beyond five seconds heat leaves at the rate that Iz implies, and the resistance
// rises with the temperature as in the adiabatic rule: τ·dT/dt = D(T). T5 is where
// five seconds without loss lead, τ = c·A·(Tins − Ta)/(Iz²·R'(Tins)) the conductor's
// heat over what it loses per kelvin. What the insulation takes up, and that the
// loss rises faster than the temperature, is left out: the unfavourable side. Both
// parts begin at the insulation's rating, whatever the load, so that they meet at
// 5 s and more current is never borne longer.
//
// It is 0 where Tins is at or above Tf, and where the insulation cannot be used
// there at all (Tins ≤ Ta, no ampacity).
// Example: 8 AWG PVC of 105 °C at 30 °C, Iz 80 A: 160 A for 28 s.
func (s Section) Withstand(fault quantity.Amps, soldered bool) float64 {
	c, final := s.Conductor, FinalTemperature(s.Conductor.Insulation, soldered)
	if !(c.Rating > s.Ambient) || !(s.Ampacity > 0) || c.Rating >= final {
		return 0
	}
	if fault <= s.Ampacity {
		return math.Inf(1)
	}
	t := adiabaticSeconds(c, final, fault)
	if limit := adiabaticLimit.Seconds(); t > limit {
		t = limit + s.secondsBetween(adiabaticTemperature(c, fault, limit), final, fault)
	}
	return min(t, overloadTime)
}

// secondsBetween gives how long a current takes to heat the section from one
// temperature to a higher one while heat leaves; +Inf where it never does.
func (s Section) secondsBetween(from, to quantity.Celsius, i quantity.Amps) float64 {
	_, beta := adiabaticConstants(s.Conductor.Material)
	share := float64(i / s.Ampacity)
	p := float64(s.Conductor.Rating-s.Ambient) * share * share / (beta + float64(s.Conductor.Rating))
	drive := func(t quantity.Celsius) float64 { return p*(beta+float64(t)) - float64(t-s.Ambient) }
	if !(drive(to) > 0) {
		return math.Inf(1)
	}
	rise := float64(to-from) / drive(from) // of τ, were the drive to stay as it is
	if growth := (p - 1) * rise; growth != 0 {
		rise *= math.Log1p(growth) / growth
	}
	return s.timeConstant() * rise
}

// timeConstant gives τ in seconds.
func (s Section) timeConstant() float64 {
	c := s.Conductor
	lossAtRating := float64(s.Ampacity.Heating(c.ResistancePerMetre(c.Rating))) // W/m
	return c.heatCapacity() * float64(c.Rating-s.Ambient) / lossAtRating
}
