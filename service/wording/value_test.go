package wording_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

func num(v float64, unit electrical.Unit) electrical.Figure { return electrical.Num("x", v, unit) }

func TestValue(t *testing.T) {
	tests := []struct {
		name       string
		figure     electrical.Figure
		us, metric string
	}{
		{"current", num(96.62, electrical.UnitA), "96.6 A", "96.6 A"},
		{"small current", num(0.02, electrical.UnitA), "20 mA", "20 mA"},
		{"short-circuit current keeps its digits", num(3215.4, electrical.UnitA), "3215 A", "3215 A"},
		{"voltage", num(13.8, electrical.UnitV), "13.8 V", "13.8 V"},
		{"power", num(60, electrical.UnitW), "60 W", "60 W"},
		{"percent", num(2.98, electrical.UnitPercent), "2.98%", "2.98%"},
		{"18 ft is 5.4864 m", num(5.4864, electrical.UnitM), "18 ft", "5.49 m"},
		{"5.5 m", num(5.5, electrical.UnitM), "18 ft", "5.5 m"},
		{"7 in of 33 CFR 183.455", num(0.1778, electrical.UnitM), "7 in", "178 mm"},
		{"450 mm", num(0.45, electrical.UnitM), "17.7 in", "450 mm"},
		{"a slip of the unit", num(0.001, electrical.UnitM), "0.039 in", "1 mm"},
		{"just under 3 ft", num(0.91, electrical.UnitM), "35.8 in", "910 mm"},
		{"a hair under 3 ft", num(0.91439, electrical.UnitM), "3 ft", "914 mm"},
		{"a hair under 1 m", num(0.9996, electrical.UnitM), "3.28 ft", "1 m"},
		{"3 ft", num(0.9144, electrical.UnitM), "3 ft", "914 mm"},
		{"1 m", num(1, electrical.UnitM), "3.28 ft", "1 m"},
		{"no length", num(0, electrical.UnitM), "0 ft", "0 m"},
		{"length below zero", num(-0.5, electrical.UnitM), "-19.7 in", "-500 mm"},
		{"bench length", num(12.5, electrical.UnitMM), "12.5 mm", "12.5 mm"},
		{"area", num(13.3, electrical.UnitMM2), "13.3 mm²", "13.3 mm²"},
		{"temperature stays in °C", num(105, electrical.UnitC), "105 °C", "105 °C"},
		{"resistance", num(1.5, electrical.UnitMohm), "1.5 mΩ", "1.5 mΩ"},
		{"an ohm", num(1000, electrical.UnitMohm), "1 Ω", "1 Ω"},
		{"222.41 N is 50 lbf (NIST SP 811)", num(222.41, electrical.UnitN), "50 lbf", "222 N"},
		{"capacity", num(95, electrical.UnitAh), "95 Ah", "95 Ah"},
		{"1/0", num(0, electrical.UnitAWG), "1/0 AWG", "1/0 AWG"},
		{"4/0", num(-3, electrical.UnitAWG), "4/0 AWG", "4/0 AWG"},
		{"8 AWG", num(8, electrical.UnitAWG), "8 AWG", "8 AWG"},
		{"no gauge is a half one", num(8.5, electrical.UnitAWG), "8.5 AWG", "8.5 AWG"},
		{"no gauge beyond 4/0", num(-9, electrical.UnitAWG), "-9 AWG", "-9 AWG"},
		{"count", num(4, electrical.UnitCount), "4", "4"},
		{"large count", num(4096, electrical.UnitCount), "4096", "4096"},
		{"factor", num(0.75, electrical.UnitFactor), "0.75", "0.75"},
		{"nothing", num(-0.0001, electrical.UnitFactor), "0", "0"},
		{"part of a second", num(0.25, electrical.UnitS), "0.25 s", "0.25 s"},
		{"seconds", num(59.4, electrical.UnitS), "59.4 s", "59.4 s"},
		{"rounds up to a minute", num(59.7, electrical.UnitS), "1 min", "1 min"},
		{"minute and seconds", num(90, electrical.UnitS), "1 min 30 s", "1 min 30 s"},
		{"rounds up to an hour", num(3599.8, electrical.UnitS), "1 h", "1 h"},
		{"hours", num(3900, electrical.UnitS), "1 h 5 min", "1 h 5 min"},
		{"rounds up to the next hour", num(7199, electrical.UnitS), "2 h", "2 h"},
		{"a day", num(86400, electrical.UnitS), "24 h", "24 h"},
		{"below zero", num(-90, electrical.UnitS), "-1 min 30 s", "-1 min 30 s"},
		{"minutes", num(1.5, electrical.UnitMinutes), "1 min 30 s", "1 min 30 s"},
		{"hours and a half", num(5.5, electrical.UnitH), "5 h 30 min", "5 h 30 min"},
		{"hours to five minutes", num(5.27, electrical.UnitH), "5 h 15 min", "5 h 15 min"},
		{"less than an hour", num(0.8131, electrical.UnitH), "49 min", "49 min"},
		{"many hours", num(18.493, electrical.UnitH), "18 h", "18 h"},
		{"next to nothing", num(1e-6, electrical.UnitH), "1 min", "1 min"},
		{"half a minute", num(0.5, electrical.UnitMinutes), "30 s", "30 s"},
		{"AWG size", electrical.SizeFigure("x", quantity.AWG(8)), "8 AWG", "8 AWG"},
		{"metric size", electrical.SizeFigure("x", quantity.Metric(16)), "16 mm²", "16 mm²"},
		{"no size", electrical.SizeFigure("x", quantity.Size{}), "not stated", "not stated"},
		{"name", electrical.Name("x", "Fridge {left}"), "Fridge {left}", "Fridge {left}"},
		{"word", electrical.Word("environment", electrical.EngineSpace), "engine space", "engine space"},
		{"word that is not known", electrical.Word("environment", "outer_space"), "outer space", "outer space"},
		{"no unit", electrical.Figure{Key: "x", Text: "as it is"}, "as it is", "as it is"},
		{"unknown unit", num(3, "furlong"), "3 furlong", "3 furlong"},
		{"no number", num(math.NaN(), electrical.UnitA), "not a number", "not a number"},
		{"no bound", num(math.Inf(1), electrical.UnitS), "unlimited", "unlimited"},
	}
	us, metric := wording.For("en", wording.US), wording.For("en", wording.Metric)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.us, us.Value(tt.figure))
			assert.Equal(t, tt.metric, metric.Value(tt.figure))
		})
	}
}

// Whatever number stands in whatever unit, something is said and nothing breaks.
func TestValueNeverFails(t *testing.T) {
	units := []electrical.Unit{electrical.UnitNone, electrical.UnitA, electrical.UnitV, electrical.UnitW, electrical.UnitM, electrical.UnitMM,
		electrical.UnitMM2, electrical.UnitC, electrical.UnitS, electrical.UnitMohm, electrical.UnitN, electrical.UnitAh, electrical.UnitPercent,
		electrical.UnitAWG, electrical.UnitMinutes, electrical.UnitH, electrical.UnitCount, electrical.UnitFactor, electrical.UnitText, electrical.UnitSize, electrical.UnitWord}
	rapid.Check(t, func(t *rapid.T) {
		f := electrical.Figure{Key: "x", Value: rapid.Float64().Draw(t, "value"), Unit: rapid.SampledFrom(units).Draw(t, "unit"), Text: "text"}
		teller := wording.For("en", rapid.SampledFrom([]wording.Units{wording.US, wording.Metric, ""}).Draw(t, "system"))
		assert.NotEmpty(t, teller.Value(f))
	})
}
