package electrical_test

import (
	"fmt"
	"math"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

func ampacity(t testing.TB, c electrical.Conductor, s electrical.Surroundings) float64 {
	t.Helper()
	iz, err := electrical.Ampacity(c, s)
	require.NoError(t, err)
	return float64(iz)
}

var insulationRatings = []quantity.Celsius{60, 75, 80, 90, 105, 125, 200}

// 33 CFR 183.425 Table 5: every size in every insulation column.
func TestAmpacityIs33CFR183425Table5(t *testing.T) {
	cells := 0
	for _, r := range readRows(t, "ampacity_33cfr183.csv") {
		size := gauge(t, r["size_awg"])
		for _, rating := range insulationRatings {
			want := r.number(t, fmt.Sprintf("amps_%vC", float64(rating)))
			assert.Equal(t, want, ampacity(t, cable(size, rating), base), "%s AWG at %v °C", r["size_awg"], rating)
			cells++
		}
	}
	require.Equal(t, 15*7, cells)
}

// 33 CFR 183.425 Table 5 note 1 and the bundling ladder of note 2 / ABYC E-11.
// 4 AWG carries these currents at 30 °C, by column of Table 5.
func TestAmpacityFactors(t *testing.T) {
	at30 := map[string]float64{"60": 105, "75": 125, "80": 130, "90": 135, "105": 160, "125": 170, "200": 180}
	for _, r := range readRows(t, "ampacity_factors.csv") {
		factor := r.number(t, "factor")
		switch r["kind"] {
		case "engine_space":
			c := cable(quantity.AWG(4), quantity.Celsius(r.number(t, "applies_to")))
			within(t, at30[r["applies_to"]]*factor, ampacity(t, c, electrical.Surroundings{EngineSpace: true}), 1e-9, "%v", r)
		case "bundle":
			from, to, _ := strings.Cut(r["applies_to"], "-")
			for _, text := range []string{from, to} {
				n := row{"n": text}.number(t, "n")
				within(t, 160*factor, ampacity(t, cable(quantity.AWG(4), 105), electrical.Surroundings{Bundled: int(n)}), 1e-9, "%v", r)
			}
		}
	}
	assert.Equal(t, 1.0, electrical.BundlingFactor(0), "nothing stated is a single conductor")
}

// Note 1 is √((Tins − 50)/(Tins − 30)) within a hundredth up to 125 °C.
func TestNote1AgreesWithTheSquareRootRule(t *testing.T) {
	for _, rating := range []quantity.Celsius{60, 75, 80, 90, 105, 125} {
		c := cable(quantity.AWG(4), rating)
		note := ampacity(t, c, electrical.Surroundings{EngineSpace: true})
		root := ampacity(t, c, electrical.Surroundings{Ambient: 50, HasAmbient: true})
		within(t, root, note, 0.01, "%v °C", rating)
	}
}

// By hand, 10 AWG 105 °C (60 A): √(55/75) = 0.85635 at 50 °C; √(5/75) = 0.2582 at 100 °C.
func TestAmpacityAtStatedAmbient(t *testing.T) {
	tests := []struct {
		name string
		in   electrical.Surroundings
		want float64
	}{
		{"colder than the table is not more", electrical.Surroundings{Ambient: -20, HasAmbient: true}, 60},
		{"the table's own ambient", electrical.Surroundings{Ambient: 30, HasAmbient: true}, 60},
		{"zero degrees is an ambient", electrical.Surroundings{Ambient: 0, HasAmbient: true}, 60},
		{"40 °C", electrical.Surroundings{Ambient: 40, HasAmbient: true}, 60 * 0.930949},
		{"50 °C", electrical.Surroundings{Ambient: 50, HasAmbient: true}, 60 * 0.856349},
		{"100 °C", electrical.Surroundings{Ambient: 100, HasAmbient: true}, 60 * 0.258199},
		{"stated ambient instead of the engine factor", electrical.Surroundings{EngineSpace: true, Ambient: 40, HasAmbient: true}, 60 * 0.930949},
		{"an ambient that is not stated is not read", electrical.Surroundings{Ambient: 90}, 60},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			within(t, tt.want, ampacity(t, cable(quantity.AWG(10), 105), tt.in), 1e-5)
		})
	}
}

func TestAmpacityRefusesAmbientAtTheRating(t *testing.T) {
	for _, ambient := range []float64{105, 105.1, 900, math.Inf(1), math.NaN()} {
		_, err := electrical.Ampacity(cable(quantity.AWG(10), 105), electrical.Surroundings{Ambient: quantity.Celsius(ambient), HasAmbient: true})
		require.ErrorIs(t, err, electrical.ErrAmbient, "%v °C", ambient)
	}
	_, err := electrical.Ampacity(cable(quantity.AWG(10), 105), electrical.Surroundings{Ambient: 104.9, HasAmbient: true})
	require.NoError(t, err)
}

// Insulation between two columns takes the lower one: figures of 10 AWG.
func TestAmpacityBetweenColumnsTakesTheLower(t *testing.T) {
	tests := []struct{ rating, want float64 }{{74.9, 40}, {79, 40}, {85, 50}, {89.9, 50}, {104, 55}, {110, 60}, {150, 70}, {199, 70}}
	for _, tt := range tests {
		assert.Equal(t, tt.want, ampacity(t, cable(quantity.AWG(10), quantity.Celsius(tt.rating)), base), "%v °C", tt.rating)
	}
	within(t, 90*0.89, ampacity(t, cable(quantity.AWG(8), 150), electrical.Surroundings{EngineSpace: true}), 1e-9, "note 1 takes the lower column too")
}

