package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// unmet explains why a circuit cannot be had: the constraint that binds, its
// figures, and the nearest changes that would meet it, each tried before it is
// said.
func (s *solver) unmet(c *circuitPlan, t *tally) *Unmet {
	binding := t.binding()
	u := &Unmet{Constraint: binding, At: c.device.ID}
	if binding == bindEnd && t.unfit != nil {
		u.Constraint = t.unfit.Constraint
		u.Figures = append(u.Figures, electrical.Word("point", t.unfitAt))
		u.Figures = append(u.Figures, t.unfit.Figures...)
	}
	n := &c.need
	u.Figures = append(u.Figures,
		electrical.Num("current_a", n.peak, electrical.UnitA), electrical.Num("required_a", n.requiredRating(), electrical.UnitA),
		electrical.Num("length_m", n.feed.length, electrical.UnitM), electrical.Num("limit_percent", n.conductorLimit, electrical.UnitPercent),
		electrical.Num("total_limit_percent", n.totalLimit, electrical.UnitPercent), electrical.Num("lowest_v", n.lowest(), electrical.UnitV))
	if !n.thinnest.IsZero() {
		u.Figures = append(u.Figures, electrical.SizeFigure("minimum", n.thinnest))
	}
	for _, try := range []func(*circuitPlan) (electrical.Reason, bool){s.nearestBlock, s.nearestLength, s.nearestLoad} {
		if r, ok := try(c); ok {
			u.Nearest = append(u.Nearest, r)
		}
	}
	return u
}

// tailToBlock is how far from the device a block would sit: within the length
// that may be thinner than its fuse protects (33 CFR 183.425(g): under 7 in).
const tailToBlock quantity.Metres = 0.15

// nearestBlock tries the circuit without the bound of the device's own terminals:
// the cable lands on a block and a short tail of the size that fits goes on.
func (s *solver) nearestBlock(c *circuitPlan) (electrical.Reason, bool) {
	largest := c.positive.Largest
	if largest.IsZero() {
		return electrical.Reason{}, false
	}
	changed := *c
	changed.positive.Largest, changed.negative.Largest = quantity.Size{}, quantity.Size{}
	best, _ := s.choose(&changed)
	if best == nil {
		return electrical.Reason{}, false
	}
	return electrical.Because("nearest.block", "33 CFR 183.425(g)", electrical.SizeFigure("conductor", best.pair.feed.Size),
		electrical.SizeFigure("largest", largest), electrical.Num("tail_m", tailToBlock, electrical.UnitM),
		electrical.Num("fuse_a", best.with.fuse.Rating, electrical.UnitA)), true
}

// searchSteps halve the span often enough for a millimetre or a milliampere.
const searchSteps = 20

// nearestLength looks for the longest run that can be built.
func (s *solver) nearestLength(c *circuitPlan) (electrical.Reason, bool) {
	full := c.need.feed.length
	works := func(l quantity.Metres) bool {
		changed := *c
		changed.device.Measured, changed.device.HasMeasured = l, true
		again, unmet := s.plan(changed.device, changed.equipment)
		if unmet != nil {
			return false
		}
		again.need.bodyShare, again.need.bodyRest = c.need.bodyShare, c.need.bodyRest
		return s.buildable(&again)
	}
	const shortest quantity.Metres = 0.5
	length, ok := largestThatWorks(float64(shortest), float64(full), func(x float64) bool { return works(quantity.Metres(x)) })
	if !ok {
		return electrical.Reason{}, false
	}
	// Down to the centimetre, so that the advice as printed works.
	length = float64(int(length*100)) / 100
	if !works(quantity.Metres(length)) {
		return electrical.Reason{}, false
	}
	return electrical.Because("nearest.length", "", electrical.Num("length_m", length, electrical.UnitM)), true
}

// nearestLoad looks for the largest current that can be fed.
func (s *solver) nearestLoad(c *circuitPlan) (electrical.Reason, bool) {
	works := func(i float64) bool {
		changed := c.device
		changed.Load = electrical.Load{Current: quantity.Amps(i), Behaviour: c.need.demand.Behaviour}
		again, unmet := s.plan(changed, c.equipment)
		if unmet != nil {
			return false
		}
		again.need.bodyShare, again.need.bodyRest = c.need.bodyShare, c.need.bodyRest
		return s.buildable(&again)
	}
	amps, ok := largestThatWorks(float64(electrical.MinCurrent), float64(c.need.peak), works)
	if !ok {
		return electrical.Reason{}, false
	}
	amps = float64(int(amps*10)) / 10
	if amps <= 0 || !works(amps) {
		return electrical.Reason{}, false
	}
	return electrical.Because("nearest.load", "", electrical.Num("current_a", amps, electrical.UnitA)), true
}

// buildable tells whether a changed circuit can be had, with the maker's fuse or
// the nearest below it, as the design itself would have it.
func (s *solver) buildable(c *circuitPlan) bool {
	c.made = c.need
	best, t := s.choose(c)
	return best != nil || c.need.makerFuse > 0 && s.chooseBelowMaker(c, t) != nil
}

// largestThatWorks halves between a value that may work and one that does not.
func largestThatWorks(low, high float64, works func(float64) bool) (float64, bool) {
	if low >= high || !works(low) {
		return 0, false
	}
	for range searchSteps {
		middle := (low + high) / 2
		if works(middle) {
			low = middle
		} else {
			high = middle
		}
	}
	return low, true
}
