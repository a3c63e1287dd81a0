package catalog

import (
	"math"

	"example.com/lugbook/service/electrical"
)

// Work is an operation done so many times at one place.
type Work struct {
	Operation *Operation
	// Milli is how often, in thousandths of the operation's count (pieces or metres).
	Milli int64
	// MilliMinutes is the time in thousandths of a minute, zone factor included.
	MilliMinutes int64
}

// milliFactor carries zone factors as whole thousandths, so that time stays exact.
func (s *Shop) milliFactor(e electrical.Environment) int64 {
	f, ok := s.ZoneFactors[e]
	if !ok {
		return 1000
	}
	return int64(math.Round(f * 1000))
}

// WorkOf gives the work of an operation done milli/1000 times in an environment.
// Time is rounded half up to the thousandth of a minute, once.
func (s *Shop) WorkOf(op *Operation, milli int64, e electrical.Environment) Work {
	factor := int64(1000)
	if op.Zoned {
		factor = s.milliFactor(e)
	}
	return Work{Operation: op, Milli: milli, MilliMinutes: (op.MilliMinutes*milli/1000*factor + 500) / 1000}
}

// LabourNano gives the price of labour in billionths of the currency unit,
// unrounded time at the shop's rate, rounded half up once: what selection adds
// to the price of parts.
func (s *Shop) LabourNano(milliMinutes int64) int64 {
	return (milliMinutes*s.RateMicro + 30) / 60
}

// LengthNano gives the price of a length in billionths of the currency unit.
func (p *Part) LengthNano(millimetres int64) int64 {
	return (p.UnitNano/1000*millimetres + (p.UnitNano%1000*millimetres+500)/1000)
}
