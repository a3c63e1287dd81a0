package electrical

import (
	"math"

	"example.com/lugbook/api/quantity"
)

// Bank is what the rules need to know of a battery bank; its figures are for the
// whole bank at its nominal voltage. A source that limits its own current, such as
// a converter, states Rated and Limit and nothing else but Nominal.
type Bank struct {
	Chemistry    Chemistry
	Nominal      quantity.Volts
	Capacity     quantity.AmpHours
	ColdCranking quantity.Amps // 0 = not stated
	Internal     quantity.Ohms // 0 = not stated
	ShortCircuit quantity.Amps // the maker's figure, 0 = not stated
	// Rated is the least and Limit the most that a self-limiting source gives into a
	// short; both 0 for a battery.
	Rated, Limit quantity.Amps
}

// SelfLimiting tells that the source limits its own current.
func (b Bank) SelfLimiting() bool { return b.Limit > 0 }

// Resistance bounds of a 12 V block of 100 Ah (common practice, no source; the
// lithium low bound agrees with 3.75 to 4.7 kA per 100 Ah reported in the trade).
const (
	floodedLow, floodedHigh = 4.0, 12.0 // mΩ
	agmLow, agmHigh         = 2.5, 8.0
	lithiumLow, lithiumHigh = 2.0, 10.0 // high: cells and battery management
	blockAh                 = 100
	blockVolts              = 12
)

// Bounds from the cold-cranking amps of a starting battery, in mΩ·A. The high
// one is 1.5 times the 5.4 V that the definition of CCA allows to be lost
// (SAE J537); the low one is from memory.
const (
	crankingLow, crankingHigh = 2200.0, 8100.0
)

// Resistance gives the bounds of the bank's own resistance: the low one for the
// largest fault, the high one for the smallest.
func (b Bank) Resistance() (low, high quantity.Ohms) {
	blocks := float64(b.Nominal) / blockVolts
	switch {
	case b.SelfLimiting(): // it gives whatever the limit lets through
		return 0, 0
	case b.Internal > 0:
		low, high = b.Internal, b.Internal
	case b.ColdCranking > 0 && b.Chemistry != Lithium:
		cca := float64(b.ColdCranking)
		low, high = milliohms(crankingLow/cca*blocks), milliohms(crankingHigh/cca*blocks)
	default:
		lo, hi := floodedLow, floodedHigh
		switch b.Chemistry {
		case AGM, Gel:
			lo, hi = agmLow, agmHigh
		case Lithium:
			lo, hi = lithiumLow, lithiumHigh
		}
		scale := blocks * blockAh / max(1, float64(b.Capacity))
		low, high = milliohms(lo*scale), milliohms(hi*scale)
	}
	if b.ShortCircuit > 0 {
		low = quantity.Ohms(float64(b.Nominal) / float64(b.ShortCircuit))
		high = max(low, high)
	}
	return low, high
}

func milliohms(m float64) quantity.Ohms { return quantity.Ohms(m) * quantity.Milliohm }

// Prospective gives the fault current behind a resistance on the bank's low
// bound: the most that a device there may have to interrupt. A self-limiting source
// gives no more than its limit.
func (b Bank) Prospective(source quantity.Volts, r quantity.Ohms) quantity.Amps {
	low, _ := b.Resistance()
	fault := quantity.Amps(float64(source) / float64(low+r))
	if b.SelfLimiting() {
		return min(fault, b.Limit)
	}
	return fault
}

// LeastFault gives the fault current behind a resistance on the bank's high bound:
// the least that must still blow the fuse there. A self-limiting source is only sure
// to give its rated current.
func (b Bank) LeastFault(source quantity.Volts, r quantity.Ohms) quantity.Amps {
	_, high := b.Resistance()
	fault := quantity.Amps(float64(source) / float64(high+r))
	if b.SelfLimiting() {
		return min(fault, b.Rated)
	}
	return fault
}

// ABYC E-11 table V-A: interrupting capacity at the main, by total CCA.
var interruptingMain = []struct {
	upTo, amps quantity.Amps
}{{650, 1500}, {1100, 3000}, {quantity.Amps(math.Inf(1)), 5000}}

// largeBank: above these a lead-acid bank's own short-circuit figure governs
// (a later reading of ABYC E-11).
const (
	largeBankCranking quantity.Amps     = 2200
	largeBankCapacity quantity.AmpHours = 500
)

// Interruption is what an overcurrent device must be able to interrupt, and why.
type Interruption struct {
	Required quantity.Amps
	Reason   Reason
}

// RequiredInterrupting gives the interrupting capacity that the first device
// after a bank needs.
//
// For lead-acid with stated cold-cranking amps it is ABYC E-11 table V-A
// (1500, 3000 or 5000 A), or the prospective current at the device where that is
// lower. For lithium, for large banks and where no CCA is stated it is the
// prospective current, from the maker's short-circuit figure or the low bound of
// the bank's resistance; a battery management system never counts. The
// prospective current includes the cable, holder and fuse resistance r. Of a
// self-limiting source it is at most the limit.
func (b Bank) RequiredInterrupting(source quantity.Volts, r quantity.Ohms) Interruption {
	prospective := b.Prospective(source, r)
	figure := Num("prospective_a", prospective, UnitA)
	if b.SelfLimiting() {
		return Interruption{prospective, Because("fuse.interrupting_limited", "", figure)}
	}
	large := b.ColdCranking > largeBankCranking || b.Capacity > largeBankCapacity
	if b.Chemistry == Lithium || large || b.ColdCranking <= 0 {
		return Interruption{prospective, Because("fuse.interrupting_prospective", "ABYC E-11: the battery maker's short-circuit figure governs", figure)}
	}
	for _, row := range interruptingMain {
		if b.ColdCranking <= row.upTo {
			return Interruption{min(row.amps, prospective), Because("fuse.interrupting_table", "ABYC E-11 table V-A",
				Num("cold_cranking_a", b.ColdCranking, UnitA), Num("table_a", row.amps, UnitA), figure)}
		}
	}
	return Interruption{prospective, Because("fuse.interrupting_prospective", "", figure)}
}

// roadCrankingMax is the largest starting battery on which road vehicles' own
// makers fit ISO 8820 fuses (common practice, no source).
const roadCrankingMax quantity.Amps = 1100

// AcceptsRoadFamilies tells whether the ISO 8820 families are accepted on the
// bank whatever the table says: one lead-acid bank of up to 1100 CCA in a road
// vehicle. A note goes with it.
func (b Bank) AcceptsRoadFamilies(f Family, c Category) bool {
	if b.Chemistry == Lithium || b.ColdCranking <= 0 || b.ColdCranking > roadCrankingMax {
		return false
	}
	switch c {
	case Car, Van, Truck, Motorcycle, SideBySide:
	default:
		return false
	}
	switch f {
	case Blade, Mini, Maxi, BoltSmall, BoltLarge:
		return true
	}
	return false
}
