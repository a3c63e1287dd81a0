package quantity_test

import (
	"encoding/csv"
	"encoding/json"
	"math"
	"os"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
)

func TestParseSizeReadsCommonSpellings(t *testing.T) {
	t.Parallel()
	tests := []struct {
		want  quantity.Size
		texts []string
	}{
		{quantity.AWG(8), []string{"8", " 8 ", "8ga", "8 ga", "8ga.", "8 GA", "#8", "# 8", "8 awg", "8AWG", "AWG 8", "awg8", "AWG#8", "8 gauge", "8-gauge", "8 gage", "8g", "no. 8", "No.8", "no 8", "gauge 8", "#8 AWG"}},
		{quantity.AWG(26), []string{"26", "26 AWG"}},
		{quantity.AWG(3), []string{"3", "3 AWG"}},
		{quantity.AWG(13), []string{"13"}},
		{quantity.AWG(0), []string{"1/0", "1/0 AWG", "1/0ga", "0", "0 gauge", "0ga", "AWG 1/0"}},
		{quantity.AWG(-1), []string{"2/0 AWG", "00", "-1", "00 gauge", "#2/0", "−1"}},
		{quantity.AWG(-2), []string{"3/0", "000", "-2"}},
		{quantity.AWG(-3), []string{"4/0", "0000", "-3"}},
		{quantity.Metric(16), []string{"16mm2", "16 mm²", "16 sq mm", "16mm^2", "16.0 mm2", "16 square millimetres"}},
		{quantity.Metric(25), []string{"25mm^2"}},
		{quantity.Metric(2.5), []string{"2.5 mm²", "2,5mm2"}},
		{quantity.Metric(0.75), []string{"0.75 mm2", "0,75 mm2", ".75mm2"}},
		{quantity.Metric(2500), []string{"2500 mm2", "2,500 mm2"}},
	}
	for _, tt := range tests {
		for _, text := range tt.texts {
			got, err := quantity.ParseSize(text)
			require.NoError(t, err, text)
			assert.Equal(t, tt.want, got, text)
		}
	}
}

func TestParseSizeRefuses(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name, text string
		want       quantity.Reason
	}{
		{"nothing", "", quantity.ReasonEmpty},
		{"only space", "  ", quantity.ReasonEmpty},
		{"only a word", "AWG", quantity.ReasonNoNumber},
		{"only a number sign", "#", quantity.ReasonNoNumber},
		{"only a dash", "-", quantity.ReasonNoNumber},
		{"number in words", "eight", quantity.ReasonNoNumber},
		{"plain millimetres", "4 mm", quantity.ReasonAmbiguous},
		{"half gauge", "8.5", quantity.ReasonNotWhole},
		{"half gauge with word", "8.5 AWG", quantity.ReasonNotWhole},
		{"half gauge as fraction", "8 1/2 AWG", quantity.ReasonNotWhole},
		{"area without unit", "2,5", quantity.ReasonNotWhole},
		{"too thin", "27", quantity.ReasonOutOfRange},
		{"far too thin", "123456789012345678901234567890", quantity.ReasonOutOfRange},
		{"too thick", "5/0", quantity.ReasonOutOfRange},
		{"too thick in zeros", "00000", quantity.ReasonOutOfRange},
		{"too thick as a number", "-4", quantity.ReasonOutOfRange},
		{"zero in front", "08", quantity.ReasonBadNumber},
		{"negative zero", "-0", quantity.ReasonBadNumber},
		{"plus sign", "+8", quantity.ReasonNoUnit},
		{"zero of zeros", "0/0", quantity.ReasonUnknownUnit},
		{"gauge and conductor count", "16/2", quantity.ReasonNotWhole},
		{"unit of length", "8 ft", quantity.ReasonOtherUnit},
		{"unknown word", "8 kg", quantity.ReasonUnknownUnit},
		{"both kinds", "16 mm2 AWG", quantity.ReasonUnknownUnit},
		{"no cross-section", "0 mm2", quantity.ReasonOutOfRange},
		{"negative cross-section", "-16 mm2", quantity.ReasonNegative},
		{"over the largest cable", "2501 mm2", quantity.ReasonOutOfRange},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got, err := quantity.ParseSize(tt.text)
			var refused *quantity.Error
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, tt.want, refused.Reason, err.Error())
			assert.Equal(t, "conductor size", refused.Want)
			assert.True(t, got.IsZero())
		})
	}
}

