package document

import (
	"math"
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// node is one point of a band's edge. Seconds are +Inf where the fuse may never
// open and 0 where no shortest time is published.
type node struct {
	current quantity.Amps
	seconds float64
}

// band is the opening times of one or more fuses that share them.
type band struct {
	fuse     CurveOf  // the first of them
	labels   []string // of all of them
	earliest []node   // the fuse opens no sooner than this
	latest   []node   // the fuse opens no later than this
}

// bandsOf gives the bands of the picture's fuses; fuses of equal bands share one.
// Each is known up to the given current.
func bandsOf(fuses []CurveOf, label func(CurveOf) string, upTo quantity.Amps) []band {
	var bands []band
	for _, f := range fuses {
		b := band{fuse: f, labels: []string{label(f)}}
		b.earliest, b.latest = edges(f, upTo)
		same := slices.IndexFunc(bands, func(o band) bool {
			return slices.Equal(o.earliest, b.earliest) && slices.Equal(o.latest, b.latest)
		})
		switch {
		case same < 0:
			bands = append(bands, b)
		case !slices.Contains(bands[same].labels, b.labels[0]):
			bands[same].labels = append(bands[same].labels, b.labels[0])
		}
	}
	return bands
}

// Percentages of the rating at which a curve is asked: every whole one up to well
// past the last gate. Gates stand at whole percentages, and between and beyond
// them times run straight on log–log paper.
const (
	firstPercent = 100
	lastPercent  = 1000
)

// edges samples the two edges of a fuse's band by rising current. At each sample
// the curve is asked just below, at and just above the current: where a bound
// begins or ends the edge is vertical there.
func edges(f CurveOf, upTo quantity.Amps) (earliest, latest []node) {
	curve := f.Curve
	sample := func(i quantity.Amps) {
		const aside = 1e-9
		for _, at := range []quantity.Amps{i * (1 - aside), i, i * (1 + aside)} {
			o := curve.Opening(f.Rating, at)
			earliest = append(earliest, node{i, o.Min})
			latest = append(latest, node{i, o.Max})
		}
	}
	for percent := firstPercent; percent <= lastPercent; percent++ {
		sample(f.Rating * quantity.Amps(percent) / 100)
	}
	if last := f.Rating * lastPercent / 100; upTo > last {
		sample(upTo)
	}
	return straightened(earliest), straightened(latest)
}

// straightened leaves out the points between which an edge runs straight on.
func straightened(edge []node) []node {
	out := edge[:0:0]
	for i, n := range edge {
		if i > 0 && i < len(edge)-1 && between(out[len(out)-1], n, edge[i+1]) {
			continue
		}
		out = append(out, n)
	}
	return out
}

// between tells that b lies on the straight line from a to c.
func between(a, b, c node) bool {
	const unseen = 1e-7 // parts of e
	ax, ay := a.logs()
	bx, by := b.logs()
	cx, cy := c.logs()
	if cx == ax {
		return by == ay || by == cy || (by > ay) != (by > cy)
	}
	return math.Abs(ay+(cy-ay)*(bx-ax)/(cx-ax)-by) < unseen
}

// logs gives the point on log–log paper.
func (n node) logs() (x, y float64) {
	return math.Log(float64(n.current)), math.Log(n.drawable())
}

// drawable gives the seconds with never and at once put far beyond any paper, so
// that an edge runs straight up or down to them.
func (n node) drawable() float64 {
	const never, atOnce = 1e15, 1e-15 // s
	return min(max(n.seconds, atOnce), never)
}

// opening gives the band's times at a current.
func (b *band) opening(i quantity.Amps) electrical.Opening {
	return b.fuse.Opening(i)
}

// mayNeverOpen tells that there are currents at which the fuse may open and may
// not: the earliest time is bounded from a lower current on than the latest.
func (b *band) mayNeverOpen() bool { return bounded(b.earliest) < bounded(b.latest) }

// bounded gives the current from which on an edge is less than never.
func bounded(edge []node) quantity.Amps {
	return edge[slices.IndexFunc(edge, func(n node) bool { return !math.IsInf(n.seconds, 1) })].current
}

// outline gives the band as a closed polygon.
func (b *band) outline() []node {
	all := slices.Clone(b.earliest)
	for _, n := range slices.Backward(b.latest) {
		all = append(all, n)
	}
	return all
}
