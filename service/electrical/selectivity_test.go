package electrical_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

func inLine(down, up electrical.Fuse, highest quantity.Amps) electrical.InLine {
	return electrical.InLine{Downstream: down, Upstream: up, Highest: highest}
}

// By hand from the gates.
// Blade 30 A behind maxi 40 A: from 105 A (350 %) the blade takes at most
// 0.5·(I/105)^−2.986, the maxi at least 0.6533·(I/105)^−4.115 up to 140 A: they meet
// at 105·1.3066^(1/1.1286) = 133.1 A.
// Blade 10 A behind maxi 60 A: I²t at most 0.1·60² = 360, at least 0.04·360² = 5184.
// Glass 10 A behind blade 20 A: at most 120·(20/I)² s; the blade falls from 360000 s
// at 22 A to 0.75 s at 27 A: at 25.12 A both take 76 s.
// Class T states no minimum: it may open at once.
// Two parts of 10 A whose times cross at 20·2^(ln 2/ln 3.6) = 29.10 A and again later.
func TestSelectivity(t *testing.T) {
	blade30, maxi40 := electrical.FuseOf(electrical.Blade, 30), electrical.FuseOf(electrical.Maxi, 40)
	glass := electrical.FuseOf(electrical.Glass, 10)
	slow := electrical.Fuse{Family: electrical.ANL, Rating: 10, Curve: ownCurve(t, 100,
		electrical.Gate{Percent: 200, Max: 10}, electrical.Gate{Percent: 400, Max: 9}, electrical.Gate{Percent: 1000, Max: 0.01})}
	steady := electrical.Fuse{Family: electrical.ANL, Rating: 10, Curve: ownCurve(t, 100,
		electrical.Gate{Percent: 200, Min: 20, Max: 100}, electrical.Gate{Percent: 400, Min: 5, Max: 100}, electrical.Gate{Percent: 1000, Min: 4, Max: 100})}
	tests := []struct {
		name  string
		line  electrical.InLine
		upTo  float64
		total bool
		rule  string
	}{
		{"up to a current", inLine(blade30, maxi40, 1500), 133.07, false, "selectivity.up_to"},
		{"no fault is as high as where they meet", inLine(blade30, maxi40, 130), 130, true, "selectivity.total"},
		{"total", inLine(electrical.FuseOf(electrical.Blade, 10), electrical.FuseOf(electrical.Maxi, 60), 5000), 5000, true, "selectivity.total"},
		{"holds again above a gap", inLine(slow, steady, 100), 29.10, false, "selectivity.up_to"},
		{"glass behind blade", inLine(glass, electrical.FuseOf(electrical.Blade, 20), 1500), 25.116, false, "selectivity.up_to"},
		{"the upstream fuse never opens", inLine(glass, electrical.FuseOf(electrical.Breaker, 50), 50), 50, true, "selectivity.total"},
		{"no minimum upstream", inLine(glass, electrical.FuseOf(electrical.ClassT, 100), 1500), 100, false, "selectivity.up_to"},
		{"none, ratings far apart", inLine(electrical.FuseOf(electrical.Breaker, 30), electrical.FuseOf(electrical.ClassT, 50), 1500), 0, false, "selectivity.by_ratio"},
		{"none, ratings close", inLine(electrical.FuseOf(electrical.Blade, 30), electrical.FuseOf(electrical.Blade, 30), 1500), 0, false, "selectivity.doubtful"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.line.Selectivity()
			assert.InDelta(t, tt.upTo, float64(got.UpTo), tt.upTo*1e-3)
			assert.LessOrEqual(t, float64(got.UpTo), tt.upTo*1.0005, "never rounded up")
			assert.Equal(t, tt.total, got.Total)
			assert.Equal(t, tt.rule, got.Reason.Rule)
			within(t, float64(tt.line.Upstream.Rating/tt.line.Downstream.Rating), got.Ratio, 1e-12)
		})
	}
}