func TestSizeText(t *testing.T) {
	t.Parallel()
	tests := []struct {
		size          quantity.Size
		text, label   string
		gauge         int
		awg, marshals bool
	}{
		{quantity.AWG(26), "26 AWG", "26", 26, true, true},
		{quantity.AWG(8), "8 AWG", "8", 8, true, true},
		{quantity.AWG(1), "1 AWG", "1", 1, true, true},
		{quantity.AWG(0), "1/0 AWG", "1/0", 0, true, true},
		{quantity.AWG(-3), "4/0 AWG", "4/0", -3, true, true},
		{quantity.Metric(16), "16 mm²", "", 0, false, true},
		{quantity.Metric(0.75), "0.75 mm²", "", 0, false, true},
		{quantity.Size{}, "no size", "", 0, false, false},
	}
	for _, tt := range tests {
		assert.Equal(t, tt.text, tt.size.String())
		assert.Equal(t, tt.label, tt.size.Label())
		gauge, ok := tt.size.Gauge()
		assert.Equal(t, tt.gauge, gauge, tt.text)
		assert.Equal(t, tt.awg, ok, tt.text)
		assert.Equal(t, tt.awg, tt.size.IsAWG(), tt.text)

		marshalled, err := tt.size.MarshalText()
		require.NoError(t, err)
		if tt.marshals {
			assert.Equal(t, tt.text, string(marshalled))
		} else {
			assert.Empty(t, marshalled)
		}
		var back quantity.Size
		require.NoError(t, back.UnmarshalText(marshalled))
		assert.Equal(t, tt.size, back)
	}
}

func TestSizeInJSON(t *testing.T) {
	t.Parallel()
	var got map[quantity.Size]quantity.Size
	require.NoError(t, json.Unmarshal([]byte(`{"1/0":"16mm2","8 AWG":""}`), &got))
	assert.Equal(t, map[quantity.Size]quantity.Size{quantity.AWG(0): quantity.Metric(16), quantity.AWG(8): {}}, got)

	kept := quantity.AWG(8)
	require.Error(t, kept.UnmarshalText([]byte("4 mm")))
	assert.Equal(t, quantity.AWG(8), kept, "a refused text changes nothing")
}

func TestSizeConstructorsRefuse(t *testing.T) {
	t.Parallel()
	for _, n := range []int{27, -4, math.MaxInt, math.MinInt, 256 + 8} {
		assert.True(t, quantity.AWG(n).IsZero(), n)
	}
	for _, area := range []float64{0, -1, math.NaN(), math.Inf(1)} {
		assert.True(t, quantity.Metric(quantity.SquareMillimetres(area)).IsZero(), area)
	}
	assert.Zero(t, quantity.Size{}.Area())
	assert.Zero(t, quantity.Size{}.Diameter())
}

func TestSizeCompareOrdersByArea(t *testing.T) {
	t.Parallel()
	// By area: 8 AWG is 8.37 mm² and 6 AWG 13.3 mm² (ASTM B258).
	want := []quantity.Size{
		{}, quantity.AWG(26), quantity.Metric(0.75), quantity.AWG(8), quantity.Metric(10), quantity.AWG(6),
		quantity.AWG(1), quantity.AWG(0), quantity.Metric(70), quantity.AWG(-3), quantity.Metric(120),
	}
	got := slices.Clone(want)
	slices.Reverse(got)
	slices.SortFunc(got, quantity.Size.Compare)
	assert.Equal(t, want, got)
	assert.Zero(t, quantity.AWG(8).Compare(quantity.AWG(8)))
}

// ASTM B258 fixes two gauges by definition: 4/0 at 0.46 in and 36, beyond our
// range, at 0.005 in.
func TestThickestGaugeIsTheDefinition(t *testing.T) {
	t.Parallel()
	assert.InDelta(t, 0.46, quantity.AWG(-3).Diameter().Inches(), near)
}

func TestGaugesAgreeWithPublishedFigures(t *testing.T) {
	t.Parallel()
	const (
		fourDigits  = 5e-4 // half a unit of the fourth digit, at worst
		threeDigits = 1e-3 // NEC prints some areas to three digits
	)
	for _, row := range readAWG(t) {
		size, err := quantity.ParseSize(row.label)
		require.NoError(t, err, row.label)
		assert.Equal(t, row.label, size.Label())
		assert.InEpsilon(t, row.diameter, float64(size.Diameter()), fourDigits, row.label)
		assert.InEpsilon(t, row.area, float64(size.Area()), fourDigits, row.label)
		if row.necArea > 0 {
			assert.InEpsilon(t, row.necArea, float64(size.Area()), threeDigits, row.label)
		}
	}
}

type awgRow struct {
	label                   string
	diameter, area, necArea float64
}

func readAWG(t *testing.T) []awgRow {
	t.Helper()
	file, err := os.Open("testdata/awg.csv")
	require.NoError(t, err)
	defer file.Close()
	reader := csv.NewReader(file)
	reader.Comment = '#'
	records, err := reader.ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"size_awg", "diameter_mm", "area_mm2", "nec_table8_area_mm2"}, records[0])
	require.Len(t, records, 18)

	rows := make([]awgRow, 0, len(records)-1)
	for _, r := range records[1:] {
		row := awgRow{label: r[0], diameter: number(t, r[1]), area: number(t, r[2])}
		if r[3] != "" {
			row.necArea = number(t, r[3])
		}
		rows = append(rows, row)
	}
	return rows
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}
