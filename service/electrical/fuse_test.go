package electrical_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Makers' derating tables and ECSS-Q-ST-30-11C 6.17, point by point.
func TestShareAtAmbientMeetsPublishedPoints(t *testing.T) {
	for _, r := range readRows(t, "fuse_derating.csv") {
		families := []electrical.Family{electrical.Family(r["family"])}
		if r["family"] == "any" {
			families = []electrical.Family{electrical.ClassT, electrical.BoltSmall, electrical.ANL, electrical.Glass}
		}
		for _, f := range families {
			got := electrical.ShareAtAmbient(f, quantity.Celsius(r.number(t, "ambient_c")))
			within(t, r.number(t, "share_percent")/100, got, 1e-9, "%s: %v", f, r)
		}
	}
}

// Between points a straight line: maxi halfway from 65 to 85 °C is 0.80. Below
// the first point the first share holds.
func TestShareAtAmbientBetweenPoints(t *testing.T) {
	within(t, 0.80, electrical.ShareAtAmbient(electrical.Maxi, 75), 1e-9)
	within(t, 0.80, electrical.ShareAtAmbient(electrical.Blade, 30), 1e-9, "the usual 80 % holds in a cabin")
	within(t, 0.78, electrical.ShareAtAmbient(electrical.Blade, 47.5), 1e-9, "halfway to 65 °C")
	within(t, 0.725, electrical.ShareAtAmbient(electrical.ANL, 75), 1e-9)
	within(t, 1.0, electrical.ShareAtAmbient(electrical.Maxi, -40), 1e-9)
	for _, f := range []electrical.Family{electrical.Maxi, electrical.Blade, electrical.ANL} {
		assert.Zero(t, electrical.ShareAtAmbient(f, 126), "%s: no fuse belongs above its table", f)
	}
	for _, f := range []electrical.Family{electrical.Mini, electrical.Micro} {
		within(t, 0.76, electrical.ShareAtAmbient(f, 65), 1e-9, "%s goes with blade", f)
	}
}

// The smaller of load share and table, never their product: a 25 A blade at 65 °C
// carries 19 A (maker's sheet), not 15.2 A.
func TestCarryLimit(t *testing.T) {
	tests := []struct {
		name    string
		family  electrical.Family
		rating  quantity.Amps
		ambient quantity.Celsius
		share   float64
		want    float64
	}{
		{"blade in a cabin", electrical.Blade, 10, 30, 0.8, 8},
		{"blade under a bonnet", electrical.Blade, 25, 65, 0.8, 19},
		{"maxi in a cabin: 80 % governs", electrical.Maxi, 40, 20, 0.8, 32},
		{"maxi at 85 °C: table governs", electrical.Maxi, 40, 85, 0.8, 30},
		{"bolt-down in a cabin", electrical.BoltLarge, 250, 30, 0.8, 200},
		{"class T at 85 °C", electrical.ClassT, 200, 85, 0.8, 130},
		{"a stricter shop", electrical.Maxi, 40, 85, 0.5, 20},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			within(t, tt.want, float64(electrical.CarryLimit(tt.family, tt.rating, tt.ambient, tt.share)), 1e-9)
		})
	}
}

// Voltage and interrupting rating: a family of 32 V clears nothing on a 48 V
// system, whose highest voltage is 60 V, and neither does one of 58 V.
func TestInterruptingAt(t *testing.T) {
	tests := []struct {
		family       electrical.Family
		at15, at30   quantity.Amps
		at60, at125V quantity.Amps
	}{
		{electrical.Blade, 1000, 1000, 0, 0},            // ISO 8820-3: 1000 A at 32 V
		{electrical.Maxi, 1000, 1000, 0, 0},             // ISO 8820-3: 1000 A at 32 V
		{electrical.ClassT, 20000, 20000, 20000, 20000}, // a maker's sheet: 20 kA at 125 V
		{electrical.MiniANL, 0, 0, 0, 0},                // nothing published
		{electrical.Glass, 0, 0, 0, 0},
	}
	for _, tt := range tests {
		f, ok := electrical.FamilyOf(tt.family)
		require.True(t, ok)
		got := []quantity.Amps{f.InterruptingAt(15), f.InterruptingAt(30), f.InterruptingAt(60), f.InterruptingAt(125)}
		assert.Equal(t, []quantity.Amps{tt.at15, tt.at30, tt.at60, tt.at125V}, got, "%s", tt.family)
	}
	post, _ := electrical.FamilyOf(electrical.TerminalMount)
	assert.Equal(t, quantity.Amps(10000), post.InterruptingAt(14), "10 kA at 14 V from a maker's sheet")
	assert.Zero(t, post.InterruptingAt(60), "58 V does not pass on 48 V")
}

func TestEveryFamilyHasFigures(t *testing.T) {
	for _, f := range electrical.Families() {
		got, ok := electrical.FamilyOf(f)
		require.True(t, ok, "%s", f)
		assert.Equal(t, f, got.Family)
		assert.GreaterOrEqual(t, got.Voltage, quantity.Volts(32), "%s", f)
		assert.Positive(t, got.ColdMillivolts, "%s", f)
		assert.Positive(t, got.Contacts, "%s", f)
		assert.GreaterOrEqual(t, got.InterruptingAt(15), got.InterruptingAt(30), "%s", f)
		assert.GreaterOrEqual(t, got.InterruptingAt(30), got.InterruptingAt(60), "%s", f)
		assert.NotEmpty(t, got.Source, "%s", f)
	}
	_, ok := electrical.FamilyOf("unknown")
	assert.False(t, ok)
}

// R = U/I cold, 1.4 times that at the rating: 75 mV at 10 A is 7.5 mΩ, hot 10.5 mΩ.
func TestFuseResistance(t *testing.T) {
	f := electrical.FamilyFigures{ColdMillivolts: 75}
	within(t, 7.5*milliseconds, float64(electrical.ColdFuseResistance(f, 10)), 1e-9)
	within(t, 7.5*milliseconds, float64(electrical.FuseResistance(f, 10, 0)), 1e-9)
	within(t, 8.25*milliseconds, float64(electrical.FuseResistance(f, 10, 5)), 1e-9)
	within(t, 10.5*milliseconds, float64(electrical.FuseResistance(f, 10, 10)), 1e-9)
}
