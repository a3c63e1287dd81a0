package quantity

import "strings"

// Dimension is a kind of quantity. Its value is the short name used in error
// texts, such as "current".
type Dimension string

// The dimensions and, in brackets, their base units.
const (
	Current     Dimension = "current"          // [A]
	Voltage     Dimension = "voltage"          // [V]
	Resistance  Dimension = "resistance"       // [Ω]
	Power       Dimension = "power"            // [W]
	Length      Dimension = "length"           // [m]
	Area        Dimension = "area"             // [mm²]
	Temperature Dimension = "temperature"      // [°C]
	Force       Dimension = "force"            // [N]
	Charge      Dimension = "battery capacity" // [Ah]
	Share       Dimension = "percentage"       // [%]
	Time        Dimension = "time"             // [s]
)

// Customary units as multiples of ours, for tables that are kept in them.
// Foot and inch by the international yard and pound agreement of 1959; the
// pound-force is 0.45359237 kg at standard gravity, 9.80665 m/s² (NIST SP 811,
// appendix B; from memory).
const (
	Foot       Metres      = 0.3048
	Inch       Millimetres = 25.4
	PoundForce Newtons     = 4.4482216152605
)

// Units gives the units in which the dimension may be written, as they are
// printed, the base unit first. It is nil for an unknown dimension.
func (d Dimension) Units() []string {
	units := unitsOf(d)
	if units == nil {
		return nil
	}
	names := make([]string, len(units))
	for i := range units {
		names[i] = units[i].print
	}
	return names
}

// UnitOf tells what a contract field's suffix stands for: "a" or "_a" is a
// current in ampere. The scale turns base units into the suffix's unit: for
// "_mohm" it is 1000, because a resistance in milliohm is the one in ohm times
// 1000. A name that is all unit ("hours", "volts") counts as a suffix. The last
// result is false for anything else.
//
// To read text into a field, [ParseFor] loses no digit where multiplying by
// the scale may lose the last one.
func UnitOf(suffix string) (Dimension, float64, bool) {
	d, u := unitOfSuffix(suffix)
	if u == nil {
		return "", 0, false
	}
	return d, u.div / u.mul, true
}

// unit is one row of the table. A value in the unit becomes base units by
// (value + shift) · mul / div; mul and div are whole numbers where the
// definition allows it, so that whole feet or milliohms convert with a single
// rounding.
type unit struct {
	print    string
	mul, div float64
	shift    float64
	milli    bool     // begins with the milli prefix: a capital M is refused
	chain    bool     // may be followed by a smaller unit: 3 ft 6 in
	suffixes []string // of contract fields
	spelling []string // accepted besides print, case folded, single spaces
}

// toBase converts a value in the unit to base units.
func (u *unit) toBase(v float64) float64 { return (v + u.shift) * u.mul / u.div }

// fromBase converts base units to a value in the unit.
func (u *unit) fromBase(v float64) float64 { return v*u.div/u.mul - u.shift }

// spelled tells whether the text is one of the unit's names.
func (u *unit) spelled(text string) bool {
	if strings.EqualFold(text, u.print) {
		return true
	}
	for _, name := range u.spelling {
		if strings.EqualFold(text, name) {
			return true
		}
	}
	return false
}

// dimensions is the order in which other dimensions are searched for a unit
// that does not fit. Length stands before Time, so that m is a metre.
var dimensions = [...]Dimension{
	Current, Voltage, Resistance, Power, Length, Area, Temperature, Force, Charge, Share, Time,
}

// unitsOf gives the rows of a dimension, the base unit first.
func unitsOf(d Dimension) []unit {
	switch d {
	case Current:
		return currentUnits
	case Voltage:
		return voltageUnits
	case Resistance:
		return resistanceUnits
	case Power:
		return powerUnits
	case Length:
		return lengthUnits
	case Area:
		return areaUnits
	case Temperature:
		return temperatureUnits
	case Force:
		return forceUnits
	case Charge:
		return chargeUnits
	case Share:
		return shareUnits
	case Time:
		return timeUnits
	}
	return nil
}

// findUnit gives the unit of a dimension that the text spells, or nil.
func findUnit(d Dimension, text string) *unit {
	units := unitsOf(d)
	for i := range units {
		if units[i].spelled(text) {
			return &units[i]
		}
	}
	return nil
}

// findElsewhere gives the unit that the text spells in any other dimension.
func findElsewhere(not Dimension, text string) (Dimension, *unit) {
	for _, d := range dimensions {
		if d == not {
			continue
		}
		if u := findUnit(d, text); u != nil {
			return d, u
		}
	}
	return "", nil
}

// unitOfSuffix gives the unit that a contract field's suffix stands for.
func unitOfSuffix(suffix string) (Dimension, *unit) {
	suffix = strings.TrimPrefix(suffix, "_")
	for _, d := range dimensions {
		units := unitsOf(d)
		for i := range units {
			for _, s := range units[i].suffixes {
				if s == suffix {
					return d, &units[i]
				}
			}
		}
	}
	return "", nil
}
