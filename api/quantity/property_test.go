package quantity_test

import (
	"fmt"
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
)

// roundTrip is a type's way to text and back.
type roundTrip struct {
	name  string
	print func(float64) string
	parse func(string) (float64, error)
	// step is the last printed decimal of the smallest unit printed, in the
	// type's own unit: 0.001 mA is 1e-6 A.
	step float64
	low  float64
}

// trip builds a roundTrip from a type's printer and parser.
func trip[T ~float64](name string, step, low float64, print func(T) string, parse func(string) (T, error)) roundTrip {
	return roundTrip{
		name:  name,
		print: func(v float64) string { return print(T(v)) },
		parse: func(text string) (float64, error) { v, err := parse(text); return float64(v), err },
		step:  step, low: low,
	}
}

func TestParseUndoesPrint(t *testing.T) {
	t.Parallel()
	const thousandth = 1e-3
	trips := []roundTrip{
		trip("Amps", 1e-6, 0, quantity.Amps.String, quantity.ParseAmps),
		trip("Volts", 1e-6, 0, quantity.Volts.String, quantity.ParseVolts),
		trip("Ohms", 1e-6, 0, quantity.Ohms.String, quantity.ParseOhms),
		trip("Watts", thousandth, 0, quantity.Watts.String, quantity.ParseWatts),
		trip("Metres", thousandth, 0, quantity.Metres.String, quantity.ParseMetres),
		trip("Metres US", float64(quantity.Foot)*thousandth, 0, quantity.Metres.StringUS, quantity.ParseMetres),
		trip("Millimetres", thousandth, 0, quantity.Millimetres.String, quantity.ParseMillimetres),
		trip("Millimetres US", float64(quantity.Inch)*thousandth, 0, quantity.Millimetres.StringUS, quantity.ParseMillimetres),
		trip("SquareMillimetres", thousandth, 0, quantity.SquareMillimetres.String, quantity.ParseSquareMillimetres),
		trip("Celsius", thousandth, -200, quantity.Celsius.String, quantity.ParseCelsius),
		trip("Newtons", thousandth, 0, quantity.Newtons.String, quantity.ParseNewtons),
		trip("Newtons US", float64(quantity.PoundForce)*thousandth, 0, quantity.Newtons.StringUS, quantity.ParseNewtons),
		trip("AmpHours", thousandth, 0, quantity.AmpHours.String, quantity.ParseAmpHours),
		trip("Percent", thousandth, 0, quantity.Percent.String, quantity.ParsePercent),
	}
	for _, trip := range trips {
		t.Run(trip.name, func(t *testing.T) {
			t.Parallel()
			rapid.Check(t, func(t *rapid.T) {
				x := rapid.Float64Range(math.Max(trip.low, -1e5), 1e5).Draw(t, "x")
				if rapid.Bool().Draw(t, "small") {
					x /= 1e6
				}
				text := trip.print(x)
				back, err := trip.parse(text)
				require.NoError(t, err)
				// Three significant digits are right to half a unit of the third.
				assert.InDelta(t, x, back, math.Max(0.005*math.Abs(x), 0.51*trip.step), text)
				assert.Equal(t, text, trip.print(back))
			})
		})
	}
}

func TestFahrenheitUndoesItself(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		x := quantity.Celsius(rapid.Float64Range(-200, 1000).Draw(t, "x"))
		back, err := quantity.ParseCelsius(x.StringUS())
		require.NoError(t, err)
		// Three digits of Fahrenheit, at worst half a degree below 1000 °F.
		assert.InDelta(t, float64(x), float64(back), math.Max(0.005*math.Abs(x.Fahrenheit()), 0.001))
	})
}

func TestDurationsParseAsPrinted(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		ms := rapid.Int64Range(0, int64(1000*time.Hour/time.Millisecond)).Draw(t, "ms")
		want := time.Duration(ms) * time.Millisecond
		got, err := quantity.ParseDuration(want.String())
		require.NoError(t, err)
		assert.Equal(t, want, got)
	})
}

func TestFeetAndInchesAddUp(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		feet := rapid.IntRange(0, 500).Draw(t, "feet")
		inches := rapid.IntRange(0, 11).Draw(t, "inches")
		form := rapid.SampledFrom([]string{"%d'%d\"", "%d ft %d in", "%d feet and %d inches", "%d'-%d\""}).Draw(t, "form")
		got, err := quantity.ParseMillimetres(fmt.Sprintf(form, feet, inches))
		require.NoError(t, err)
		assert.InDelta(t, float64(feet*12+inches)*25.4, float64(got), 1e-9)
	})
}

func TestGroupedThousandsReadAsPlain(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		thousands := rapid.IntRange(1, 999).Draw(t, "thousands")
		units := rapid.IntRange(0, 999).Draw(t, "units")
		form := rapid.SampledFrom([]string{"%d,%03d W", "%d %03d W", "%d,%03d.0 W", "%d.%03d,0 W"}).Draw(t, "form")
		got, err := quantity.ParseWatts(fmt.Sprintf(form, thousands, units))
		require.NoError(t, err)
		assert.InDelta(t, float64(thousands*1000+units), float64(got), near)
	})
}

func TestSizesParseAsPrinted(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		size := quantity.AWG(rapid.IntRange(quantity.ThickestAWG, quantity.ThinnestAWG).Draw(t, "gauge"))
		if rapid.Bool().Draw(t, "metric") {
			size = quantity.Metric(quantity.SquareMillimetres(rapid.Float64Range(0.01, 2500).Draw(t, "area")))
		}
		got, err := quantity.ParseSize(size.String())
		require.NoError(t, err)
		assert.Equal(t, size, got)
		if size.IsAWG() {
			got, err = quantity.ParseSize(size.Label())
			require.NoError(t, err)
			assert.Equal(t, size, got)
		}
	})
}

func TestThickerGaugesHaveLowerNumbers(t *testing.T) {
	t.Parallel()
	for n := quantity.ThickestAWG; n < quantity.ThinnestAWG; n++ {
		assert.Equal(t, 1, quantity.AWG(n).Compare(quantity.AWG(n+1)), n)
	}
}

func TestGoodTextCostsLittle(t *testing.T) {
	assert.Zero(t, testing.AllocsPerRun(100, func() { _, _ = quantity.ParseAmps("60 A") }))
	assert.Zero(t, testing.AllocsPerRun(100, func() { _, _ = quantity.ParseMetres("20'6\"") }))
	assert.Zero(t, testing.AllocsPerRun(100, func() { _, _ = quantity.ParseSize("1/0 AWG") }))
	assert.LessOrEqual(t, testing.AllocsPerRun(100, func() { _ = quantity.Ohms(0.00327).String() }), 1.0)
}
