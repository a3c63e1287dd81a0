package quantity

import (
	"math"
	"strconv"
)

// How quantities print: three significant digits as far as three decimals give
// them, no zeros at the end, digits left of the point never rounded away. Small currents, voltages and resistances print in the milli unit,
// kilowatts from 1 kW up. NaN and infinities print as NaN, +Inf and -Inf.

// Below these values, in the milli unit, the milli unit is printed.
const (
	milliampsBelow  = 100
	millivoltsBelow = 100
	milliohmsBelow  = 1000
)

// Beyond this value digits are noise, and powers of ten are printed.
const scientificFrom = 1e15

// String gives the current in A, or in mA below 100 mA: "96.6 A", "20 mA".
func (i Amps) String() string {
	return smallText(float64(i), milliampsBelow, 0, " A", " mA")
}

// String gives the voltage in V with at least two decimals, or in mV below
// 100 mV: "13.8 V", "12.65 V", "0.316 V", "4.2 mV".
func (v Volts) String() string {
	return smallText(float64(v), millivoltsBelow, 2, " V", " mV")
}

// String gives the resistance in Ω, or in mΩ below 1 Ω: "4 Ω", "3.27 mΩ".
func (r Ohms) String() string {
	return smallText(float64(r), milliohmsBelow, 0, " Ω", " mΩ")
}

// String gives the power in W, or in kW from 1 kW up: "60 W", "1.2 kW".
func (p Watts) String() string {
	if w := math.Abs(float64(p)); rounded(w) >= 1000 && !math.IsInf(w, 0) {
		return text(float64(p)/1000, 0, " kW")
	}
	return text(float64(p), 0, " W")
}

// String gives the length in m: "5.18 m".
func (l Metres) String() string { return text(float64(l), 0, " m") }

// String gives the length in mm: "12.5 mm".
func (l Millimetres) String() string { return text(float64(l), 0, " mm") }

// String gives the cross-section in mm²: "13.3 mm²".
func (a SquareMillimetres) String() string { return text(float64(a), 0, " mm²") }

// String gives the temperature in °C: "50 °C".
func (t Celsius) String() string { return text(float64(t), 0, " °C") }

// String gives the force in N: "222 N".
func (f Newtons) String() string { return text(float64(f), 0, " N") }

// String gives the capacity in Ah: "100 Ah".
func (q AmpHours) String() string { return text(float64(q), 0, " Ah") }

// String gives the percentage: "3%".
func (p Percent) String() string { return text(float64(p), 0, "%") }

// Feet gives the length in feet.
func (l Metres) Feet() float64 { return float64(l / Foot) }

// Inches gives the length in inches.
func (l Millimetres) Inches() float64 { return float64(l / Inch) }

// Fahrenheit gives the temperature in degree Fahrenheit.
func (t Celsius) Fahrenheit() float64 { return float64(t)*9/5 + 32 }

// PoundsForce gives the force in pounds-force.
func (f Newtons) PoundsForce() float64 { return float64(f / PoundForce) }

// StringUS gives the length in feet: "17 ft".
func (l Metres) StringUS() string { return text(l.Feet(), 0, " ft") }

// StringUS gives the length in inches: "0.492 in".
func (l Millimetres) StringUS() string { return text(l.Inches(), 0, " in") }

// StringUS gives the temperature in °F: "122 °F".
func (t Celsius) StringUS() string { return text(t.Fahrenheit(), 0, " °F") }

// StringUS gives the force in pounds-force: "50 lbf".
func (f Newtons) StringUS() string { return text(f.PoundsForce(), 0, " lbf") }

// smallText prints x in its base unit or, below a bound, in the milli unit.
// Nothing, and what would round to nothing, is printed in the base unit.
func smallText(x, below float64, leastDecimals int, base, milli string) string {
	if m := rounded(math.Abs(x) * 1000); m > 0 && m < below {
		return text(x*1000, 0, milli)
	}
	return text(x, leastDecimals, base)
}

// text prints a number and its unit.
func text(x float64, leastDecimals int, unit string) string {
	var space [48]byte
	b := appendNumber(space[:0], x, max(decimals(x), leastDecimals))
	return string(append(b, unit...))
}

// appendNumber prints x to so many decimals without zeros at the end.
func appendNumber(b []byte, x float64, places int) []byte {
	if !(math.Abs(x) < scientificFrom) {
		return strconv.AppendFloat(b, x, 'g', 3, 64)
	}
	start := len(b)
	b = strconv.AppendFloat(b, x, 'f', places, 64)
	for places > 0 && b[len(b)-1] == '0' {
		b = b[:len(b)-1]
		places--
	}
	if b[len(b)-1] == '.' {
		b = b[:len(b)-1]
	}
	if string(b[start:]) == "-0" {
		return append(b[:start], '0')
	}
	return b
}

// decimals is how many decimals x is printed to.
func decimals(x float64) int {
	switch x = math.Abs(x); {
	case x >= 100:
		return 0
	case x >= 10:
		return 1
	case x >= 1:
		return 2
	}
	return 3
}

// rounded gives x as it will be printed, to choose the unit by: 999.7 W prints
// as 1 kW, not as 1000 W.
func rounded(x float64) float64 {
	scale := math.Pow10(decimals(x))
	return math.Round(x*scale) / scale
}
