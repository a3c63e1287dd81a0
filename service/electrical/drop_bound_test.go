package electrical_test

import (
	"slices"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// The sizes of ABYC's tables, thinnest first; 3 AWG is not among them.
var abycSizes = []string{"18", "16", "14", "12", "10", "8", "6", "4", "2", "1", "1/0", "2/0", "3/0", "4/0"}

// thinnestByResistance gives the place in abycSizes of the thinnest conductor that
// keeps a drop by this package's Resistance at a temperature, or len(abycSizes).
func thinnestByResistance(t *testing.T, sae bool, i quantity.Amps, feet, limit float64, at quantity.Celsius) int {
	t.Helper()
	for n, text := range abycSizes {
		c := cable(gauge(t, text), 105)
		c.SAE = sae
		if float64(i.Through(c.Resistance(quantity.Metres(feet*foot), at))) <= limit {
			return n
		}
	}
	return len(abycSizes)
}

// thinnestByFormula does the same by CM = K·I·L/E with given areas.
func thinnestByFormula(area func(size string) float64, i quantity.Amps, feet, limit float64) int {
	need := abycK * float64(i) * feet / limit
	for n, text := range abycSizes {
		if area(text) >= need {
			return n
		}
	}
	return len(abycSizes)
}

func saeAreas(t *testing.T) func(string) float64 {
	t.Helper()
	areas := map[string]float64{}
	for _, r := range readRows(t, "awg.csv") {
		if r["sae_circular_mils"] != "" {
			areas[r["size_awg"]] = r.number(t, "sae_circular_mils")
		}
	}
	return func(size string) float64 { return areas[size] }
}

func eachABYCCell(t *testing.T, visit func(i quantity.Amps, feet float64, printed int)) {
	t.Helper()
	cells := 0
	for _, r := range readRows(t, "abyc_3pct_12v.csv") {
		for column, text := range r {
			amps, ok := strings.CutPrefix(column, "awg_at_")
			if !ok {
				continue
			}
			i, err := strconv.ParseFloat(strings.TrimSuffix(amps, "_A"), 64)
			require.NoError(t, err)
			visit(quantity.Amps(i), r.number(t, "total_length_ft"), slices.Index(abycSizes, text))
			cells++
		}
	}
	require.Equal(t, 117, cells)
}

const threePercentOf12V = 0.36

// ABYC E-11's 3 % table at 12 V. It rests on SAE conductors, so the rules can be
// compared with it only for cable marked SAE: there the pick at 30 °C is never
// thinner than either the formula demands or the table prints, and at most one
// size of the table thicker than the formula.
func TestDropAgainstABYC3PercentTable(t *testing.T) {
	area := saeAreas(t)
	eachABYCCell(t, func(i quantity.Amps, feet float64, printed int) {
		ours := thinnestByResistance(t, true, i, feet, threePercentOf12V, 30)
		formula := thinnestByFormula(area, i, feet, threePercentOf12V)
		assert.GreaterOrEqual(t, ours, formula, "formula, %v A %v ft", i, feet)
		assert.GreaterOrEqual(t, ours, printed, "print, %v A %v ft", i, feet)
		assert.LessOrEqual(t, ours, formula+1, "%v A %v ft", i, feet)
	})
}

// With the copper of a full gauge on both sides, K = 10.75 stands for about 24 °C;
// at any warmer conductor the rules never pick a thinner size than the formula.
// Against the print, which counts on less copper, a full gauge may be thinner:
// by one size of the table and no more.
func TestDropOfFullGaugesAgainstABYCFormula(t *testing.T) {
	fullGauge := func(size string) float64 { return float64(gauge(t, size).Area()) / circularMil }
	eachABYCCell(t, func(i quantity.Amps, feet float64, printed int) {
		ours := thinnestByResistance(t, false, i, feet, threePercentOf12V, 30)
		assert.GreaterOrEqual(t, ours, thinnestByFormula(fullGauge, i, feet, threePercentOf12V), "%v A %v ft", i, feet)
		assert.GreaterOrEqual(t, ours, printed-1, "%v A %v ft", i, feet)
	})
}

// K is resistivity in other units: 10.75 Ω·cmil/ft lies between this package's
// copper with lay at 20 °C (10.58) and at 30 °C (10.99).
func TestABYCKLiesBetween20And30Degrees(t *testing.T) {
	c := cable(quantity.AWG(4), 105)
	k := func(at quantity.Celsius) float64 {
		return float64(c.ResistancePerMetre(at)) * foot * float64(c.Size.Area()) / circularMil
	}
	within(t, 10.58, k(20), 1e-3)
	within(t, 10.99, k(30), 1e-3)
	assert.Less(t, k(20), abycK)
	assert.Greater(t, k(30), abycK)
}

// ABYC practice: 3 % for what must not lose, 10 % for the rest; 5 % for motors.
func TestDropLimits(t *testing.T) {
	d := electrical.Standard()
	for class, want := range map[electrical.DropClass]quantity.Percent{
		electrical.Critical: 3, electrical.MotorDrop: 5, electrical.General: 10, "unknown": 3,
	} {
		assert.Equal(t, want, d.DropLimit(class), "%s", class)
	}
	assert.InDelta(t, threePercentOf12V, float64(d.DropLimit(electrical.Critical).Of(12)), 1e-12)
	assert.Equal(t, quantity.Percent(2), d.DropTotalExtra)
}
