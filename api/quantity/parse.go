package quantity

import (
	"math"
	"strings"
	"time"
	"unicode"
)

const (
	// maxValue bounds what is parsed, in base units: beyond it lies no wiring job.
	maxValue = 1e9
	// absoluteZero is the lowest temperature, 0 K. The slack is for -459.67 °F,
	// which is the same and converts with rounding.
	absoluteZero      = -273.15
	absoluteZeroSlack = 1e-9
)

// ParseAmps reads a current, such as "60A", "250 mA" or "10 kA".
func ParseAmps(text string) (Amps, error) { return parseTyped[Amps](Current, nil, text) }

// ParseVolts reads a voltage, such as "13.8 V" or "120mV".
func ParseVolts(text string) (Volts, error) { return parseTyped[Volts](Voltage, nil, text) }

// ParseOhms reads a resistance, such as "4 ohm" or "3.2 mΩ".
func ParseOhms(text string) (Ohms, error) { return parseTyped[Ohms](Resistance, nil, text) }

// ParseWatts reads a power, such as "60 W", "1.2 kW", "1k watt" or "1,000w rms".
func ParseWatts(text string) (Watts, error) { return parseTyped[Watts](Power, nil, text) }

// ParseMetres reads a length, such as "5.5 m", "17ft" or "20'6\"".
func ParseMetres(text string) (Metres, error) { return parseTyped[Metres](Length, nil, text) }

// ParseMillimetres reads a small length, such as "12.5 mm", "1/2 in" or "3 cm".
// It takes every unit of length.
func ParseMillimetres(text string) (Millimetres, error) {
	return parseTyped[Millimetres](Length, findUnit(Length, "mm"), text)
}

// ParseSquareMillimetres reads a cross-section, such as "16mm2" or "16 sq mm".
// Plain millimetres are refused: they may mean the cable's outside diameter.
// Gauges are read by [ParseSize].
func ParseSquareMillimetres(text string) (SquareMillimetres, error) {
	return parseTyped[SquareMillimetres](Area, nil, text)
}

// ParseCelsius reads a temperature, such as "50 °C", "-20C", "122F" or "300 K".
// Below absolute zero it is refused.
func ParseCelsius(text string) (Celsius, error) { return parseTyped[Celsius](Temperature, nil, text) }

// ParseNewtons reads a force, such as "350 N", "1.2 kN" or "80 lb".
func ParseNewtons(text string) (Newtons, error) { return parseTyped[Newtons](Force, nil, text) }

// ParseAmpHours reads a battery capacity, such as "100Ah" or "100 amp hours".
func ParseAmpHours(text string) (AmpHours, error) { return parseTyped[AmpHours](Charge, nil, text) }

// ParsePercent reads a percentage, such as "3%" or "3 percent"; it gives 3.
// More than 100 % is allowed.
func ParsePercent(text string) (Percent, error) { return parseTyped[Percent](Share, nil, text) }

// ParseDuration reads a time, such as "90 s", "5 min", "1h30m" or "2 hours",
// rounded to the nanosecond.
func ParseDuration(text string) (time.Duration, error) {
	seconds, err := Parse(Time, text)
	if err != nil {
		return 0, err
	}
	return time.Duration(math.Round(seconds * float64(time.Second))), nil
}

// Parse reads a quantity with its unit and gives it in the dimension's base
// unit. A bare number, a unit of another dimension, a negative value (but for
// temperatures) and one over 1e9 base units are refused. The error is an
// [*Error].
func Parse(d Dimension, text string) (float64, error) {
	return parse(d, nil, text, false)
}

// ParseBare is [Parse], but takes a bare number as one in the base unit, for
// places that have already said which unit they mean ("--volts 12").
func ParseBare(d Dimension, text string) (float64, error) {
	return parse(d, nil, text, true)
}

// ParseFor reads a quantity with its unit into the unit of a contract field's
// suffix: for "_mm", "3 cm" gives 30. Text already in that unit keeps all its
// digits. It refuses what [Parse] refuses, and every text when the suffix
// names no unit ([UnitOf] tells).
func ParseFor(suffix, text string) (float64, error) {
	d, target := unitOfSuffix(suffix)
	return parse(d, target, text, false)
}

// parseTyped reads a quantity into the unit of its type, nil for the base unit.
func parseTyped[T ~float64](d Dimension, target *unit, text string) (T, error) {
	v, err := parse(d, target, text, false)
	return T(v), err
}

// parse reads text into the target unit, by default the dimension's base unit.
func parse(d Dimension, target *unit, text string, bare bool) (float64, error) {
	units := unitsOf(d)
	if units == nil {
		return 0, &Error{Input: shorten(text), Want: "quantity", Reason: ReasonUnknownDimension,
			detail: "no such dimension is known"}
	}
	if target == nil {
		target = &units[0]
	}
	v, u, bad := scan(d, text, bare)
	if bad == nil {
		bad = checkRange(d, u.toBase(v))
	}
	if bad != nil {
		return 0, newError(d, text, bad.why, bad.detail)
	}
	if u == target {
		return v, nil
	}
	return target.fromBase(u.toBase(v)), nil
}

// checkRange refuses values, in base units, that no text may give.
func checkRange(d Dimension, base float64) *fault {
	switch {
	case !(math.Abs(base) <= maxValue):
		return &fault{ReasonOutOfRange, "it is over a thousand million " + unitsOf(d)[0].print}
	case d == Temperature && base < absoluteZero-absoluteZeroSlack:
		return &fault{ReasonOutOfRange, "it is below absolute zero, -273.15 °C"}
	}
	return nil
}

