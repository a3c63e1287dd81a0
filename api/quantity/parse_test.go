package quantity_test

import (
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
)

// near is the tolerance for conversions that round in the last binary digit.
const near = 1e-12

func TestParseReadsCommonSpellings(t *testing.T) {
	t.Parallel()
	tests := []struct {
		dimension quantity.Dimension
		want      float64
		texts     []string
	}{
		{quantity.Current, 60, []string{"60A", "60 A", "60a", " 60 amps ", "60 amp", "60 Amperes", "+60A", "60.0 A", "60,0 A", "60000 mA", "0.06 kA", "60\u00a0A"}},
		{quantity.Current, 0.25, []string{"250mA", "250 milliamps", "250 Milliamps", ".25 A", "0,25 A"}},
		{quantity.Current, 10000, []string{"10 kA", "10KA", "10,000 A", "10 000 A", "10.000,0 A", "10\u202f000 A"}},
		{quantity.Current, 0, []string{"0 A", "0.0 mA"}},
		{quantity.Voltage, 13.8, []string{"13.8V", "13,8 v", "13.8 volts", "13800 mV", "13.8 VDC"}},
		{quantity.Resistance, 0.0032, []string{"3.2 mohm", "3.2mΩ", "3.2 mΩ", "3.2 milliohms", "3,2 m ohm"}},
		{quantity.Resistance, 4, []string{"4 ohm", "4 Ohms", "4Ω", "4 Ω", "4 \u2126"}},
		{quantity.Power, 1000, []string{"1k watt", "1 k watts", "1,000w rms", "1000W", "1 kW", "1KW", "1000 watts RMS", "1.0 kilowatt", "1000  w  rms"}},
		{quantity.Power, 0.005, []string{"5 mW", "5 milliwatts"}},
		{quantity.Length, 5.1816, []string{"17ft", "17 ft", "17'", "17 feet", "17 foot", "17’", "17 ft.", "17 FT", "204 in", "204\"", "204 inches", "17 ft 0 in"}},
		{quantity.Length, 6.2484, []string{"20'6\"", "20' 6\"", "20'-6\"", "20'6", "20 ft 6 in", "20ft6in", "20 feet 6 inches", "20 ft, 6 in", "20 feet and 6 inches", "20′6″", "20’ 6”", "20'6''", "20.5 ft", "20 1/2 ft", "20 ft. 6 in."}},
		{quantity.Length, 0.0889, []string{"3 1/2 in", "3-1/2\"", "3.5in", "7/2 in", "0' 3 1/2\""}},
		{quantity.Length, 5.5, []string{"5.5m", "5,5 m", "5.5 metres", "5.5 Meters", "5.5 meter", "550 cm", "5500 mm", "5,500 mm", "5 500 mm", "5500MM"}},
		{quantity.Area, 16, []string{"16mm2", "16 mm²", "16 mm^2", "16 sq mm", "16sqmm", "16 Sq. mm", "16 square millimetres", "16MM2"}},
		{quantity.Temperature, 50, []string{"50 °C", "50C", "50 c", "50 deg C", "50 degrees C", "50 celsius", "50℃", "122F", "122 °F", "122 degrees Fahrenheit", "323.15 K"}},
		{quantity.Temperature, -40, []string{"-40C", "−40 °C", "–40 °C", "- 40 C", "-40F", "233.15 kelvin"}},
		{quantity.Force, 355.85772922084, []string{"80 lbf", "80lb", "80 lbs", "80 pounds", "355.85772922084 N", "0.35585772922084 kN"}}, // NIST SP 811 appendix B
		{quantity.Charge, 100, []string{"100Ah", "100 AH", "100 amp hours", "100 amp-hours", "100 ampere hours", "100000 mAh"}},
		{quantity.Share, 3, []string{"3%", "3 %", "3 percent", "3 per cent", "3.0 pct"}},
		{quantity.Time, 90, []string{"90s", "90 sec", "90 seconds", "1.5 min", "1 min 30 s", "1m30s", "90000 ms", "0.025 h"}},
		{quantity.Time, 5400, []string{"1h30m", "1 h 30 min", "1.5 hours", "90 minutes", "1 hour and 30 minutes"}},
		{quantity.Time, 3661.5, []string{"1h1m1.5s", "1 h 1 min 1.5 s"}},
	}
	for _, tt := range tests {
		for _, text := range tt.texts {
			got, err := quantity.Parse(tt.dimension, text)
			require.NoError(t, err, text)
			assert.InDelta(t, tt.want, got, near*max(1, tt.want), text)
		}
	}
}

