package quantity_test

import (
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
)

func TestUnitOf(t *testing.T) {
	t.Parallel()
	tests := []struct {
		suffix    string
		dimension quantity.Dimension
		scale     float64
	}{
		{"_a", quantity.Current, 1},
		{"a", quantity.Current, 1},
		{"_v", quantity.Voltage, 1},
		{"volts", quantity.Voltage, 1},
		{"_w", quantity.Power, 1},
		{"_m", quantity.Length, 1},
		{"_mm", quantity.Length, 1000},
		{"_mm2", quantity.Area, 1},
		{"_c", quantity.Temperature, 1},
		{"_s", quantity.Time, 1},
		{"seconds", quantity.Time, 1},
		{"_hours", quantity.Time, 1.0 / 3600},
		{"_ah", quantity.Charge, 1},
		{"_ohm", quantity.Resistance, 1},
		{"_mohm", quantity.Resistance, 1000},
		{"_n", quantity.Force, 1},
		{"_percent", quantity.Share, 1},
	}
	for _, tt := range tests {
		d, scale, ok := quantity.UnitOf(tt.suffix)
		assert.True(t, ok, tt.suffix)
		assert.Equal(t, tt.dimension, d, tt.suffix)
		assert.InDelta(t, tt.scale, scale, near, tt.suffix)
	}
	for _, suffix := range []string{"", "_", "__a", "sku", "share", "A", "_ft", "current_a"} {
		_, _, ok := quantity.UnitOf(suffix)
		assert.False(t, ok, suffix)
	}
}

func TestUnitsListsTheBaseUnitFirst(t *testing.T) {
	t.Parallel()
	base := map[quantity.Dimension]string{
		quantity.Current: "A", quantity.Voltage: "V", quantity.Resistance: "Ω", quantity.Power: "W",
		quantity.Length: "m", quantity.Area: "mm²", quantity.Temperature: "°C", quantity.Force: "N",
		quantity.Charge: "Ah", quantity.Share: "%", quantity.Time: "s",
	}
	require.Len(t, quantity.Dimensions(), len(base))
	for _, d := range quantity.Dimensions() {
		require.NotEmpty(t, d.Units(), d)
		assert.Equal(t, base[d], d.Units()[0], d)
	}
	assert.Nil(t, quantity.Dimension("colour").Units())
}

func TestEverySpellingMeansOneUnit(t *testing.T) {
	t.Parallel()
	for _, d := range quantity.Dimensions() {
		seen := map[string]string{}
		for print, names := range quantity.Spellings(d) {
			want, err := quantity.Parse(d, "2 "+print)
			require.NoError(t, err, print)
			for _, name := range names {
				folded := strings.ToLower(name)
				assert.NotContains(t, seen, folded, "%q stands for %s and %s", name, seen[folded], print)
				seen[folded] = print
				for _, text := range []string{"2" + name, "2 " + name + " ", "2\t" + name, "2 " + name + "."} {
					got, err := quantity.Parse(d, text)
					require.NoError(t, err, text)
					assert.InDelta(t, want, got, near*max(1, want), text)
				}
			}
		}
	}
}
