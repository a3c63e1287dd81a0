package electrical_test

import (
	"math"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

var pull = electrical.Duty{Kind: electrical.Intermittent, On: time.Minute, Off: 4 * time.Minute}

// RMS over the period: on a fifth of the time, √0.2 = 0.4472 of the current.
func TestHeating(t *testing.T) {
	within(t, 44.72136, float64(pull.Heating(100)), 1e-6)
	for name, d := range map[string]electrical.Duty{
		"continuous":      {Kind: electrical.Continuous, On: time.Minute, Off: time.Hour},
		"music":           {Kind: electrical.Music, Share: 0.1},
		"on too long":     {Kind: electrical.Intermittent, On: time.Minute + time.Second, Off: time.Hour},
		"no rest stated":  {Kind: electrical.Intermittent, On: time.Minute},
		"no times stated": {Kind: electrical.Intermittent},
	} {
		assert.Equal(t, quantity.Amps(100), d.Heating(100), name)
	}
	forever := electrical.Duty{Kind: electrical.Intermittent, On: time.Minute, Off: math.MaxInt64}
	assert.InDelta(t, 0, float64(forever.Heating(100)), 0.1)
}

// IEC 60949 copper: 3.45e6 J/(K·m³). 10 mm² at 20 Ω/km·(1 + 0.00393·80) = 26.288
// Ω/km, 100 A for 10 s: 100²·0.026288·10/(3.45e6·1e-5) = 76.197 K.
func TestAdiabaticRise(t *testing.T) {
	c := cable(quantity.Metric(10), 100)
	c.MaxOhmPerKm = 20
	within(t, 76.197, float64(electrical.AdiabaticRise(c, 100, 10*time.Second)), 1e-4)
	assert.Zero(t, electrical.AdiabaticRise(c, 100, 0))
}

// IEC 60949 aluminium: 2.5e6 J/(K·m³). Copper-clad cable of the same resistance
// warms faster, and the rules count it as aluminium throughout.
func TestAdiabaticRiseOfCopperCladIsLarger(t *testing.T) {
	copper, clad := cable(quantity.Metric(10), 100), cable(quantity.Metric(10), 100)
	copper.MaxOhmPerKm, clad.MaxOhmPerKm = 3, 3
	clad.Material = electrical.CopperClad
	ratio := float64(electrical.AdiabaticRise(clad, 100, time.Second) / electrical.AdiabaticRise(copper, 100, time.Second))
	// 3.45/2.5 of the heat capacity, (1 + 0.004·80)/(1 + 0.00393·80) of the resistance.
	within(t, 1.38*1.32/1.3144, ratio, 1e-9)
}

// 6 AWG of 105 °C (120 A), one-minute pulls of 100 A, a minute in five, at 30 °C:
// held at 30 + 75·(0.4472·100/120)² = 40.42 °C, then up by what a pull adds.
func TestShortTimePeak(t *testing.T) {
	c := cable(quantity.AWG(6), 105)
	rise := float64(electrical.AdiabaticRise(c, 100, time.Minute))
	within(t, 40.4167+rise, float64(electrical.ShortTimePeak(c, 30, pull, 100, 120)), 1e-5)
	// 1.2961·1.02·1.33405 = 1.7637 mΩ/m; 10⁴·1.7637e-3·60/(3.45e6·13.302e-6) = 23.06 K.
	within(t, 23.06, rise, 1e-3)
}

// 33 CFR 183.455(c)(1): 150 % below 50 V. The road's 250 % is common practice, no source.
func TestFuseOverAmpacity(t *testing.T) {
	assert.Equal(t, 1.5, electrical.FuseOverAmpacity(electrical.Boat))
	for _, c := range []electrical.Category{electrical.Car, electrical.Van, electrical.Truck, electrical.SideBySide} {
		assert.Equal(t, 2.5, electrical.FuseOverAmpacity(c), "%s", c)
	}
}

// MIL-T-7928: highest drop over test current, in mΩ; a size between two takes the
// thinner, and everything above 6 AWG the last.
func TestBarrelResistance(t *testing.T) {
	for n, want := range map[int]float64{22: 0.78, 20: 0.55, 18: 0.31, 16: 0.32, 14: 0.19, 12: 0.12, 10: 0.09, 8: 0.07, 6: 0.05, 4: 0.05, -3: 0.05, 9: 0.09, 26: 0.78} {
		within(t, want, electrical.BarrelResistance(quantity.AWG(n)).Milliohms(), 1e-9, "%d AWG", n)
	}
	within(t, 0.07, electrical.BarrelResistance(quantity.Metric(10)).Milliohms(), 1e-9)
}