func TestParseReadsSeparatorsDeliberately(t *testing.T) {
	t.Parallel()
	tests := []struct {
		text string
		want float64
	}{
		{"1,000 W", 1000},
		{"1.000 W", 1},
		{"1,5 W", 1.5},
		{"1,25 W", 1.25},
		{"1,2345 W", 1.2345},
		{"0,500 W", 0.5},
		{"1,000.5 W", 1000.5},
		{"1.000,5 W", 1000.5},
		{"1,234,567 W", 1234567},
		{"1.234.567 W", 1234567},
		{"1 234 567 W", 1234567},
		{"1 234,500 W", 1234.5},
		{"1234,5 W", 1234.5},
		{"1 234.5 W", 1234.5},
	}
	for _, tt := range tests {
		got, err := quantity.Parse(quantity.Power, tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, got, tt.text)
	}
}

func TestParseRefuses(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name      string
		dimension quantity.Dimension
		text      string
		want      quantity.Reason
	}{
		{"nothing", quantity.Current, "", quantity.ReasonEmpty},
		{"only space", quantity.Current, " \t\u00a0", quantity.ReasonEmpty},
		{"words", quantity.Current, "sixty amps", quantity.ReasonNoNumber},
		{"only a sign", quantity.Current, "-", quantity.ReasonNoNumber},
		{"only a unit", quantity.Current, "A", quantity.ReasonNoNumber},
		{"not a number", quantity.Current, "NaN A", quantity.ReasonNoNumber},
		{"infinity", quantity.Current, "Inf A", quantity.ReasonNoNumber},
		{"bare number", quantity.Current, "60", quantity.ReasonNoUnit},
		{"bare inches after feet in words", quantity.Length, "5 ft 6", quantity.ReasonNoUnit},
		{"apostrophe as thousands separator", quantity.Length, "1'000", quantity.ReasonNoUnit},
		{"exponent", quantity.Current, "1e3 A", quantity.ReasonUnknownUnit},
		{"hexadecimal", quantity.Current, "0x10 A", quantity.ReasonUnknownUnit},
		{"unknown unit", quantity.Current, "5 bananas", quantity.ReasonUnknownUnit},
		{"unit pulled apart", quantity.Length, "5 m m", quantity.ReasonUnknownUnit},
		{"degrees of no scale", quantity.Temperature, "50 degrees", quantity.ReasonUnknownUnit},
		{"peak watts", quantity.Power, "1000 W peak", quantity.ReasonUnknownUnit},
		{"megohm", quantity.Resistance, "5 megohm", quantity.ReasonUnknownUnit},
		{"number ending in a point", quantity.Voltage, "12. V", quantity.ReasonUnknownUnit},
		{"length for current", quantity.Current, "60 ft", quantity.ReasonOtherUnit},
		{"ampere for ampere hour", quantity.Charge, "100 A", quantity.ReasonOtherUnit},
		{"area for length", quantity.Length, "16 mm2", quantity.ReasonOtherUnit},
		{"feet for area", quantity.Area, "3 ft", quantity.ReasonOtherUnit},
		{"millimetres for area", quantity.Area, "4 mm", quantity.ReasonAmbiguous},
		{"megawatt", quantity.Power, "5MW", quantity.ReasonMega},
		{"megampere", quantity.Current, "5 MA", quantity.ReasonMega},
		{"megavolt", quantity.Voltage, "5 MV", quantity.ReasonMega},
		{"megohm as prefix", quantity.Resistance, "5 Mohm", quantity.ReasonMega},
		{"megohm with omega", quantity.Resistance, "5 MΩ", quantity.ReasonMega},
		{"megasecond in a chain", quantity.Time, "5 MS 3 s", quantity.ReasonMega},
		{"negative", quantity.Current, "-5 A", quantity.ReasonNegative},
		{"negative length", quantity.Length, "-3 ft 6 in", quantity.ReasonNegative},
		{"negative zero", quantity.Power, "-0 W", quantity.ReasonNegative},
		{"too large", quantity.Length, "1000000001 m", quantity.ReasonOutOfRange},
		{"too large by its unit", quantity.Power, "1000001 kW", quantity.ReasonOutOfRange},
		{"beyond float64", quantity.Length, strings.Repeat("9", 400) + " m", quantity.ReasonOutOfRange},
		{"colder than cold", quantity.Temperature, "-274 °C", quantity.ReasonOutOfRange},
		{"negative kelvin", quantity.Temperature, "-1 K", quantity.ReasonOutOfRange},
		{"comma with two readings", quantity.Power, "1234,567 W", quantity.ReasonAmbiguous},
		{"uneven groups", quantity.Power, "1,00,000 W", quantity.ReasonBadNumber},
		{"two decimal commas", quantity.Power, "1,5,5 W", quantity.ReasonBadNumber},
		{"long first group", quantity.Power, "1000,000,000 W", quantity.ReasonBadNumber},
		{"group that begins with zero", quantity.Power, "0,123,456 W", quantity.ReasonBadNumber},
		{"two kinds of group", quantity.Power, "1,000 000 W", quantity.ReasonBadNumber},
		{"points and commas alternating", quantity.Power, "1.000,000.000,0 W", quantity.ReasonBadNumber},
		{"version number", quantity.Power, "1.2.3 W", quantity.ReasonBadNumber},
		{"fraction by zero", quantity.Length, "1/0 in", quantity.ReasonBadNumber},
		{"improper mixed fraction", quantity.Length, "3 5/4 in", quantity.ReasonBadNumber},
		{"fraction with nothing below", quantity.Length, "1/ in", quantity.ReasonBadNumber},
		{"fraction of enormous parts", quantity.Length, "3 1/99999 in", quantity.ReasonBadNumber},
		{"mixed fraction of enormous parts", quantity.Length, "3 12345/99999 in", quantity.ReasonBadNumber},
		{"fraction of an ampere", quantity.Current, "1/2 A", quantity.ReasonUnknownUnit},
		{"more inches than a foot", quantity.Length, "3 ft 14 in", quantity.ReasonBadParts},
		{"broken feet before inches", quantity.Length, "3.5 ft 6 in", quantity.ReasonBadParts},
		{"inches before feet", quantity.Length, "6 in 3 ft", quantity.ReasonBadParts},
		{"feet twice", quantity.Length, "6 ft 3 ft", quantity.ReasonBadParts},
		{"metres and centimetres", quantity.Length, "1 m 50 cm", quantity.ReasonBadParts},
		{"feet and millimetres", quantity.Length, "3 ft 20 mm", quantity.ReasonBadParts},
		{"more minutes than an hour", quantity.Time, "1 h 60 min", quantity.ReasonBadParts},
		{"something after a unit", quantity.Current, "5 A 3 bananas", quantity.ReasonBadParts},
		{"a second number", quantity.Current, "5 A 3 A", quantity.ReasonBadParts},
		{"unknown dimension", quantity.Dimension("colour"), "5 A", quantity.ReasonUnknownDimension},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			got, err := quantity.Parse(tt.dimension, tt.text)
			var refused *quantity.Error
			require.ErrorAs(t, err, &refused)
			assert.Equal(t, tt.want, refused.Reason, err.Error())
			assert.Zero(t, got)
		})
	}
}

