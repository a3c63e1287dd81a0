package quantity_test

import (
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/lugbook/api/quantity"
)

func TestString(t *testing.T) {
	t.Parallel()
	tests := []struct {
		value fmt.Stringer
		want  string
	}{
		{quantity.Amps(96.6), "96.6 A"},
		{quantity.Amps(96.64), "96.6 A"},
		{quantity.Amps(1254), "1254 A"},
		{quantity.Amps(7.5), "7.5 A"},
		{quantity.Amps(0.25), "0.25 A"},
		{quantity.Amps(0.02), "20 mA"},
		{quantity.Amps(-0.02), "-20 mA"},
		{quantity.Amps(0.099999), "0.1 A"},
		{quantity.Amps(0), "0 A"},
		{quantity.Amps(1e-9), "0 A"},
		{quantity.Amps(-1e-9), "0 A"},
		{quantity.Volts(0.316), "0.316 V"},
		{quantity.Volts(0.0042), "4.2 mV"},
		{quantity.Volts(13.8), "13.8 V"},
		{quantity.Volts(12.65), "12.65 V"},
		{quantity.Volts(48), "48 V"},
		{quantity.Ohms(0.00327), "3.27 mΩ"},
		{quantity.Ohms(0.9999), "1 Ω"},
		{quantity.Ohms(4), "4 Ω"},
		{quantity.Watts(60), "60 W"},
		{quantity.Watts(1200), "1.2 kW"},
		{quantity.Watts(999.7), "1 kW"},
		{quantity.Watts(999.4), "999 W"},
		{quantity.Watts(-1200), "-1.2 kW"},
		{quantity.Metres(5.1816), "5.18 m"},
		{quantity.Metres(0.15), "0.15 m"},
		{quantity.Metres(9.996), "10 m"},
		{quantity.Millimetres(12.5), "12.5 mm"},
		{quantity.SquareMillimetres(13.302), "13.3 mm²"},
		{quantity.Celsius(50), "50 °C"},
		{quantity.Celsius(-12.5), "-12.5 °C"},
		{quantity.Celsius(160.4), "160 °C"},
		{quantity.Newtons(222.4), "222 N"},
		{quantity.AmpHours(100), "100 Ah"},
		{quantity.Percent(3), "3%"},
		{quantity.Percent(2.634), "2.63%"},
		{quantity.Percent(120), "120%"},
		{quantity.Amps(math.NaN()), "NaN A"},
		{quantity.Amps(math.Inf(1)), "+Inf A"},
		{quantity.Watts(math.Inf(-1)), "-Inf W"},
		{quantity.Watts(math.NaN()), "NaN W"},
		{quantity.Metres(1e20), "1e+20 m"},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.want, tt.value.String())
	}
}

func TestUSUnits(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 17, quantity.Metres(5.1816).Feet(), near)
	assert.InDelta(t, 0.5, quantity.Millimetres(12.7).Inches(), near)
	assert.InDelta(t, 122, quantity.Celsius(50).Fahrenheit(), near)
	assert.InDelta(t, -40, quantity.Celsius(-40).Fahrenheit(), near)
	assert.InDelta(t, 50, quantity.Newtons(222.411080763).PoundsForce(), 1e-9) // NIST SP 811: 4.4482216152605 N

	assert.Equal(t, "17 ft", quantity.Metres(5.1816).StringUS())
	assert.Equal(t, "0.492 in", quantity.Millimetres(12.5).StringUS())
	assert.Equal(t, "122 °F", quantity.Celsius(50).StringUS())
	assert.Equal(t, "50 lbf", quantity.Newtons(222.4).StringUS())

	assert.InDelta(t, 6.096, float64(20*quantity.Foot), near)
	assert.InDelta(t, 6.35, float64(quantity.Inch/4), near)
	assert.InDelta(t, 355.857729, float64(80*quantity.PoundForce), 1e-6)
}

func TestProductsOfQuantities(t *testing.T) {
	t.Parallel()
	// 60 A over 5 mΩ drop 0.3 V and heat it with 18 W; at 12 V they carry 720 W.
	i, r := quantity.Amps(60), 5*quantity.Milliohm
	assert.InDelta(t, 0.3, float64(i.Through(r)), near)
	assert.InDelta(t, 18, float64(i.Heating(r)), near)
	assert.InDelta(t, 720, float64(i.At(12)), near)
	assert.InDelta(t, 60, float64(quantity.Watts(720).Drawing(12)), near)
	assert.True(t, math.IsInf(float64(quantity.Watts(720).Drawing(0)), 1))
	assert.InDelta(t, 0.36, float64(quantity.Percent(3).Of(12)), near)
	assert.InDelta(t, 300, quantity.Volts(0.3).Millivolts(), near)
	assert.InDelta(t, 5, r.Milliohms(), near)
	assert.InDelta(t, 1500, float64(quantity.Metres(1.5).Millimetres()), near)
	assert.InDelta(t, 1.5, float64(quantity.Millimetres(1500).Metres()), near)
}
