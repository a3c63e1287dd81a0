package electrical_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// sheet is an invented maker's: carries 100 %, three gates.
var sheet = []electrical.Gate{{Percent: 135, Min: 10, Max: 1800}, {Percent: 200, Min: 1, Max: 16}, {Percent: 500, Min: 0.05, Max: 0.5}}

func ownCurve(t *testing.T, noOpen quantity.Percent, gates ...electrical.Gate) electrical.Curve {
	t.Helper()
	c, err := electrical.NewCurve(noOpen, gates)
	require.NoError(t, err)
	return c
}

// By hand, on an 80 A part: at the gates what the sheet says; between 135 and 200 %
// the geometric means at √(135·200) %; beyond 500 % I²t is constant, a quarter of
// the time at 1000 %; below the first gate never sooner than at it, and perhaps never.
func TestNewCurveMeetsTheSheet(t *testing.T) {
	c := ownCurve(t, 100, sheet...)
	assert.False(t, c.Typical)
	tests := []struct {
		name          string
		percent       float64
		shortest, max float64
	}{
		{"first gate", 135, 10, 1800},
		{"second gate", 200, 1, 16},
		{"last gate", 500, 0.05, 0.5},
		{"halfway on log–log paper", math.Sqrt(135 * 200), math.Sqrt(10 * 1), math.Sqrt(1800 * 16)},
		{"beyond the last", 1000, 0.0125, 0.125},
		{"below the first", 120, 10, math.Inf(1)},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := c.Opening(80, quantity.Amps(80*tt.percent/100))
			assert.False(t, got.StaysClosed)
			within(t, tt.shortest, got.Min, 1e-9)
			if math.IsInf(tt.max, 1) {
				assert.True(t, math.IsInf(got.Max, 1))
				return
			}
			within(t, tt.max, got.Max, 1e-9)
		})
	}
	assert.True(t, c.Opening(80, 80).StaysClosed, "at the no-open gate")
	assert.True(t, ownCurve(t, 110, sheet...).Opening(80, 88).StaysClosed)
}

// What a sheet leaves out: no maximum at the first gates is never, no minimum at
// the last is 0 s beyond the last stated, and no minimum at all is 0 s throughout.
func TestNewCurveWithFiguresLeftOut(t *testing.T) {
	c := ownCurve(t, 110, electrical.Gate{Percent: 110, Min: 360000}, electrical.Gate{Percent: 135, Min: 0.75, Max: 600}, electrical.Gate{Percent: 350, Max: 0.5})
	got := c.Opening(10, 12)
	assert.True(t, math.IsInf(got.Max, 1), "between the hold and the first maximum")
	assert.Greater(t, got.Min, 0.75)
	assert.Zero(t, c.Opening(10, 14).Min, "beyond the last minimum")
	within(t, 0.75, c.Opening(10, 13.5).Min, 1e-9)

	late := ownCurve(t, 100, electrical.Gate{Percent: 135, Max: 3600}, electrical.Gate{Percent: 200, Min: 2, Max: 120})
	within(t, 2, late.Opening(10, 13.5).Min, 1e-9, "less current never opens sooner")
	assert.Zero(t, ownCurve(t, 100, electrical.Gate{Percent: 200, Max: 120}).Opening(10, 30).Min)
}

// A maker's gates read as the family's do: the blade's of 35 to 40 A, typed in.
func TestNewCurveOfAFamilysGatesIsTheFamilys(t *testing.T) {
	var gates []electrical.Gate
	for _, r := range readRows(t, "fuse_gates_high.csv") {
		if r["family"] != "blade" || r["rating_min_a"] != "35" {
			continue
		}
		g := electrical.Gate{Percent: quantity.Percent(r.number(t, "percent"))}
		if r["opening_min_s"] != "" {
			g.Min = r.number(t, "opening_min_s")
		}
		if r["opening_max_s"] != "" {
			g.Max = r.number(t, "opening_max_s")
		}
		gates = append(gates, g)
	}
	require.Len(t, gates, 5)
	own := ownCurve(t, 100, gates...)
	for _, percent := range []float64{50, 100, 120, 135, 180, 200, 250, 350, 500, 600, 2500} {
		assert.Equal(t, opening(electrical.Blade, 40, percent), own.Opening(40, quantity.Amps(40*percent/100)), "%v %%", percent)
	}
}