func TestTypedParsers(t *testing.T) {
	t.Parallel()
	check := func(text string, want, got any, err error) {
		t.Helper()
		require.NoError(t, err, text)
		assert.Equal(t, want, got, text)
	}
	amps, err := quantity.ParseAmps("60A")
	check("amps", quantity.Amps(60), amps, err)
	volts, err := quantity.ParseVolts("13.8 V")
	check("volts", quantity.Volts(13.8), volts, err)
	ohms, err := quantity.ParseOhms("4 mohm")
	check("ohms", quantity.Ohms(0.004), ohms, err)
	watts, err := quantity.ParseWatts("1.2 kW")
	check("watts", quantity.Watts(1200), watts, err)
	metres, err := quantity.ParseMetres("17 ft")
	check("metres", quantity.Metres(5.1816), metres, err)
	millimetres, err := quantity.ParseMillimetres("1/2 in")
	check("millimetres", quantity.Millimetres(12.7), millimetres, err)
	area, err := quantity.ParseSquareMillimetres("2,5 mm²")
	check("area", quantity.SquareMillimetres(2.5), area, err)
	celsius, err := quantity.ParseCelsius("-4 °F")
	check("celsius", quantity.Celsius(-20), celsius, err)
	newtons, err := quantity.ParseNewtons("350 N")
	check("newtons", quantity.Newtons(350), newtons, err)
	capacity, err := quantity.ParseAmpHours("100Ah")
	check("amp hours", quantity.AmpHours(100), capacity, err)
	percent, err := quantity.ParsePercent("3%")
	check("percent", quantity.Percent(3), percent, err)
	duration, err := quantity.ParseDuration("1 h 30 min")
	check("duration", 90*time.Minute, duration, err)

	_, err = quantity.ParseDuration("5 A")
	require.Error(t, err)
	_, err = quantity.ParseAmps("5 V")
	require.Error(t, err)
}

