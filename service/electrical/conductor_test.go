package electrical_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// NEC 2017 chapter 9 table 8: direct-current resistance at 75 °C, stranded,
// uncoated copper, 18 AWG … 4/0, and the areas beside it.
func TestResistanceMeetsNECChapter9Table8(t *testing.T) {
	compared := 0
	for _, r := range readRows(t, "awg.csv") {
		if r["nec_75c_ohm_per_kft"] == "" {
			continue
		}
		size := gauge(t, r["size_awg"])
		want := r.number(t, "nec_75c_ohm_per_kft") * perKft / 1e3
		within(t, want, float64(cable(size, 90).ResistancePerMetre(75)), 0.02, "%s AWG", r["size_awg"])
		within(t, r.number(t, "nec_area_mm2"), float64(size.Area()), 0.003, "area of %s AWG", r["size_awg"])
		compared++
	}
	require.Equal(t, 15, compared)
}

// IEC 60228 class 5 is an upper bound at 20 °C: what the standard lets a cable
// have is taken whole, and never less than ideal copper of the nominal area.
func TestResistanceOfMetricSizesIsIEC60228Class5(t *testing.T) {
	for _, r := range readRows(t, "iec60228_class5.csv") {
		area := quantity.SquareMillimetres(r.number(t, "size_mm2"))
		plain := cable(quantity.Metric(area), 105)
		tinned := plain
		tinned.Material = electrical.TinnedCopper
		within(t, r.number(t, "plain_max_ohm_per_km_20C")/1e3, float64(plain.ResistancePerMetre(20)), 1e-9, "plain %v", area)
		within(t, r.number(t, "tinned_max_ohm_per_km_20C")/1e3, float64(tinned.ResistancePerMetre(20)), 1e-9, "tinned %v", area)
		assert.Greater(t, float64(plain.ResistancePerMetre(20)), 1.7241e-2/float64(area), "IACS copper of %v mm²", area)
		assert.Greater(t, tinned.ResistancePerMetre(20), plain.ResistancePerMetre(20))
	}
}

// A gauge is a computed figure; the finest metric size with no less copper, at
// the standard's maximum, is the honest neighbour: 35 mm² against 2 AWG.
func TestResistanceOfGaugesAgainstMetricNeighbours(t *testing.T) {
	awg2 := cable(quantity.AWG(2), 105).ResistancePerMetre(20)     // 33.6 mm²
	mm35 := cable(quantity.Metric(35), 105).ResistancePerMetre(20) // 0.554 Ω/km
	within(t, float64(mm35), float64(awg2), 0.08)
}

func TestResistanceTemperatureCoefficient(t *testing.T) {
	c := cable(quantity.AWG(10), 105)
	at := func(temp quantity.Celsius) float64 { return float64(c.ResistancePerMetre(temp)) }
	within(t, 1.0393, at(30)/at(20), 1e-9)   // 1 + 0.00393·10
	within(t, 1.33405, at(105)/at(20), 1e-9) // 1 + 0.00393·85
	within(t, 0.8428, at(-20)/at(20), 1e-9)
}

// 10 AWG by hand: 17.241 mΩ·mm²/m / 5.2615 mm² · 1.02 = 3.3424 mΩ/m at 20 °C.
func TestResistanceByHand(t *testing.T) {
	within(t, 3.3424e-3, float64(cable(quantity.AWG(10), 105).ResistancePerMetre(20)), 2e-4)
	within(t, 3.3424e-3*5.5, float64(cable(quantity.AWG(10), 105).Resistance(5.5, 20)), 2e-4)
}

func TestStatedResistanceWins(t *testing.T) {
	c := cable(quantity.Metric(16), 105)
	c.MaxOhmPerKm = 1.5
	within(t, 1.5e-3, float64(c.ResistancePerMetre(20)), 1e-12)
	c.Material, c.SAE = electrical.TinnedCopper, true
	within(t, 1.5e-3, float64(c.ResistancePerMetre(20)), 1e-12, "whatever else is stated")
}

// ASTM B566 10A: at least 62.9 % IACS, so 1/0.629 the resistance of copper.
func TestCopperCladByASTMB566(t *testing.T) {
	for _, size := range []quantity.Size{quantity.AWG(4), quantity.Metric(25)} {
		copper, clad := cable(size, 80), cable(size, 80)
		clad.Material = electrical.CopperClad
		within(t, 1/0.629, float64(clad.ResistancePerMetre(20)/copper.ResistancePerMetre(20)), 1e-4)

		iz, err := electrical.Ampacity(copper, base)
		require.NoError(t, err)
		got, err := electrical.Ampacity(clad, base)
		require.NoError(t, err)
		within(t, math.Sqrt(0.629), float64(got/iz), 1e-4, "equal heat: I²R")
	}
}

// Cable marked only with an SAE gauge: the published SAE conductor areas lie
// within a hundredth of the area taken, or above it.
func TestSAEAreaIsNotAboveWhatCataloguesPrint(t *testing.T) {
	compared := 0
	for _, r := range readRows(t, "awg.csv") {
		if r["sae_circular_mils"] == "" {
			continue
		}
		c := cable(gauge(t, r["size_awg"]), 80)
		c.SAE = true
		printed := r.number(t, "sae_circular_mils") * circularMil
		assert.LessOrEqual(t, float64(c.CopperArea()), printed*1.01, "SAE %s", r["size_awg"])
		within(t, float64(c.Size.Area())*0.9, float64(c.CopperArea()), 1e-9)
		compared++
	}
	require.Equal(t, 14, compared)
}

func TestCheckRefuses(t *testing.T) {
	good := cable(quantity.AWG(10), 105)
	require.NoError(t, good.Check())
	for name, spoil := range map[string]func(*electrical.Conductor){
		"no size":                  func(c *electrical.Conductor) { c.Size = quantity.Size{} },
		"no material":              func(c *electrical.Conductor) { c.Material = electrical.MaterialUnstated },
		"unknown material":         func(c *electrical.Conductor) { c.Material = "silver" },
		"no rating":                func(c *electrical.Conductor) { c.Rating = 0 },
		"rating below the table":   func(c *electrical.Conductor) { c.Rating = 59.9 },
		"rating above the table":   func(c *electrical.Conductor) { c.Rating = 200.1 },
		"rating not a number":      func(c *electrical.Conductor) { c.Rating = quantity.Celsius(math.NaN()) },
		"negative resistance":      func(c *electrical.Conductor) { c.MaxOhmPerKm = -1 },
		"resistance not a number":  func(c *electrical.Conductor) { c.MaxOhmPerKm = math.NaN() },
		"resistance without limit": func(c *electrical.Conductor) { c.MaxOhmPerKm = math.Inf(1) },
	} {
		t.Run(name, func(t *testing.T) {
			c := good
			spoil(&c)
			require.ErrorIs(t, c.Check(), electrical.ErrConductor)
			_, err := electrical.Ampacity(c, base)
			require.ErrorIs(t, err, electrical.ErrConductor)
		})
	}
}