// A metric size takes the next gauge with no more copper (105 °C column).
func TestAmpacityOfMetricSizes(t *testing.T) {
	tests := []struct {
		mm2  quantity.SquareMillimetres
		like string
		want float64
	}{
		{1.5, "16 AWG 1.31 mm²", 25}, {2.5, "14 AWG 2.08", 35}, {4, "12 AWG 3.31", 45}, {6, "10 AWG 5.26", 60},
		{8, "10 AWG", 60}, {10, "8 AWG 8.37", 80}, {16, "6 AWG 13.3", 120}, {25, "4 AWG 21.2", 160}, {35, "2 AWG 33.6", 210},
		{50, "1 AWG 42.4", 245}, {70, "2/0 67.4", 330}, {95, "3/0 85.0", 385}, {120, "4/0 107", 445},
		{500, "nothing above 4/0", 445},
		{8.37, "8 AWG as it is printed", 80}, {53.5, "1/0 as it is printed", 285}, {107, "4/0 as it is printed", 445},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, ampacity(t, cable(quantity.Metric(tt.mm2), 105), base), "%v mm² as %s", tt.mm2, tt.like)
	}
}

// A gauge that Table 5 leaves out, and cable marked only with an SAE gauge, take
// the next thinner listed gauge.
func TestAmpacityOfUnlistedAndSAEGauges(t *testing.T) {
	for n, want := range map[int]float64{5: 120, 7: 80, 9: 60, 11: 45, 13: 35, 15: 25, 17: 20} {
		assert.Equal(t, want, ampacity(t, cable(quantity.AWG(n), 105), base), "%d AWG", n)
	}
	for n, want := range map[int]float64{16: 20, 10: 45, 4: 120, 3: 160, 2: 180, 0: 245, -3: 385} {
		c := cable(quantity.AWG(n), 105)
		c.SAE = true
		assert.Equal(t, want, ampacity(t, c, base), "SAE %d", n)
	}
}

// Below 18 AWG: common practice, no source. Gauges keep to gauges and metric
// sizes to metric ones, so that more copper of one kind never carries less.
func TestAmpacityOfThinSizes(t *testing.T) {
	tests := []struct {
		size   quantity.Size
		sae    bool
		rating quantity.Celsius
		want   float64
	}{
		{quantity.AWG(22), false, 105, 5},
		{quantity.AWG(21), false, 105, 5},
		{quantity.AWG(20), false, 105, 8},
		{quantity.AWG(19), false, 105, 8},
		{quantity.AWG(20), true, 105, 5},
		{quantity.AWG(18), true, 105, 8},
		{quantity.Metric(0.35), false, 105, 4},
		{quantity.Metric(0.5), false, 105, 6},
		{quantity.Metric(0.6), false, 105, 6},
		{quantity.Metric(0.75), false, 105, 10},
		{quantity.Metric(1), false, 105, 15},
		{quantity.Metric(1.25), false, 105, 15},
		{quantity.Metric(1), false, 200, 15}, // never scaled upwards
		{quantity.Metric(1), false, 60, 7.5}, // as 18 AWG: 10 of 20 A
		{quantity.AWG(20), false, 80, 6},     // as 18 AWG: 15 of 20 A
	}
	for _, tt := range tests {
		c := cable(tt.size, tt.rating)
		c.SAE = tt.sae
		within(t, tt.want, ampacity(t, c, base), 1e-9, "%+v", tt)
	}
	sae22 := cable(quantity.AWG(22), 105)
	sae22.SAE = true
	for _, c := range []electrical.Conductor{cable(quantity.AWG(23), 105), cable(quantity.AWG(26), 105), cable(quantity.Metric(0.34), 105), cable(quantity.Metric(1e-9), 105), sae22} {
		_, err := electrical.Ampacity(c, base)
		require.ErrorIs(t, err, electrical.ErrThinner, "%+v", c.Size)
	}
}

// T = Ta + (Tins − Ta)·(I/Iz)²: half the current, a quarter of the rise.
func TestTemperatureUnderLoad(t *testing.T) {
	assert.InDelta(t, 30, float64(electrical.Temperature(30, 105, 0, 60)), 1e-9)
	assert.InDelta(t, 48.75, float64(electrical.Temperature(30, 105, 30, 60)), 1e-9)
	assert.InDelta(t, 105, float64(electrical.Temperature(30, 105, 60, 60)), 1e-9)
	assert.InDelta(t, 198.75, float64(electrical.Temperature(30, 105, 90, 60)), 1e-9)
}

func TestSurroundingsTemperature(t *testing.T) {
	assert.Equal(t, quantity.Celsius(30), base.Temperature())
	assert.Equal(t, quantity.Celsius(50), electrical.Surroundings{EngineSpace: true}.Temperature())
	assert.Equal(t, quantity.Celsius(0), electrical.Surroundings{EngineSpace: true, HasAmbient: true}.Temperature())
}
