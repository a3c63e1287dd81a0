package wording

import (
	"math"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Value gives a figure with its unit: "60 A", "18 ft" or "5.5 m", "8 AWG", "1 min
// 30 s", "engine space". Temperatures stay in °C and the small lengths of the
// bench in mm in both unit systems, since cables, sleeves and dies are marked so.
// What is no number is said in words.
func (t *Teller) Value(f electrical.Figure) string {
	switch f.Unit {
	case electrical.UnitText, electrical.UnitNone:
		return f.Text
	case electrical.UnitWord:
		return t.Word(f.Key, f.Text)
	case electrical.UnitSize:
		if f.Size.IsZero() {
			return t.book.notStated
		}
		return t.book.marked(f.Size.String())
	}
	switch {
	case math.IsNaN(f.Value):
		return t.book.notNumber
	case math.IsInf(f.Value, 0):
		return t.book.unlimited
	}
	return t.book.marked(t.number(f.Value, f.Unit))
}

// number prints a finite number in its unit, with a decimal point.
func (t *Teller) number(v float64, unit electrical.Unit) string {
	switch unit {
	case electrical.UnitA:
		return quantity.Amps(v).String()
	case electrical.UnitV:
		return quantity.Volts(v).String()
	case electrical.UnitW:
		return quantity.Watts(v).String()
	case electrical.UnitM:
		return t.length(quantity.Metres(v))
	case electrical.UnitMM:
		return quantity.Millimetres(v).String()
	case electrical.UnitMM2:
		return quantity.SquareMillimetres(v).String()
	case electrical.UnitC:
		return quantity.Celsius(v).String()
	case electrical.UnitOhm:
		return t.number(v*1000, electrical.UnitMohm)
	case electrical.UnitMohm:
		return (quantity.Ohms(v) * quantity.Milliohm).String()
	case electrical.UnitN:
		return t.force(quantity.Newtons(v))
	case electrical.UnitAh:
		return quantity.AmpHours(v).String()
	case electrical.UnitPercent:
		return quantity.Percent(v).String()
	}
	return plainUnit(v, unit)
}

// plainUnit prints what has no type of its own among the quantities.
func plainUnit(v float64, unit electrical.Unit) string {
	switch unit {
	case electrical.UnitS:
		return duration(v)
	case electrical.UnitMinutes:
		return duration(v * minute)
	case electrical.UnitH:
		return endurance(v)
	case electrical.UnitAWG:
		return gauge(v)
	case electrical.UnitCount, electrical.UnitFactor:
		return digits(v)
	}
	return digits(v) + " " + string(unit)
}

// Below these lengths the smaller unit reads better: a fuse sits within 450 mm,
// or 17.7 in, of the battery.
const (
	millimetresBelow quantity.Millimetres = 1000
	inchesBelow      quantity.Millimetres = 36 * quantity.Inch
)

func (t *Teller) length(l quantity.Metres) string {
	small := l.Millimetres()
	switch tape := onTape(small); {
	case t.units == US && l != 0 && magnitude(tape) < inchesBelow:
		return tape.StringUS()
	case t.units == US:
		return l.StringUS()
	case l != 0 && math.Round(float64(magnitude(small))) < float64(millimetresBelow):
		return small.String()
	}
	return l.String()
}

// onTape rounds to a tenth of an inch from one inch up: a tape reads no finer.
func onTape(l quantity.Millimetres) quantity.Millimetres {
	if magnitude(l) < quantity.Inch {
		return l
	}
	return quantity.Millimetres(math.Round(l.Inches()*10)/10) * quantity.Inch
}

func magnitude(l quantity.Millimetres) quantity.Millimetres {
	return quantity.Millimetres(math.Abs(float64(l)))
}

func (t *Teller) force(f quantity.Newtons) string {
	if t.units == US {
		return f.StringUS()
	}
	return f.String()
}

// minute and hour in seconds.
const (
	minute = 60
	hour   = 60 * minute
)

// duration prints seconds as they are read off a clock: "0.25 s", "1 min 30 s",
// "2 h 5 min". From a minute up it rounds to seconds, from an hour to minutes.
func duration(s float64) string {
	size := math.Abs(s)
	switch {
	case math.Round(size) < minute:
		return digits(s) + " s"
	case math.Round(size) < hour:
		return twoUnits(s, 1, " min", " s")
	}
	return twoUnits(s, minute, " h", " min")
}

// twoUnits prints seconds as a larger unit of 60 smaller ones, step seconds each.
func twoUnits(s, step float64, large, small string) string {
	total := math.Round(math.Abs(s) / step)
	const perLarge = 60
	text := strconv.FormatFloat(math.Floor(total/perLarge), 'f', 0, 64) + large
	if rest := math.Mod(total, perLarge); rest > 0 {
		text += " " + strconv.FormatFloat(rest, 'f', 0, 64) + small
	}
	if s < 0 {
		return "-" + text
	}
	return text
}

// gauge prints an AWG number, 1/0 being 0 and 4/0 -3; a number that is no gauge
// stays a number.
func gauge(v float64) string {
	if v == math.Trunc(v) && v >= quantity.ThickestAWG && v <= quantity.ThinnestAWG {
		return quantity.AWG(int(v)).String()
	}
	return digits(v) + " AWG"
}

// digits prints a number as the quantities do: three significant digits as far as
// three decimals give them, no zeros at the end, and none left of the point lost.
func digits(v float64) string {
	places := 3
	for size := math.Abs(v); size >= 1 && places > 0; size /= 10 {
		places--
	}
	text := strconv.FormatFloat(v, 'f', places, 64)
	if places > 0 {
		text = strings.TrimRight(strings.TrimRight(text, "0"), ".")
	}
	if text == "-0" {
		return "0"
	}
	return text
}

// endurance gives hours no finer than anyone could foresee them: minutes below ten
// hours, and five of them from one hour up.
func endurance(hours float64) string {
	minutes := math.Round(hours * 60)
	switch {
	case hours >= 10:
		minutes = math.Round(hours) * 60
	case hours >= 1:
		minutes = math.Round(hours*12) * 5
	}
	return duration(max(1, minutes) * minute)
}
