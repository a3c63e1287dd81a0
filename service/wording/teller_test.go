package wording_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

func TestSay(t *testing.T) {
	drop := []electrical.Figure{
		electrical.SizeFigure("conductor", quantity.AWG(8)), electrical.Num("drop_v", 0.316, electrical.UnitV),
		electrical.Num("drop_percent", 2.63, electrical.UnitPercent), electrical.Num("limit_percent", 3, electrical.UnitPercent),
		electrical.Num("length_m", 5.4864, electrical.UnitM), electrical.Num("conductor_c", 61, electrical.UnitC),
	}
	tests := []struct {
		name    string
		code    string
		figures []electrical.Figure
		want    string
	}{
		{"figures and limit", "conductor.drop", drop, "8 AWG loses 0.316 V (2.63%) in the cables over 18 ft; the limit is 3%."},
		{"optional part given", "violation.required", []electrical.Figure{electrical.Name("allowed", "cabin, exposed")}, "This is missing. Allowed: cabin, exposed."},
		{"optional part left out", "violation.required", nil, "This is missing."},
		{"an empty name is not given", "violation.required", []electrical.Figure{electrical.Name("allowed", "")}, "This is missing."},
		{"two optional parts, one given", "unmet.terminal", []electrical.Figure{
			electrical.Word("form", "ring"), electrical.SizeFigure("conductor", quantity.Metric(16)), electrical.Name("stud", ""), electrical.Word("point", "fuse_holder")},
			"No stocked terminal (ring terminal) fits 16 mm² at the fuse holder."},
		{"a name is not read as a message", "fact.device", []electrical.Figure{electrical.Name("device", "Amp {current_a} [1]")}, "The job includes Amp {current_a} [1]."},
		{"figure that is missing", "load.current", []electrical.Figure{electrical.Num("peak_a", 7, electrical.UnitA)}, "load.current (peak current 7 A)"},
		{"no figures at all", "load.current", nil, "load.current"},
		{"no size where one must be", "conductor.minimum", []electrical.Figure{electrical.SizeFigure("minimum", quantity.Size{})}, "conductor.minimum (thinnest conductor allowed not stated)"},
		{"unknown code", "load.magic", []electrical.Figure{electrical.Num("current_a", 60, electrical.UnitA), electrical.Num("odd_key", 2, electrical.UnitCount)}, "load.magic (current 60 A, odd key 2)"},
		{"empty code", "", nil, ""},
	}
	teller := wording.For("en-US", wording.US)
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.Equal(t, tt.want, teller.Say(tt.code, tt.figures...))
			assert.Equal(t, tt.want, teller.Reason(electrical.Because(tt.code, "some source", tt.figures...)))
		})
	}
	assert.True(t, teller.Has("conductor.drop"))
	assert.False(t, teller.Has("load.magic"))
}

func TestLabelAndWord(t *testing.T) {
	teller := wording.For("en", wording.Metric)
	assert.Equal(t, "voltage drop", teller.Label("drop_v"))
	assert.Equal(t, "odd key", teller.Label("odd_key"))
	assert.Equal(t, "engine space", teller.Word("environment", "engine_space"))
	assert.Equal(t, "outer space", teller.Word("environment", "outer_space"))
	assert.Equal(t, "side by side", teller.Word("no_such_list", "side_by_side"))
}

// Languages without a file, and text that names none, are answered in English.
func TestForFallsBackToEnglish(t *testing.T) {
	for _, wanted := range []string{"en", "en-GB", "en_US", "fr", "zh-Hant-TW, fr;q=0.5", "", "not a tag!", "\x00", "*"} {
		require.Equal(t, "en", wording.For(wanted, wording.US).Language(), "%q", wanted)
	}
}

// Neither a language nor a code that comes from outside may break anything.
func FuzzSay(f *testing.F) {
	f.Add("en-US", "load.current", "current_a", 60.0)
	f.Add("*;q=0.5,,--", "violation.required", "allowed", -1.0)
	f.Add("\xff", "{", "[", 0.0)
	f.Fuzz(func(t *testing.T, language, code, key string, value float64) {
		teller := wording.For(language, wording.US)
		said := teller.Say(code, electrical.Num(key, value, electrical.UnitA))
		if !teller.Has(code) {
			require.Contains(t, said, code)
		}
		require.NotEmpty(t, teller.Language())
	})
}