func TestParseBare(t *testing.T) {
	t.Parallel()
	got, err := quantity.ParseBare(quantity.Voltage, "13,8")
	require.NoError(t, err)
	assert.InDelta(t, 13.8, got, near)

	got, err = quantity.ParseBare(quantity.Length, "18 ft")
	require.NoError(t, err)
	assert.InDelta(t, 5.4864, got, near, "a unit still counts")

	got, err = quantity.ParseBare(quantity.Temperature, "-20")
	require.NoError(t, err)
	assert.InDelta(t, -20, got, near)

	for _, text := range []string{"-12", "5 ft 6", "", "1234,567", "2000000000"} {
		_, err = quantity.ParseBare(quantity.Length, text)
		require.Error(t, err, text)
	}
}

func TestParseForGivesTheUnitOfTheField(t *testing.T) {
	t.Parallel()
	tests := []struct {
		suffix, text string
		want         float64
	}{
		{"_a", "250 mA", 0.25},
		{"_mm", "3 cm", 30},
		{"_mm", "12.3 mm", 12.3}, // 12.3 / 1000 · 1000 would lose the last digit
		{"mohm", "0.35 mΩ", 0.35},
		{"_mohm", "2 ohm", 2000},
		{"_hours", "90 min", 1.5},
		{"_s", "2 min", 120},
		{"_c", "212 F", 100},
		{"_percent", "3%", 3},
	}
	for _, tt := range tests {
		got, err := quantity.ParseFor(tt.suffix, tt.text)
		require.NoError(t, err, tt.text)
		assert.Equal(t, tt.want, got, tt.text)
	}
	for _, suffix := range []string{"", "_", "sku", "_ft"} {
		_, err := quantity.ParseFor(suffix, "5 A")
		require.Error(t, err, suffix)
	}
	_, err := quantity.ParseFor("_a", "5")
	require.Error(t, err, "a bare number")
}