// Every fault is told, with its place and what is allowed there.
func TestCheckGatesNamesWhatIsAllowed(t *testing.T) {
	tests := []struct {
		name   string
		noOpen quantity.Percent
		gates  []electrical.Gate
		want   []string
	}{
		{"sound", 100, sheet, nil},
		{"no-open below the rating", 90, sheet, []string{"no_open_percent is 90; allowed: 100 to 10000 %"}},
		{"no-open not a number", quantity.Percent(math.NaN()), sheet, []string{"no_open_percent is NaN; allowed: 100 to 10000 %"}},
		{"no gates", 100, nil, []string{"opening_max_s is 0; allowed: a maximum at one gate at the least"}},
		{"no maximum anywhere", 100, []electrical.Gate{{Percent: 135, Min: 60}}, []string{"opening_max_s is 0; allowed: a maximum at one gate at the least"}},
		{"gate below the no-open gate", 110, []electrical.Gate{{Percent: 105, Max: 60}}, []string{"gate 1: percent is 105; allowed: 110 (the no-open gate) to 10000 %"}},
		{"multiple of the rating for percent", 100, []electrical.Gate{{Percent: 2, Max: 60}}, []string{"gate 1: percent is 2; allowed: 100 (the no-open gate) to 10000 %"}},
		{"percent does not rise", 100, []electrical.Gate{{Percent: 200, Max: 60}, {Percent: 200, Max: 50}},
			[]string{"gate 2: percent is 200; allowed: above the 200 % of a gate before"}},
		{"opens at the no-open gate", 110, []electrical.Gate{{Percent: 110, Max: 60}, {Percent: 200, Max: 50}},
			[]string{"gate 1: opening_max_s is 60; allowed: none: at the no-open gate the fuse stays closed"}},
		{"maximum rises", 100, []electrical.Gate{{Percent: 135, Max: 60}, {Percent: 200, Max: 61}},
			[]string{"gate 2: opening_max_s is 61; allowed: at most the 60 s of a gate before"}},
		{"minimum rises", 100, []electrical.Gate{{Percent: 135, Min: 1, Max: 60}, {Percent: 200, Min: 2, Max: 60}},
			[]string{"gate 2: opening_min_s is 2; allowed: at most the 1 s of a gate before"}},
		{"minimum above maximum", 100, []electrical.Gate{{Percent: 135, Min: 5, Max: 4}, {Percent: 200, Min: 1, Max: 4}},
			[]string{"gate 1: opening_max_s is 4; allowed: the gate's minimum of 5 s or more"}},
		{"maximum left out", 100, []electrical.Gate{{Percent: 135, Max: 60}, {Percent: 200, Min: 1}},
			[]string{"gate 2: opening_max_s is 0; allowed: a time, at most the 60 s of a gate before"}},
		{"gap in the minimums", 100, []electrical.Gate{{Percent: 135, Min: 5, Max: 60}, {Percent: 200, Max: 60}, {Percent: 350, Min: 1, Max: 2}},
			[]string{"gate 3: opening_min_s is 1; allowed: none: the gate before leaves it out"}},
		{"milliseconds for seconds, and below 0", 100, []electrical.Gate{{Percent: 135, Min: -1, Max: 3.6e6}, {Percent: 200, Max: 50}}, []string{
			"gate 1: opening_min_s is -1; allowed: 0.0001 to 1000000 s, or nothing where the maker states none",
			"gate 1: opening_max_s is 3.6e+06; allowed: 0.0001 to 1000000 s, or nothing where the maker states none"}},
		{"several at once", 100, []electrical.Gate{{Percent: 50, Max: 60}, {Percent: 200, Min: math.Inf(1), Max: math.NaN()}}, []string{
			"gate 1: percent is 50; allowed: 100 (the no-open gate) to 10000 %",
			"gate 2: opening_min_s is +Inf; allowed: 0.0001 to 1000000 s, or nothing where the maker states none",
			"gate 2: opening_max_s is NaN; allowed: 0.0001 to 1000000 s, or nothing where the maker states none"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			var got []string
			for _, f := range electrical.CheckGates(tt.noOpen, tt.gates) {
				got = append(got, f.Error())
			}
			assert.Equal(t, tt.want, got)
			_, err := electrical.NewCurve(tt.noOpen, tt.gates)
			if tt.want == nil {
				require.NoError(t, err)
				return
			}
			var fault electrical.GateFault
			require.ErrorAs(t, err, &fault)
			for _, text := range tt.want {
				assert.ErrorContains(t, err, text)
			}
		})
	}
}
