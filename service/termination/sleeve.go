package termination

import (
	"math"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
)

// Margins and lengths of sleeves (common practice, no source).
const (
	sleevePasses   = 1.1 // supplied bore over the largest part it must pass
	sleeveGrips    = 0.9 // recovered bore under the smallest part it must grip
	gripMin        = quantity.Millimetres(12)
	gripPerOuter   = 1.5
	sleeveCutStep  = 5.0
	spliceLength   = quantity.Millimetres(20) // bare overlap of a soldered splice
	spliceOverlaps = 2.0                      // a lapped splice is two bundles thick
)

// covered is what a sleeve has to pass and grip.
type covered struct {
	largest, smallest quantity.Millimetres
	length            quantity.Millimetres // of the part under it, without the grip
	sides             int                  // on how many sides it grips insulation
}

// sleeveOver gives what a sleeve over an end must cover. It goes on from the
// cable side before crimping, so it passes the insulation and the uncrimped
// barrel, not the tongue.
func sleeveOver(c *catalog.Conductor, t *catalog.Terminal) covered {
	outer := c.OuterDiameter
	if t == nil {
		lap := spliceOverlaps * c.BundleDiameter
		return covered{max(outer, lap), outer, spliceLength, 2}
	}
	sides := 1
	if t.Form == catalog.Butt {
		sides = 2
	}
	return covered{max(outer, t.BarrelOuter), min(outer, t.BarrelOuter), t.BarrelLength, sides}
}

// Grip gives how much insulation a sleeve must cover beside the barrel: 12 mm or
// 1.5 times the outer diameter, whichever is more.
func Grip(outer quantity.Millimetres) quantity.Millimetres {
	return max(gripMin, gripPerOuter*outer)
}

// SleeveFits tells whether a sleeve passes the largest part and grips the
// smallest: supplied ≥ 1.1 × largest, recovered ≤ 0.9 × smallest.
func SleeveFits(s *catalog.Sleeve, largest, smallest quantity.Millimetres) bool {
	return s.Supplied >= sleevePasses*largest && s.Recovered <= sleeveGrips*smallest
}

// SleeveCut gives the length to cut: what must be covered after shrinking,
// divided by what is left of the length, up to the next 5 mm.
//
//	cut = (part + sides · grip)/(1 − loss)
func SleeveCut(part quantity.Millimetres, sides int, outer quantity.Millimetres, loss quantity.Percent) quantity.Millimetres {
	length := float64(part) + float64(sides)*float64(Grip(outer))
	const rounding = 1e-9 // an exact multiple stays itself
	return quantity.Millimetres(math.Ceil(length/(1-float64(loss)/100)/sleeveCutStep-rounding) * sleeveCutStep)
}

// cheapestSleeve picks the cheapest adhesive-lined sleeve that fits, by cost of
// its cut, then SKU; nil where none does.
func (p *Planner) cheapestSleeve(c *catalog.Conductor, over covered) (best *catalog.Sleeve, cut quantity.Millimetres, nano int64) {
	for _, s := range p.sleeves {
		if !SleeveFits(s, over.largest, over.smallest) {
			continue
		}
		length := SleeveCut(over.length, over.sides, c.OuterDiameter, s.LengthLoss)
		cost := s.LengthNano(int64(length))
		if best == nil || cost < nano {
			best, cut, nano = s, length, cost
		}
	}
	return best, cut, nano
}
