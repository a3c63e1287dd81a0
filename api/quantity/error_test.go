package quantity_test

import (
	"strings"
	"testing"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
)

func TestErrorText(t *testing.T) {
	t.Parallel()
	parseSize := func(text string) error { _, err := quantity.ParseSize(text); return err }
	parse := func(d quantity.Dimension, text string) error { _, err := quantity.Parse(d, text); return err }
	tests := []struct {
		name string
		err  error
		want string
	}{
		{"no unit", parse(quantity.Current, "60"), `"60" is not a current: it has no unit; write A, mA or kA`},
		{"unit of another dimension", parse(quantity.Current, "60 feet"), `"60 feet" is not a current: ft is a unit of length; write A, mA or kA`},
		{"nothing", parse(quantity.Voltage, " "), `no voltage is given; write V or mV`},
		{"vowel and a single unit", parse(quantity.Area, "16"), `"16" is not an area: it has no unit; write mm²`},
		{"mega", parse(quantity.Power, "5MW"), `"5MW" is not a power: a capital M means mega; milli is a small m, as in mW; write W, kW or mW`},
		{"negative", parse(quantity.Charge, "-5 Ah"), `"-5 Ah" is not a battery capacity: it is below zero; write Ah or mAh`},
		{"control characters", parse(quantity.Share, "5\n\x1b[31m\u202e%"), `"5\n\x1b[31m\u202e%" is not a percentage: its unit is not known; write %`},
		{"not UTF-8", parse(quantity.Share, "5\xff"), `"5\xff" is not a percentage: its unit is not known; write %`},
		{"plain millimetres as size", parseSize("4 mm"), `"4 mm" is not a conductor size: millimetres of cable may mean its outside diameter, square millimetres are mm2; write 8, 1/0 or 16 mm2`},
		{"half gauge", parseSize("8.5"), `"8.5" is not a conductor size: gauges are whole numbers, and square millimetres need their unit; write 8, 1/0 or 16 mm2`},
		{"no size", parseSize(""), `no conductor size is given; write 8, 1/0 or 16 mm2`},
		{"unknown dimension", parse("colour", "red"), `"red" is not a quantity: no such dimension is known`},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			require.EqualError(t, tt.err, tt.want)
		})
	}
}

func TestErrorEchoesAtMostFortyRunes(t *testing.T) {
	t.Parallel()
	tests := []struct{ name, text, want string }{
		{"forty stay whole", strings.Repeat("é", 40), strings.Repeat("é", 40)},
		{"forty-one are cut", strings.Repeat("é", 41), strings.Repeat("é", 39) + "…"},
		{"a megabyte", strings.Repeat("x", 1<<20), strings.Repeat("x", 39) + "…"},
		{"broken UTF-8", strings.Repeat("\xff", 50), strings.Repeat("\xff", 39) + "…"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := quantity.ParseAmps(tt.text)
			var refused *quantity.Error
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, tt.want, refused.Input)
			assert.LessOrEqual(t, utf8.RuneCountInString(refused.Input), 40)

			_, err = quantity.ParseSize(tt.text)
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, tt.want, refused.Input)
		})
	}
}

func TestErrorCarriesWhatIsAccepted(t *testing.T) {
	t.Parallel()
	var refused *quantity.Error
	_, err := quantity.ParseMetres("17")
	require.ErrorAs(t, err, &refused)
	assert.Equal(t, "17", refused.Input)
	assert.Equal(t, "length", refused.Want)
	assert.Equal(t, []string{"m", "cm", "mm", "ft", "in"}, refused.Accepted)
}