// scan reads a quantity of one or more parts and gives it in the unit of its
// last part.
func scan(d Dimension, text string, bare bool) (float64, *unit, *fault) {
	rest := strings.TrimSpace(text)
	if rest == "" {
		return 0, nil, &fault{why: ReasonEmpty}
	}
	rest, negative := cutSign(rest)
	sum, last, whole := 0.0, part{}, true
	for {
		n, after, bad := scanNumber(rest, d == Length)
		if bad != nil {
			return 0, nil, bad
		}
		next, bad := nextPart(d, last, n, after, bare)
		if bad != nil {
			return 0, nil, bad
		}
		if sum, bad = addPart(sum, whole, last.unit, n, next.unit); bad != nil {
			return 0, nil, bad
		}
		last, whole, rest = next, n.whole, next.tail
		if rest == "" {
			break
		}
	}
	if negative {
		if d != Temperature {
			return 0, nil, &fault{ReasonNegative, "it is below zero"}
		}
		sum = 0 - sum // never the negative zero
	}
	return sum, last.unit, nil
}

// part is a unit as it was written, and the text after it.
type part struct {
	unit    *unit
	written string
	tail    string
}

// nextPart finds the unit that stands after the number n.
func nextPart(d Dimension, before part, n number, text string, bare bool) (part, *fault) {
	name := tidy(text)
	switch {
	case name == "" && before.unit == nil && bare:
		return part{unit: &unitsOf(d)[0]}, nil
	case name == "" && isFootMark(before.written) && n.leading <= 2: // 5'6, but not 1'000
		return part{unit: findUnit(d, "in")}, nil
	case name == "":
		return part{}, &fault{ReasonNoUnit, "it has no unit"}
	}
	if u, bad := lookUp(d, name); u != nil || bad != nil {
		return part{unit: u, written: name}, bad
	}
	digit := strings.IndexAny(text, "0123456789")
	if digit <= 0 {
		return part{}, unknownUnit(d, name)
	}
	head := trimJoint(tidy(text[:digit]))
	u, bad := lookUp(d, head)
	switch {
	case bad != nil:
		return part{}, bad
	case u == nil:
		return part{}, unknownUnit(d, name)
	case !u.chain:
		if whole := unknownUnit(d, name); whole.why != ReasonUnknownUnit {
			return part{}, whole // mm2 where a length is wanted is not mm and a 2
		}
		return part{}, &fault{ReasonBadParts, "something follows the unit " + u.print}
	}
	return part{unit: u, written: head, tail: text[digit:]}, nil
}

// addPart adds n of a unit to a sum in the unit before it.
func addPart(sum float64, whole bool, before *unit, n number, u *unit) (float64, *fault) {
	if before == nil {
		return n.value, nil
	}
	ratio := before.mul * u.div / (before.div * u.mul)
	switch {
	case !u.chain || ratio <= 1:
		return 0, &fault{ReasonBadParts, before.print + " is not followed by " + u.print}
	case !whole:
		return 0, &fault{ReasonBadParts, "only its last part may be broken"}
	case n.value >= ratio:
		return 0, &fault{ReasonBadParts, "its " + u.print + " make up more than one " + before.print}
	}
	return sum*ratio + n.value, nil
}

// lookUp gives the unit that a name spells, nil when there is none. A full
// stop after an abbreviation is ignored.
func lookUp(d Dimension, name string) (*unit, *fault) {
	u := findUnit(d, name)
	if u == nil {
		if short, ok := strings.CutSuffix(name, "."); ok {
			u = findUnit(d, short)
		}
	}
	if u == nil || !u.milli || name[0] != 'M' {
		return u, nil
	}
	if len(name) >= len("milli") && strings.EqualFold(name[:len("milli")], "milli") {
		return u, nil
	}
	return nil, &fault{ReasonMega, "a capital M means mega; milli is a small m, as in " + u.print}
}

// unknownUnit tells what is wrong with a unit that is none of the dimension's.
func unknownUnit(d Dimension, name string) *fault {
	other, u := findElsewhere(d, strings.TrimSuffix(name, "."))
	switch {
	case u == nil:
		return &fault{ReasonUnknownUnit, "its unit is not known"}
	case d == Area && u.print == "mm":
		return &fault{ReasonAmbiguous, "millimetres of cable may mean its outside diameter, square millimetres are mm2"}
	}
	return &fault{ReasonOtherUnit, u.print + " is a unit of " + string(other)}
}

// tidy trims a unit's name and leaves single plain spaces in it.
func tidy(name string) string {
	name = strings.TrimSpace(name)
	before := 'a'
	for _, r := range name {
		if unicode.IsSpace(r) && (r != ' ' || before == ' ') {
			return strings.Join(strings.Fields(name), " ")
		}
		before = r
	}
	return name
}

// trimJoint takes off what joins two parts: 20'-6", 3 ft, 6 in, 3 ft and 6 in.
func trimJoint(name string) string {
	for _, joint := range [...]string{" and", ",", "-"} {
		if before, ok := strings.CutSuffix(name, joint); ok {
			return strings.TrimSpace(before)
		}
	}
	return name
}

// isFootMark tells that feet were written as a mark, not as a word.
func isFootMark(name string) bool { return name == "'" || name == "’" || name == "′" }
