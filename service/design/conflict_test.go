package design_test

import (
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestMakersFuse: the maker's figure is taken; where it does not agree with the
// rules the design says so and is none the less a design.
func TestMakersFuse(t *testing.T) {
	designer := design.New(demoShop(t))
	tests := []struct {
		name   string
		device func(*design.Device)
		fuse   quantity.Amps
		want   string
	}{
		{"as the rules would have it", func(d *design.Device) { d.Load.Current, d.Maker.Fuse = 11, 15 }, 15, ""},
		{"larger than the rules need", func(d *design.Device) { d.Load.Current, d.Maker.Fuse = 4, 15 }, 15, ""},
		{"between the load and load/0.8", func(d *design.Device) { d.Load.Current, d.Maker.Fuse = 50, 60 }, 60, ""},
		{"below the load", func(d *design.Device) { d.Load.Current, d.Maker.Fuse = 12, 10 }, 10, "maker_fuse_below_load"},
		// The holder sits at 65 °C, where 0.76 of a blade fuse holds: 8 A want 15 A.
		{"not stocked in any family", func(d *design.Device) { d.Load.Current, d.Maker.Fuse = 8, 17 }, 15, "maker_fuse_not_stocked"},
		{"above what the terminals' cable carries", func(d *design.Device) {
			d.Load.Current, d.Maker.Fuse, d.Maker.TerminalMax = 20, 125, quantity.AWG(10)
		}, 25, "maker_fuse_not_possible"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := draws(electrical.OtherDevice, 0)
			d.DropClass = electrical.General
			d.Maker.Positive, d.Maker.Negative = catalog.Landing{Kind: catalog.OnStud, Stud: "M6"}, catalog.Landing{Kind: catalog.OnStud, Stud: "M6"}
			tt.device(&d)
			got, err := designer.Design(van(), oneDevice(d))
			require.NoError(t, err)
			assert.Equal(t, tt.fuse, got.Circuits[0].Protection.Fuse.Rating)
			assert.Equal(t, tt.want, conflictOf(got, "d"))
			if tt.want == "" {
				assert.Empty(t, got.Conflicts)
				return
			}
			require.Len(t, got.Conflicts, 1)
			stated, ok := numberOf(got.Conflicts[0].Figures, "maker_fuse_a")
			assert.True(t, ok)
			assert.InDelta(t, float64(d.Maker.Fuse), stated, 1e-9)
		})
	}
}

// TestMakersConductorAndTerminal bound the cable on both sides.
func TestMakersConductorAndTerminal(t *testing.T) {
	designer := design.New(demoShop(t))
	d := draws(electrical.Radio, 5)
	d.Maker.ConductorMin = quantity.AWG(8)
	got, err := designer.Design(van(), oneDevice(d))
	require.NoError(t, err)
	for _, r := range got.Circuits[0].Runs {
		assert.GreaterOrEqual(t, float64(r.Conductor.Size.Area()), float64(quantity.AWG(8).Area())*0.99)
	}
	d = draws(electrical.Amplifier, 80)
	d.Maker.TerminalMax = quantity.AWG(10)
	_, err = designer.Design(van(), oneDevice(d))
	u, ok := unmet(err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, "landing.largest", u.Constraint)
}

// TestAmplifierFuse: at least the sum of the amplifier's own fuses, and advice
// where it is more than a quarter above it.
func TestAmplifierFuse(t *testing.T) {
	designer := design.New(demoShop(t))
	tests := []struct {
		name   string
		audio  electrical.Audio
		fuse   quantity.Amps
		advice bool
	}{
		// 500 W class D: 48.3 A, over 0.8: 60.4 A → 70 A on the demo ladder; own 50 A:
		// load 48.3 A still, 70 A is above 62.5 A.
		{"load decides", electrical.Audio{RMS: 500, Class: electrical.ClassD, OnboardFuse: 50}, 70, true},
		// 300 W class D: 29 A, over 0.8: 36.2 A; own fuses 60 A.
		{"own fuses decide", electrical.Audio{RMS: 300, Class: electrical.ClassD, OnboardFuse: 60}, 60, false},
		// Only the fuses known: 0.8 · 40 A = 32 A, over 0.8: 40 A.
		{"only the fuses are known", electrical.Audio{OnboardFuse: 40}, 40, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d := design.Device{ID: "amp", Kind: electrical.Amplifier, Zone: "dash", Load: electrical.Load{Audio: tt.audio}}
			got, err := designer.Design(van(), oneDevice(d))
			require.NoError(t, err)
			assert.Equal(t, tt.fuse, got.Circuits[0].Protection.Fuse.Rating)
			advised := false
			for _, a := range got.Advice {
				advised = advised || a.Code == "fuse_above_onboard"
			}
			assert.Equal(t, tt.advice, advised)
		})
	}
}

