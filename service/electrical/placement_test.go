package electrical_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

const inches = 0.0254

// 33 CFR 183.455(b): 7 in on boats. Road: common practice, no source.
func TestPlacementOf(t *testing.T) {
	d := electrical.Standard()
	tests := []struct {
		name     string
		category electrical.Category
		battery  electrical.Chemistry
		where    electrical.Environment
		outboard bool
		want     float64
		rule     string
	}{
		{"boat", electrical.Boat, electrical.Flooded, electrical.WetLocker, false, 7 * inches, "placement.boat"},
		{"boat with lithium", electrical.Boat, electrical.Lithium, electrical.Cabin, false, 7 * inches, "placement.boat"},
		{"outboard-only boat, as practice", electrical.Boat, electrical.AGM, electrical.WetLocker, true, 7 * inches, "placement.boat"},
		{"car under the bonnet", electrical.Car, electrical.Flooded, electrical.EngineSpace, false, 0.45, "placement.road"},
		{"motorcycle", electrical.Motorcycle, electrical.AGM, electrical.Exposed, false, 0.45, "placement.road"},
		{"battery in the cabin", electrical.Van, electrical.AGM, electrical.Cabin, false, 0.18, "placement.close"},
		{"lithium", electrical.Truck, electrical.Lithium, electrical.Underbody, false, 0.18, "placement.close"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := d.PlacementOf(tt.category, tt.battery, tt.where, tt.outboard)
			assert.InDelta(t, tt.want, float64(got.Limit), 1e-9)
			assert.Equal(t, tt.rule, got.Reason.Rule)
			assert.NotEmpty(t, got.Reason.Source)
		})
	}
	practice := d.PlacementOf(electrical.Boat, electrical.AGM, electrical.WetLocker, true).Reason.Source
	assert.Contains(t, practice, "practice", "Subpart I excludes outboard-only boats, and the source says so")
}

// 33 CFR 183.455(b)(1) 7 in, (b)(2) 40 in in a sheath, 183.460 72 in from a battery.
func TestBoatPlacementLimit(t *testing.T) {
	for want, run := range map[float64]electrical.BoatRun{
		7 * inches:  {},
		40 * inches: {Sheathed: true},
		72 * inches: {AtBattery: true},
	} {
		assert.InDelta(t, want, float64(electrical.BoatPlacementLimit(run)), 1e-9)
	}
	assert.InDelta(t, 72*inches, float64(electrical.BoatPlacementLimit(electrical.BoatRun{AtBattery: true, Sheathed: true})), 1e-9)
}

// 33 CFR 183.425(e): 16 AWG for a single conductor on a boat.
func TestMinimumSize(t *testing.T) {
	tests := []struct {
		category electrical.Category
		worst    electrical.Environment
		want     int
	}{
		{electrical.Boat, electrical.Cabin, 16},
		{electrical.Car, electrical.Cabin, 18},
		{electrical.Van, electrical.EngineSpace, 16},
		{electrical.Truck, electrical.Underbody, 16},
		{electrical.SideBySide, electrical.Exposed, 16},
		{electrical.Motorcycle, electrical.Cabin, 16},
		{electrical.Trailer, electrical.Cabin, 16},
	}
	for _, tt := range tests {
		got, reason := electrical.MinimumSize(tt.category, tt.worst)
		assert.Equal(t, quantity.AWG(tt.want), got, "%+v", tt)
		assert.NotEmpty(t, reason.Source)
	}
}

func TestStandardDefaults(t *testing.T) {
	d := electrical.Standard()
	require.NoError(t, d.Check())
	for nominal, want := range map[quantity.Volts]electrical.SourceVolts{
		12: {Running: 13.8, EngineOff: 12.6, Lithium: 12.8, Low: 11, Highest: 15},
		24: {Running: 27.6, EngineOff: 25.2, Lithium: 25.6, Low: 22, Highest: 30},
		48: {Running: 55.2, EngineOff: 50.4, Lithium: 51.2, Low: 44, Highest: 60},
	} {
		got, err := d.SourceAt(nominal)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		assert.Equal(t, want.Lithium, got.RestVolts(electrical.Lithium))
		assert.Equal(t, want.EngineOff, got.RestVolts(electrical.AGM))
	}
	_, err := d.SourceAt(36)
	require.Error(t, err)
	for where, want := range map[electrical.Environment]quantity.Celsius{
		electrical.Cabin: 30, electrical.EngineSpace: 50, electrical.Exposed: 40, electrical.Underbody: 50, electrical.WetLocker: 30,
	} {
		assert.Equal(t, want, d.Ambient(where), "%s", where)
		assert.Equal(t, want, d.SurroundingsOf(where, 0).Temperature(), "%s", where)
	}
	assert.Equal(t, quantity.Celsius(65), d.HolderAmbient(electrical.EngineSpace))
	assert.Equal(t, quantity.Celsius(30), d.HolderAmbient(electrical.Cabin))
}

// A shop that says its engine spaces are hotter than note 1 leaves the factor for
// the square root: never both.
func TestSurroundingsOfEngineSpace(t *testing.T) {
	d := electrical.Standard()
	within(t, 51, ampacity(t, cable(quantity.AWG(10), 105), d.SurroundingsOf(electrical.EngineSpace, 0)), 1e-9)
	d.AmbientEngineSpace = 80
	within(t, 60*0.577350, ampacity(t, cable(quantity.AWG(10), 105), d.SurroundingsOf(electrical.EngineSpace, 0)), 1e-5)
}

func TestCheckKeepsOverridesSafe(t *testing.T) {
	for name, spoil := range map[string]func(*electrical.Defaults){
		"more than 80 % on a fuse":           func(d *electrical.Defaults) { d.LoadShare = 0.9 },
		"no share":                           func(d *electrical.Defaults) { d.LoadShare = 0 },
		"drop beyond ABYC's 10 %":            func(d *electrical.Defaults) { d.DropGeneral = 10.1 },
		"engine space below note 1":          func(d *electrical.Defaults) { d.AmbientEngineSpace = 49 },
		"more than 150 A over the body":      func(d *electrical.Defaults) { d.ChassisMax = 151 },
		"fuse farther than practice":         func(d *electrical.Defaults) { d.PlaceRoad = 0.46 },
		"new cable hotter than it is sold":   func(d *electrical.Defaults) { d.NewInsulation = 106 },
		"a running 24 V in the 12 V row":     func(d *electrical.Defaults) { d.Volts12.Running = 27.6 },
		"highest below what a charger gives": func(d *electrical.Defaults) { d.Volts12.Highest = 14 },
	} {
		t.Run(name, func(t *testing.T) {
			d := electrical.Standard()
			spoil(&d)
			require.ErrorContains(t, d.Check(), "allowed")
		})
	}
}
