package electrical

import (
	"math"

	"example.com/lugbook/api/quantity"
)

// FarEnd is a circuit as a dead short at its far end finds it.
type FarEnd struct {
	Bank     Bank
	Source   quantity.Volts // at rest, the least that drives the fault
	Fuse     Fuse
	Sections []Section     // all that the fault goes through, feed and return; at least one
	Joints   quantity.Ohms // barrels, contacts, holder, fuse, relay and body
	Soldered bool          // any joint of the circuit is soldered
}

// FarEndVerdict is what a dead short at the far end does, with the figures that
// decided.
type FarEndVerdict struct {
	Fault      quantity.Amps // the least that flows
	Least      quantity.Amps // what surely blows the fuse: twice its rating
	Opens      float64       // s at the latest; +Inf: not shown to open
	Withstands float64       // s of the weakest section; +Inf: for good
	Weakest    int           // index of that section
	Final      quantity.Celsius
	Cleared    bool
	Reason     Reason
}

// sourceLimited: conductors fed from a source that cannot supply more than they carry
// count as protected from overload and short circuit.
const sourceLimited = "IEC 60364-4-43 clause 436, from memory"

// sourceFarEnd names what the verdict rests on.
const sourceFarEnd = "IEC 60364-4-43 clause 434.5.2, from memory; twice the rating: common practice, no source"

// Judge tells whether a dead short at the far end is cleared before a conductor is
// harmed: it is at least twice the fuse's rating, and even the slowest fuse of the
// band opens within what the weakest section withstands.
//
// The current is the least that can flow: the bank's high bound, the conductors at
// the temperature of their load, and the joints. The band is as published, since a
// fault may find the fuse cold. A section's ampacity is its derated Iz, above 0. A
// source that limits itself to no more than every section carries for good can harm
// none, whether the fuse opens or not.
func (f FarEnd) Judge() FarEndVerdict {
	v := FarEndVerdict{Fault: f.Current(), Least: faultMultiple * f.Fuse.Rating, Withstands: math.Inf(1)}
	v.Opens = f.Fuse.Opening(v.Fault).Max
	for i, s := range f.Sections {
		if t := s.Withstand(v.Fault, f.Soldered); i == 0 || t < v.Withstands {
			v.Withstands, v.Weakest = t, i
			v.Final = FinalTemperature(s.Conductor.Insulation, f.Soldered)
		}
	}
	if carried := f.ampacity(); f.Bank.SelfLimiting() && f.Bank.Limit <= carried {
		v.Cleared, v.Withstands = true, math.Inf(1)
		v.Reason = Because("fault.limited", sourceLimited, Num("limit_a", f.Bank.Limit, UnitA), Num("ampacity_a", carried, UnitA))
		return v
	}
	v.Cleared = v.Fault >= v.Least && v.Opens < v.Withstands
	v.Reason = v.because()
	return v
}

// ampacity gives what every section carries for good.
func (f FarEnd) ampacity() quantity.Amps {
	least := f.Sections[0].Ampacity
	for _, s := range f.Sections {
		least = min(least, s.Ampacity)
	}
	return least
}

// Current gives the least that a dead short at the far end draws.
func (f FarEnd) Current() quantity.Amps {
	r := f.Joints
	for _, s := range f.Sections {
		r += s.Resistance()
	}
	return f.Bank.LeastFault(f.Source, r)
}

func (v *FarEndVerdict) because() Reason {
	fault, opens := Num("fault_a", v.Fault, UnitA), Num("opens_s", v.Opens, UnitS)
	withstands := Num("withstands_s", v.Withstands, UnitS)
	switch {
	case v.Fault < v.Least:
		return Because("fault.too_small", sourceFarEnd, fault, Num("least_a", v.Least, UnitA))
	case math.IsInf(v.Opens, 1):
		return Because("fault.not_shown", sourceFarEnd, fault)
	case !v.Cleared:
		return Because("fault.too_slow", sourceFarEnd, fault, opens, withstands)
	case math.IsInf(v.Withstands, 1):
		return Because("fault.cleared_for_good", sourceFarEnd, fault, opens)
	default:
		return Because("fault.cleared", sourceFarEnd, fault, opens, withstands)
	}
}
