package quantity_test

import (
	"math"
	"strings"
	"testing"
	"unicode"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
)

// FuzzParse checks what holds for any text: a value in range or an *Error whose
// message is one short line.
func FuzzParse(f *testing.F) {
	seeds := []string{
		"60A", "1,000w rms", "1k watt", "20'6\"", "3 ft 6 in", "3-1/2\"", "1/0 in", "1.000,5 m", "1 234 567 mm", "16 mm²",
		"-40 °F", "5MW", "1h30m", "3%", "3.2mΩ", "5\x00", "\xff", "9e99 V", "1234,567 W", "–5 C", "", "-", ".5 V", "5'6",
	}
	for _, seed := range seeds {
		for d := range quantity.Dimensions() {
			f.Add(uint8(d), seed)
		}
	}
	f.Fuzz(func(t *testing.T, index uint8, text string) {
		d := quantity.Dimensions()[int(index)%len(quantity.Dimensions())]
		v, err := quantity.Parse(d, text)
		if err != nil {
			requireTidyError(t, err)
			return
		}
		assert.LessOrEqual(t, math.Abs(v), 1e9, "also refuses NaN and infinities")
		if d != quantity.Temperature {
			assert.False(t, math.Signbit(v), "negative")
		}
		bare, err := quantity.ParseBare(d, text)
		require.NoError(t, err)
		assert.InDelta(t, v, bare, 0, "a unit means the same where a bare number is taken")
	})
}

// FuzzParseSize checks that any text gives a size that prints and parses to
// itself, or an *Error whose message is one short line.
func FuzzParseSize(f *testing.F) {
	for _, seed := range []string{
		"8", "8ga", "#8", "AWG 8", "no. 8", "1/0", "0000", "-1", "16mm2", "2,5 sq mm", "4 mm", "8.5", "28", "5/0", "0/0", "",
		"AWG", "#", "-", "−", "08", "+8", "8-gauge", "\xff8", "8 1/2",
	} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		size, err := quantity.ParseSize(text)
		if err != nil {
			assert.True(t, size.IsZero())
			requireTidyError(t, err)
			return
		}
		require.False(t, size.IsZero())
		back, err := quantity.ParseSize(size.String())
		require.NoError(t, err)
		assert.Equal(t, size, back)
	})
}

// requireTidyError checks that an error is ours, one line and short.
func requireTidyError(t *testing.T, err error) {
	t.Helper()
	var refused *quantity.Error
	require.ErrorAs(t, err, &refused)
	require.NotEmpty(t, refused.Reason)
	message := err.Error()
	// Forty runes of ten bytes each (\U0010ffff) and what surrounds them.
	require.LessOrEqual(t, len(message), 400+250)
	require.Equal(t, -1, strings.IndexFunc(message, unicode.IsControl), message)
}
