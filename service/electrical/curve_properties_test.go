package electrical_test

import (
	"sort"
	"testing"

	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// fallingSeconds draws n times that never rise.
func fallingSeconds(t *rapid.T, n int, low, high float64, label string) []float64 {
	s := rapid.SliceOfN(rapid.Float64Range(low, high), n, n).Draw(t, label)
	sort.Sort(sort.Reverse(sort.Float64Slice(s)))
	return s
}

// anyGates draws gates as a maker may state them, and their no-open gate: maximums
// from some gate on to the last, minimums over some gates in a row, or none.
func anyGates(t *rapid.T) (quantity.Percent, []electrical.Gate) {
	percents := rapid.SliceOfNDistinct(rapid.IntRange(101, 2000), 1, 8, rapid.ID[int]).Draw(t, "percents")
	sort.Ints(percents)
	n := len(percents)
	maxs := fallingSeconds(t, n, 1e-3, 1e5, "maximums")
	mins := fallingSeconds(t, n, 1e-4, 1e-3, "minimums")
	tight := rapid.Bool().Draw(t, "minimums close to the maximums")
	firstMax := rapid.IntRange(0, n-1).Draw(t, "first maximum")
	firstMin := rapid.IntRange(0, n).Draw(t, "first minimum")
	lastMin := rapid.IntRange(firstMin, n).Draw(t, "after the last minimum")
	gates := make([]electrical.Gate, n)
	for i := range gates {
		gates[i].Percent = quantity.Percent(percents[i])
		if i >= firstMax {
			gates[i].Max = maxs[i]
		}
		if i >= firstMin && i < lastMin {
			gates[i].Min = mins[i]
			if tight {
				gates[i].Min = maxs[i]
			}
		}
	}
	return quantity.Percent(rapid.IntRange(100, percents[0]-1).Draw(t, "no-open gate")), gates
}

// anyFuse draws a fuse of any family and rating, or a part with its maker's gates.
func anyFuse(t *rapid.T, label string) electrical.Fuse {
	family := rapid.SampledFrom(electrical.Families()).Draw(t, label+" family")
	anyRating := rapid.Map(rapid.Float64Range(0.5, 600), func(a float64) quantity.Amps { return quantity.Amps(a) })
	rating := rapid.OneOf(rapid.SampledFrom(ratingsOf(family)), anyRating).Draw(t, label+" rating")
	f := electrical.FuseOf(family, rating)
	if rapid.Bool().Draw(t, label+" has gates of its own") {
		noOpen, gates := anyGates(t)
		own, err := electrical.NewCurve(noOpen, gates)
		if err != nil {
			t.Fatalf("%v refused: %v", gates, err)
		}
		f.Curve = own
	}
	return f
}

// A valid sheet gives at each gate what it states there.
func TestNewCurveGoesThroughEveryGate(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		noOpen, gates := anyGates(t)
		c, err := electrical.NewCurve(noOpen, gates)
		if err != nil {
			t.Fatalf("%v refused: %v", gates, err)
		}
		if !c.Opening(100, quantity.Amps(noOpen)).StaysClosed {
			t.Fatalf("opens at its no-open gate, %v %%", noOpen)
		}
		for _, g := range gates {
			got := c.Opening(100, quantity.Amps(g.Percent))
			if g.Max > 0 && got.Max != g.Max || g.Min > 0 && got.Min != g.Min {
				t.Fatalf("%+v gives %+v", g, got)
			}
		}
	})
}

// assertBand holds a band to what any band is.
func assertBand(t *rapid.T, o electrical.Opening) {
	if !(o.Min <= o.Max) || o.Min < 0 {
		t.Fatalf("band %v", o)
	}
	if mean := o.GeometricMean(); !(o.Min/rounding <= mean && mean <= o.Max*rounding) {
		t.Fatalf("middle %v of %v", mean, o)
	}
}

// later tells that one fuse may open later than another, or sooner at the latest.
func later(a, b electrical.Opening) bool {
	return a.Min > b.Min*rounding || a.Max > b.Max*rounding || a.StaysClosed && !b.StaysClosed
}

func TestMoreCurrentNeverOpensLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFuse(t, "fuse")
		low, high := two(t, rapid.Float64Range(0, 50), "multiple of the rating")
		less, more := f.Opening(f.Rating*quantity.Amps(low)), f.Opening(f.Rating*quantity.Amps(high))
		if later(more, less) {
			t.Fatalf("%v at %v×, %v at %v×", less, low, more, high)
		}
		assertBand(t, less)
		assertBand(t, more)
	})
}

func TestAHotterHolderNeverOpensLater(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFuse(t, "fuse")
		cool, hot := two(t, rapid.Float64Range(-60, 160), "ambient")
		i := f.Rating * quantity.Amps(rapid.Float64Range(0, 20).Draw(t, "multiple of the rating"))
		inCool, inHot := f.OpeningAt(quantity.Celsius(cool), i), f.OpeningAt(quantity.Celsius(hot), i)
		if later(inHot, inCool) {
			t.Fatalf("%v at %v °C, %v at %v °C", inCool, cool, inHot, hot)
		}
		if later(inCool, f.Opening(i)) {
			t.Fatalf("%v at %v °C, %v as published", inCool, cool, f.Opening(i))
		}
		assertBand(t, inHot)
	})
}
