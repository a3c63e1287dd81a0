package cli

import (
	"strconv"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/jobfile"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// awgKey is the figure that counts gauges as a number; people are shown the
// conductor instead.
const awgKey = "conductor_awg_min"

// figureList gives figures in one line: "drop 4.2%, limit 3%".
func figureList(figures []*lugbookv1.Figure, units lugbookv1.UnitSystem) string {
	texts := make([]string, len(figures))
	for i, f := range figures {
		texts[i] = strings.TrimSpace(figureLabel(f) + " " + figureValue(f, units))
	}
	return strings.Join(texts, ", ")
}

// figureLabel gives the name of a figure in the reply's language, or its key
// where the reply has none.
func figureLabel(f *lugbookv1.Figure) string {
	if f.GetLabel() != "" {
		return f.GetLabel()
	}
	return strings.ReplaceAll(f.GetKey(), "_", " ")
}

// figureValue gives value and unit of a figure, and its band where it has one. It
// is empty for a figure without either, whose label says all.
func figureValue(f *lugbookv1.Figure, units lugbookv1.UnitSystem) string {
	unit := f.GetUnit()
	if f.GetKey() == awgKey {
		unit = "AWG" // the contract gives it no unit
	}
	value := func(v float64) string { return valueText(v, unit, units) }
	text := ""
	if f.Value != nil {
		text = value(f.GetValue())
	}
	if f.GetBand() == nil {
		return text
	}
	band := bandText(f.GetBand(), value)
	if text == "" {
		return band
	}
	return text + " (" + band + ")"
}

// bandText gives a range with its open ends in words.
func bandText(b *lugbookv1.Band, value func(float64) string) string {
	switch {
	case b.Low != nil && b.High != nil:
		return value(b.GetLow()) + " to " + value(b.GetHigh())
	case b.Low != nil:
		return value(b.GetLow()) + " or more"
	case b.High != nil:
		return "up to " + value(b.GetHigh())
	}
	return "any"
}

// valueText gives a number with the unit that the reply states for it, as it is
// printed or as field names end ("mΩ" or "mohm").
func valueText(v float64, unit string, units lugbookv1.UnitSystem) string {
	switch unit {
	case "A", "a":
		return amps(v)
	case "V", "v":
		return volts(v)
	case "W", "w":
		return quantity.Watts(v).String()
	case "Ω", "ohm":
		return quantity.Ohms(v).String()
	case "mΩ", "mohm":
		return (quantity.Ohms(v) * quantity.Milliohm).String()
	case "m":
		return length(v, units)
	case "mm":
		return millis(v)
	case "mm²", "mm2":
		return quantity.SquareMillimetres(v).String()
	case "°C", "C", "c":
		return quantity.Celsius(v).String()
	case "N", "n":
		return force(v, units)
	case "Ah", "ah":
		return quantity.AmpHours(v).String()
	case "%", "percent":
		return percent(v)
	case "AWG", "awg":
		return quantity.AWG(int(v)).String()
	case "count", "factor":
		return plain(v)
	}
	return strings.TrimSpace(plain(v) + " " + unit)
}

// plain gives a number with at most three decimals.
func plain(v float64) string {
	text := strconv.FormatFloat(v, 'f', 3, 64)
	return strings.TrimRight(strings.TrimRight(text, "0"), ".")
}

// threeDigits gives a number to three significant digits, without an exponent.
func threeDigits(v float64) string {
	rounded, err := strconv.ParseFloat(strconv.FormatFloat(v, 'g', 3, 64), 64)
	if err != nil { // cannot be: it was just written
		return plain(v)
	}
	return strconv.FormatFloat(rounded, 'f', -1, 64)
}

// Shorthands for quantities of the contract's fields.

func amps(v float64) string    { return quantity.Amps(v).String() }
func volts(v float64) string   { return quantity.Volts(v).String() }
func percent(v float64) string { return quantity.Percent(v).String() }
func millis(v float64) string  { return quantity.Millimetres(v).String() }
func seconds(v float64) string { return threeDigits(v) + " s" }

// length gives a length in the units of the reply; in both where it does not say
// which, since the shop's usual ones are not known here.
func length(metres float64, units lugbookv1.UnitSystem) string {
	l := quantity.Metres(metres)
	return inUnits(units, l.String(), l.StringUS())
}

// force gives a force, as length gives lengths.
func force(newtons float64, units lugbookv1.UnitSystem) string {
	f := quantity.Newtons(newtons)
	return inUnits(units, f.String(), f.StringUS())
}

// inUnits chooses between the two spellings of a quantity.
func inUnits(units lugbookv1.UnitSystem, metric, us string) string {
	switch units {
	case lugbookv1.UnitSystem_UNIT_SYSTEM_METRIC:
		return metric
	case lugbookv1.UnitSystem_UNIT_SYSTEM_US:
		return us
	}
	return metric + " (" + us + ")"
}

// word gives an enum value in plain words: "engine space".
func word[E interface {
	Descriptor() protoreflect.EnumDescriptor
	Number() protoreflect.EnumNumber
}](e E) string {
	return abbreviations.Replace(strings.ReplaceAll(jobfile.Word(e.Descriptor(), e.Number()), "_", " "))
}

// abbreviations are the words of the contract that people write in capitals.
var abbreviations = strings.NewReplacer("anl", "ANL", "agm", "AGM", "dc dc", "DC-DC", "usb", "USB", "pvc", "PVC")

// conductorText gives a conductor: "8 AWG, tinned copper, 105 °C cross linked".
// It is empty for none.
func conductorText(c *lugbookv1.Conductor) string {
	var parts []string
	if c == nil {
		return ""
	}
	switch size := c.GetSize().(type) {
	case *lugbookv1.Conductor_Awg:
		parts = append(parts, size.Awg+" AWG")
	case *lugbookv1.Conductor_AreaMm2:
		parts = append(parts, quantity.Metric(quantity.SquareMillimetres(size.AreaMm2)).String())
	}
	if material := word(c.GetMaterial()); material != "" {
		parts = append(parts, material)
	}
	insulation := word(c.GetInsulation())
	if c.InsulationC != nil {
		insulation = strings.TrimSpace(quantity.Celsius(c.GetInsulationC()).String() + " " + insulation)
	}
	if insulation != "" {
		parts = append(parts, insulation)
	}
	return strings.Join(parts, ", ")
}

// listed joins what is not empty by commas.
func listed(parts ...string) string { return listedBy(", ", parts...) }

// listedBy joins what is not empty; parts that hold commas want semicolons.
func listedBy(separator string, parts ...string) string {
	kept := parts[:0:0]
	for _, p := range parts {
		if p != "" {
			kept = append(kept, p)
		}
	}
	return strings.Join(kept, separator)
}

// labelled puts a word before or after a text, or gives nothing for no text.
func labelled(format, text string) string {
	if text == "" {
		return ""
	}
	return strings.Replace(format, "%", text, 1)
}
