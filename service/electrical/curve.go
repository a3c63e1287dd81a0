package electrical

import (
	"math"
	"sort"

	"example.com/lugbook/api/quantity"
)

// Opening is how long a fuse takes to open at one current: between Min and Max
// seconds. Max is +Inf where no standard bounds it.
type Opening struct {
	StaysClosed bool
	Min, Max    float64 // s
}

// GeometricMean gives the middle of the band on a logarithmic scale.
func (o Opening) GeometricMean() float64 {
	if o.Min == 0 {
		return 0
	}
	return math.Sqrt(o.Min * o.Max)
}

// Fuse is an overcurrent device by what the rules need to know of it.
type Fuse struct {
	Family Family
	Rating quantity.Amps
	Curve  Curve // the family's, or by its maker's own gates
}

// FuseOf gives a fuse with the opening band of its family.
func FuseOf(f Family, rating quantity.Amps) Fuse {
	return Fuse{Family: f, Rating: rating, Curve: CurveOf(f, rating)}
}

// Opening gives the band of opening times at a current.
func (f Fuse) Opening(i quantity.Amps) Opening { return f.Curve.Opening(f.Rating, i) }

// OpeningAt gives the band at a holder's ambient: that of a cabin's fuse at the
// current over AmbientFactor, so that a hot holder never opens later. A holder
// cooler than a cabin keeps the band as published.
//
// Above the family's table nothing is known but that heat never delays a fuse: any
// current may open it at once, and the longest time is that at the table's end.
// A fault may find the fuse cold, so what must open in time is held to Opening.
// Example: blade 20 A at 40 A, in a holder of 65 °C: entered at 42.1 A.
func (f Fuse) OpeningAt(ambient quantity.Celsius, i quantity.Amps) Opening {
	hottest := hottestHolder(f.Family)
	known := ambient <= hottest
	if !known {
		ambient = hottest
	}
	o := f.Opening(quantity.Amps(float64(i) / AmbientFactor(f.Family, ambient)))
	if !known && i > 0 {
		o.StaysClosed, o.Min = false, 0
	}
	return o
}

// Curve is the band of opening times of one rating band of a family, or of one
// part by its maker's gates. The zero Curve knows nothing: it may open at once or never.
type Curve struct {
	lowest, highest quantity.Amps // ratings it holds for
	noOpen          float64       // % of rating at and below which it stays closed
	mins, maxs      []gate        // rising percent, falling seconds
	minEnds         bool          // the last gate states no minimum: 0 s beyond the last known
	// Typical tells that no gate of the family's own is published.
	Typical bool
}

type gate struct{ percent, seconds float64 }

// CurveOf gives the opening band of a family at a rating. A family without
// published gates (ANL, mini ANL, terminal-mount) gets the widest envelope of the
// two bolt-down ones, marked Typical; a breaker, and a rating outside every
// band, gets a curve that only knows that the rating itself is carried.
func CurveOf(f Family, rating quantity.Amps) Curve {
	switch f {
	case ANL, MiniANL, TerminalMount:
		return boltEnvelope
	}
	for _, c := range curves[f] {
		if rating >= c.lowest && rating <= c.highest {
			return c
		}
	}
	return Curve{noOpen: ratedPercent, minEnds: true, Typical: true}
}

// ratedPercent: every fuse carries its rating; that is what the rating means.
const ratedPercent = 100

// Opening gives the band of opening times at a current.
//
// Between gates times run straight on a log–log scale; beyond the last gate
// I²t is constant; at or below the no-open gate the fuse stays closed. A missing
// minimum counts as 0 s and a missing maximum as never. Example: blade 20 A at
// 40 A: 0.15 … 5 s.
func (c Curve) Opening(rating, i quantity.Amps) Opening {
	percent := float64(i) * 100 / float64(rating) // in this order 11 A of 10 A is 110 exactly
	if !(percent > c.noOpen) {                    // no current through no rating opens nothing
		return Opening{StaysClosed: true, Min: math.Inf(1), Max: math.Inf(1)}
	}
	return Opening{Min: c.minimum(percent), Max: interpolate(c.maxs, percent, math.Inf(1))}
}

