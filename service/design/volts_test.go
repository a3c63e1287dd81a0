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

// TestMinimumVoltsWithTheEngineRunning: a device that states its lowest volts gets
// them, also where its drop class would allow less.
func TestMinimumVoltsWithTheEngineRunning(t *testing.T) {
	designer := design.New(demoShop(t))
	const lowest quantity.Volts = 12.55
	mattered := 0
	for length := quantity.Metres(2); length < 40; length++ {
		d := draws(electrical.Light, 12) // 10 % and 2 points: down to 12.36 V
		d.HasMeasured, d.Measured, d.Maker.ReturnToBattery = true, length, true
		d.Load.Behaviour = electrical.ConstantCurrent
		plain, err := designer.Design(van(), oneDevice(d))
		require.NoError(t, err)
		if plain.Circuits[0].Running.Device < lowest {
			mattered++
		}
		d.MinVolts = lowest
		got, err := designer.Design(van(), oneDevice(d))
		require.NoError(t, err)
		assert.GreaterOrEqual(t, float64(got.Circuits[0].Running.Device), float64(lowest)-1e-6, "%v m", length)
	}
	assert.Positive(t, mattered, "the stated volts decide somewhere")
}

// TestLowBatteryHeatsCableAndFuse: a constant-power load draws most at its lowest
// volts, and both bear that.
func TestLowBatteryHeatsCableAndFuse(t *testing.T) {
	designer := design.New(demoShop(t))
	inverter := func(output quantity.Watts, lowest quantity.Volts) design.Device {
		d := draws(electrical.Inverter, 0)
		d.Load, d.MinVolts, d.Zone, d.Maker.ReturnToBattery = electrical.Load{Output: output}, lowest, "engine", true
		d.HasMeasured, d.Measured = true, 0.6
		d.Maker.Positive, d.Maker.Negative = catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}, catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}
		return d
	}
	// 1000 W: 1000/(0.9 · 12) = 92.6 A, at 10.5 V 105.8 A. A 6 AWG cable, 105 °C, carries
	// 102 A in the engine space and would be enough for the maker's 100 A fuse.
	d := inverter(1000, 10.5)
	d.Maker.Fuse = 100
	got, err := designer.Design(van(), oneDevice(d))
	require.NoError(t, err)
	for _, r := range got.Circuits[0].Runs {
		assert.GreaterOrEqual(t, float64(r.Ampacity), 1000/0.9/10.5)
	}
	// 200 W: 18.5 A asks for 23.1 A; one that works down to 6 V draws 37 A there.
	got, err = designer.Design(van(), oneDevice(inverter(200, 6)))
	require.NoError(t, err)
	assert.GreaterOrEqual(t, float64(got.Circuits[0].Protection.Fuse.Rating), 200/0.9/6)
}

// TestEngineOffIsJudgedWhereItIsUsed: critical and motor devices within 10 % of
// nominal under the resting battery, others only by their own lowest volts.
func TestEngineOffIsJudgedWhereItIsUsed(t *testing.T) {
	designer := design.New(demoShop(t))
	yes, no := true, false
	tests := []struct {
		name   string
		change func(*catalog.Vehicle, *design.Device)
		source quantity.Volts // 0 = not judged
		limit  quantity.Percent
	}{
		{"a radio", func(*catalog.Vehicle, *design.Device) {}, 12.6, 10},
		{"a radio on lithium", func(v *catalog.Vehicle, _ *design.Device) { v.Batteries[0].Chemistry = electrical.Lithium }, 12.8, 10},
		{"a radio used only on the road", func(_ *catalog.Vehicle, d *design.Device) { d.UsedEngineOff = &no }, 0, 0},
		{"a light bar", func(_ *catalog.Vehicle, d *design.Device) { d.Kind = electrical.Light }, 0, 0},
		{"a light used in camp, general drop", func(_ *catalog.Vehicle, d *design.Device) { d.Kind, d.UsedEngineOff = electrical.Light, &yes }, 0, 0},
		{"a light used in camp, with its lowest volts", func(_ *catalog.Vehicle, d *design.Device) {
			d.Kind, d.UsedEngineOff, d.MinVolts = electrical.Light, &yes, 10.8
		}, 12.6, 15},
		// A compressor's cut-out of 10.4 V: (12.6 − 10.4)/12.
		{"a fridge", func(_ *catalog.Vehicle, d *design.Device) { d.Kind = electrical.Refrigerator }, 12.6, 100 * 2.2 / 12},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v, d := van(), draws(electrical.Radio, 5)
			tt.change(v, &d)
			got, err := designer.Design(v, oneDevice(d))
			require.NoError(t, err)
			off := got.Circuits[0].EngineOff
			if tt.source == 0 {
				assert.Nil(t, off)
				return
			}
			require.NotNil(t, off)
			assert.InDelta(t, float64(tt.source), float64(off.Source), 1e-9)
			assert.InDelta(t, float64(tt.limit), float64(off.LimitPercent), 1e-9)
		})
	}
}