// A range that begins above the doubtful span leaves it out. What the upstream fuse
// carries besides brings the limit down: with 10 A beside 64.5 A the maxi sees 186 %
// and takes 2·(74.5/80)^−8.654 = 3.72 s at least, the blade 5·(64.5/60)^−4.115 = 3.72 s.
func TestSelectivityCountsTheRangeAndTheOtherLoads(t *testing.T) {
	l := inLine(electrical.FuseOf(electrical.Blade, 30), electrical.FuseOf(electrical.Maxi, 40), 1500)
	l.Besides = 10
	within(t, 64.46, float64(l.Selectivity().UpTo), 1e-3)
	l.Besides = 20
	assert.Zero(t, l.Selectivity().UpTo, "60 A: the blade takes up to 5 s, the maxi at 80 A as little as 2 s")
	l.Besides, l.Lowest = 0, 134
	assert.Zero(t, l.Selectivity().UpTo)
	l.Lowest = 40.2
	assert.Zero(t, l.Selectivity().UpTo, "134 % and 100.5 %: neither is shown to open")
}

func TestSelectivityByTypicalCurvesSaysSo(t *testing.T) {
	blade, anl := electrical.FuseOf(electrical.Blade, 10), electrical.FuseOf(electrical.ANL, 100)
	assert.True(t, inLine(blade, anl, 1500).Selectivity().Typical)
	assert.False(t, inLine(blade, electrical.FuseOf(electrical.Maxi, 60), 1500).Selectivity().Typical)
}

// Wherever it is said to hold the curves show it, and just above they no longer do.
func TestSelectivityIsWhatTheCurvesShow(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := inLine(anyFuse(t, "downstream"), anyFuse(t, "upstream"), quantity.Amps(rapid.Float64Range(1, 20000).Draw(t, "highest")))
		l.Besides = quantity.Amps(rapid.Float64Range(0, 100).Draw(t, "besides"))
		l.Lowest = quantity.Amps(rapid.Float64Range(1, 500).Draw(t, "lowest"))
		got := l.Selectivity()
		shown := func(i quantity.Amps) bool {
			up := l.Upstream.Opening(i + l.Besides)
			return up.StaysClosed || l.Downstream.Opening(i).Max < up.Min
		}
		if got.UpTo == 0 {
			if shown(min(l.Lowest, l.Highest)) {
				t.Fatalf("none, but the lowest fault is selective: %+v", got)
			}
			return
		}
		within := rapid.Float64Range(0, 1).Draw(t, "place in the range")
		i := min(l.Lowest, l.Highest)
		i *= quantity.Amps(math.Pow(float64(got.UpTo/i), within))
		if i = min(i, got.UpTo); !shown(i) {
			t.Fatalf("said to hold up to %v A, but not at %v A", got.UpTo, i)
		}
		if got.Total != (got.UpTo == l.Highest) {
			t.Fatalf("total %v up to %v of %v A", got.Total, got.UpTo, l.Highest)
		}
		next := got.UpTo * 1.00011
		if up := l.Upstream.Opening(next + l.Besides); !got.Total && (up.StaysClosed || l.Downstream.Opening(got.UpTo).Max < up.Min) {
			t.Fatalf("holds beyond %v A", got.UpTo)
		}
	})
}

// A larger upstream fuse of one curve is never less selective.
func TestSelectivityNeverFallsWithAMoreRobustUpstream(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		l := inLine(anyFuse(t, "downstream"), anyFuse(t, "upstream"), 5000)
		larger := l
		larger.Upstream.Rating *= quantity.Amps(rapid.Float64Range(1, 3).Draw(t, "times"))
		if larger.Selectivity().UpTo < l.Selectivity().UpTo/1.00011 {
			t.Fatalf("%+v, larger %+v", l.Selectivity(), larger.Selectivity())
		}
	})
}

func TestSelectivityOfNonsenseEnds(t *testing.T) {
	wild := []quantity.Amps{0, -1, 1e-320, 1e300, quantity.Amps(math.Inf(1)), quantity.Amps(math.NaN())}
	for _, rating := range wild {
		for _, highest := range wild {
			for _, besides := range wild {
				l := inLine(electrical.FuseOf(electrical.Blade, rating), electrical.FuseOf(electrical.Maxi, 40), highest)
				l.Besides = besides
				got := l.Selectivity()
				assert.LessOrEqual(t, got.UpTo, quantity.Amps(1e6), "%v A, highest %v, beside %v", rating, highest, besides)
			}
		}
	}
}