// minimum gives the shortest opening time. Below the first gate that states one
// that gate's holds: less current never opens a fuse sooner.
func (c Curve) minimum(percent float64) float64 {
	if len(c.mins) == 0 || c.minEnds && percent > c.mins[len(c.mins)-1].percent {
		return 0
	}
	return interpolate(c.mins, percent, c.mins[0].seconds)
}

// conventional gives the lowest percentage at which the fuse surely opens, and the
// seconds within which; 0 and +Inf where no gate states a maximum.
func (c Curve) conventional() (percent, seconds float64) {
	if len(c.maxs) == 0 {
		return 0, math.Inf(1)
	}
	return c.maxs[0].percent, c.maxs[0].seconds
}

// interpolate gives the seconds at a percentage: before the first gate the given
// bound, between gates log–log, beyond the last constant I²t.
func interpolate(gates []gate, percent, before float64) float64 {
	if len(gates) == 0 || percent < gates[0].percent {
		return before
	}
	i := sort.Search(len(gates), func(i int) bool { return gates[i].percent >= percent })
	if i == len(gates) {
		last := gates[i-1]
		ratio := last.percent / percent
		return last.seconds * ratio * ratio
	}
	if gates[i].percent == percent {
		return gates[i].seconds
	}
	a, b := gates[i-1], gates[i]
	x := math.Log(percent/a.percent) / math.Log(b.percent/a.percent)
	return a.seconds * math.Pow(b.seconds/a.seconds, x)
}

var curves = func() map[Family][]Curve {
	const name = "fuse_gates.csv"
	m := map[Family][]Curve{}
	for _, r := range mustTable(name, "family", "rating_min_a", "rating_max_a", "percent", "opening_min_s", "opening_max_s", "confidence") {
		f, lowest := Family(r[0]), quantity.Amps(mustFloat(name, r[1]))
		if n := len(m[f]); n == 0 || m[f][n-1].lowest != lowest {
			m[f] = append(m[f], Curve{lowest: lowest, highest: quantity.Amps(mustFloat(name, r[2])), noOpen: ratedPercent})
		}
		c := &m[f][len(m[f])-1]
		percent := mustFloat(name, r[3])
		if r[5] == "" { // no maximum: the gate at which it must stay closed
			c.noOpen = percent
		} else {
			c.maxs = append(c.maxs, gate{percent, mustFloat(name, r[5])})
		}
		c.minEnds = r[4] == ""
		if r[4] != "" {
			c.mins = append(c.mins, gate{percent, mustFloat(name, r[4])})
		}
	}
	return m
}()

// boltEnvelope is the widest band of the two bolt-down families, gate by gate.
var boltEnvelope = func() Curve {
	small, large := curves[BoltSmall][0], curves[BoltLarge][0]
	c := Curve{lowest: 0, highest: quantity.Amps(math.Inf(1)), noOpen: min(small.noOpen, large.noOpen), Typical: true}
	for i := range small.mins {
		c.mins = append(c.mins, gate{small.mins[i].percent, min(small.mins[i].seconds, large.mins[i].seconds)})
	}
	for i := range small.maxs {
		c.maxs = append(c.maxs, gate{small.maxs[i].percent, max(small.maxs[i].seconds, large.maxs[i].seconds)})
	}
	return c
}()

// surgeMargin is what a starting surge is raised by before it is held against
// the middle of the band (common practice, no source).
const surgeMargin = 1.25

// BearsSurge tells whether a fuse lets a starting surge pass: the geometric mean
// of the band at 1.25 times the surge is no shorter than the surge.
func (c Curve) BearsSurge(rating quantity.Amps, s Surge) bool {
	if s.Current <= 0 {
		return true
	}
	return c.Opening(rating, s.Current*surgeMargin).GeometricMean() >= s.Duration.Seconds()
}

// BearsShortTime tells whether even the fastest fuse of the band carries a
// short-time load for twice its time on.
func (c Curve) BearsShortTime(rating, load quantity.Amps, on float64) bool {
	return c.Opening(rating, load).Min >= 2*on
}