// TestBodyReturnLimit: at most 150 A are added to the body in all, the smallest
// loads first; the rest get a cable of their own.
func TestBodyReturnLimit(t *testing.T) {
	designer := design.New(demoShop(t))
	s := design.System{Layout: design.SingleFeeds}
	for id, amps := range map[string]quantity.Amps{"a": 90, "b": 40, "c": 20, "d": 70} {
		s.Devices = append(s.Devices, design.Device{ID: id, Kind: electrical.Amplifier, Zone: "rear", Load: electrical.Load{Current: amps}, DropClass: electrical.General})
	}
	got, err := designer.Design(van(), s)
	require.NoError(t, err)
	for i := range got.Circuits {
		c := &got.Circuits[i]
		// 20 + 40 + 70 = 130 A; 90 A more would be 220 A.
		want := design.AtChassis
		if c.ID == "a" {
			want = design.AtBatteryNegative
		}
		assert.Equal(t, want, c.Runs[len(c.Runs)-1].To.Kind, c.ID)
	}
}

// TestNoBodyReturn where the body is no conductor or no sound ground is at hand.
func TestNoBodyReturn(t *testing.T) {
	designer := design.New(demoShop(t))
	tests := map[string]struct {
		change func(*catalog.Vehicle, *design.Device)
		body   bool
	}{
		"steel van":      {func(*catalog.Vehicle, *design.Device) {}, true},
		"aluminium van":  {func(v *catalog.Vehicle, _ *design.Device) { v.Body = catalog.Aluminium }, false},
		"glass fibre":    {func(v *catalog.Vehicle, _ *design.Device) { v.Body = catalog.GlassFibre }, false},
		"no bare metal":  {func(v *catalog.Vehicle, _ *design.Device) { v.Zones[2].ChassisGround = false }, false},
		"maker's word":   {func(_ *catalog.Vehicle, d *design.Device) { d.Maker.ReturnToBattery = true }, false},
		"motorcycle":     {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.Motorcycle }, false},
		"side-by-side":   {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.SideBySide }, false},
		"steel boat":     {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.Boat }, false},
		"trailer":        {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.Trailer }, false},
		"other vehicle":  {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.OtherVehicle }, false},
		"car":            {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.Car }, true},
		"truck on frame": {func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.Truck }, true},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			v, d := van(), draws(electrical.Light, 8)
			tt.change(v, &d)
			got, err := designer.Design(v, oneDevice(d))
			require.NoError(t, err)
			runs := got.Circuits[0].Runs
			assert.Equal(t, tt.body, runs[len(runs)-1].To.Kind == design.AtChassis)
		})
	}
}

// TestQuantity: lights of one entry are one circuit, any other device gets one
// each.
func TestQuantity(t *testing.T) {
	designer := design.New(demoShop(t))
	lights := draws(electrical.Light, 2)
	lights.Quantity = 4
	got, err := designer.Design(van(), oneDevice(lights))
	require.NoError(t, err)
	require.Len(t, got.Circuits, 1)
	assert.InDelta(t, 8, float64(got.Circuits[0].Load), 1e-9)
	assert.Equal(t, 4, got.Circuits[0].Equipment[0].Count)

	fans := draws(electrical.Fan, 2)
	fans.Quantity = 3
	got, err = designer.Design(van(), design.System{Devices: []design.Device{fans}, Layout: design.SingleFeeds})
	require.NoError(t, err)
	require.Len(t, got.Circuits, 3)
	for i, want := range []string{"d-1", "d-2", "d-3"} {
		assert.Equal(t, want, got.Circuits[i].ID)
		assert.InDelta(t, 2, float64(got.Circuits[i].Load), 1e-9)
	}
}

// TestSensorSitsOnTheStartingBattery: a return to the house battery lands on its own
// post, one to the battery that starts the engine on the body side of the sensor.
func TestSensorSitsOnTheStartingBattery(t *testing.T) {
	v := van()
	v.Sensor = true
	v.Batteries = append(v.Batteries, catalog.Battery{ID: "house", Chemistry: electrical.AGM, Capacity: 200, Zone: "rear", Stud: "M8", Count: 1, Role: catalog.House})
	for battery, want := range map[string]design.PointKind{"main": design.AtSensor, "house": design.AtBatteryNegative} {
		d := draws(electrical.OtherDevice, 10)
		d.FedFrom, d.Maker.ReturnToBattery = battery, true
		runs := made(t, demoShop(t), v, oneDevice(d)).Circuits[0].Runs
		assert.Equal(t, design.Point{Kind: want, ID: battery}, runs[len(runs)-1].To)
	}
}
