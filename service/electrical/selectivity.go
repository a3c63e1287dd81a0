package electrical

import (
	"math"

	"example.com/lugbook/api/quantity"
)

// InLine is two fuses of which one feeds the other, and the faults behind the
// downstream one.
type InLine struct {
	Downstream, Upstream Fuse
	// Besides is what the upstream fuse carries to other circuits meanwhile.
	Besides quantity.Amps
	// Lowest and Highest bound the fault currents: the least that a short at the far
	// end draws, the most that one right behind the downstream fuse can. Lowest 0 is
	// twice the downstream rating.
	Lowest, Highest quantity.Amps
}

// Selectivity is whether the downstream fuse alone opens on a fault behind it.
type Selectivity struct {
	// UpTo is the fault current up to which the curves show it, from the lowest on;
	// 0 = at none. With Total it is the highest.
	UpTo    quantity.Amps
	Total   bool
	Typical bool // a curve of the two is typical only
	// Ratio is the upstream rating over the downstream one; from LeastRatio on the
	// upstream fuse usually holds, whatever the curves show.
	Ratio  float64
	Reason Reason
}

// LeastRatio is the ratio of ratings that counts as selective where the curves do
// not show it (common practice, no source).
const LeastRatio = 1.5

// faultCeiling ends the search: no vehicle's bank gives more.
const faultCeiling quantity.Amps = 1e6

// faultStep is the ratio of currents at which the search ends, on the low side.
const faultStep = 1.0001

// Selectivity tells up to which fault current the downstream fuse's longest opening
// time stays below the upstream fuse's shortest, over the whole range from the
// lowest fault on. The upstream fuse sees the fault and what it carries besides; a
// fault at which it stays closed is selective. It is advice and rejects nothing;
// without ratings and a highest fault above 0 it holds at none.
// Example: blade 30 A behind maxi 40 A, from 60 A on: up to 133 A.
func (l InLine) Selectivity() Selectivity {
	s := Selectivity{
		Typical: l.Downstream.Curve.Typical || l.Upstream.Curve.Typical,
		Ratio:   float64(l.Upstream.Rating / l.Downstream.Rating),
	}
	if !(l.Lowest > 0) {
		l.Lowest = faultMultiple * l.Downstream.Rating
	}
	l.Highest = min(l.Highest, faultCeiling)
	l.Lowest = min(l.Lowest, l.Highest)
	if l.sound() && l.holds(l.Lowest, l.Lowest) {
		s.UpTo = l.holdsTo(l.Lowest, l.Highest)
	}
	s.Total = s.UpTo > 0 && s.UpTo == l.Highest
	s.Reason = l.because(s)
	return s
}

// sound tells that there is something to compare; a NaN is refused too.
func (l InLine) sound() bool {
	return l.Downstream.Rating > 0 && l.Upstream.Rating > 0 && l.Besides >= 0 && l.Highest > 0
}

// holds tells that between two fault currents the downstream fuse opens first. Both
// times fall with current, so that the worst of the span is the downstream's at
// its low end against the upstream's at its high end.
func (l InLine) holds(low, high quantity.Amps) bool {
	up := l.Upstream.Opening(high + l.Besides)
	return up.StaysClosed || l.Downstream.Opening(low).Max < up.Min
}

// holdsTo gives the fault current up to which it holds, halving the span until each
// part is shown or is as small as the step.
func (l InLine) holdsTo(low, high quantity.Amps) quantity.Amps {
	if l.holds(low, high) {
		return high
	}
	middle := quantity.Amps(math.Sqrt(float64(low) * float64(high)))
	if !(high > low*faultStep) || !(middle > low && middle < high) {
		return low
	}
	if reached := l.holdsTo(low, middle); reached < middle {
		return reached
	}
	return l.holdsTo(middle, high)
}

// sourceRatio names what the rule of thumb rests on.
const sourceRatio = "common practice, no source"

func (l InLine) because(s Selectivity) Reason {
	down, up := Num("downstream_a", l.Downstream.Rating, UnitA), Num("upstream_a", l.Upstream.Rating, UnitA)
	ratio, least := Num("ratio", s.Ratio, UnitFactor), Num("least_ratio", LeastRatio, UnitFactor)
	switch {
	case s.Total:
		return Because("selectivity.total", "", down, up, Num("highest_a", s.UpTo, UnitA))
	case s.UpTo > 0:
		return Because("selectivity.up_to", "", down, up, Num("up_to_a", s.UpTo, UnitA))
	case s.Ratio >= LeastRatio:
		return Because("selectivity.by_ratio", sourceRatio, down, up, ratio, least)
	default:
		return Because("selectivity.doubtful", sourceRatio, down, up, ratio, least)
	}
}
