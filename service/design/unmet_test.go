package design_test

import (
	"math/rand/v2"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestWhatBinds: a job that cannot be met names the constraint, the device and the
// figures that met in it.
func TestWhatBinds(t *testing.T) {
	designer := design.New(demoShop(t))
	stud := catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}
	tests := []struct {
		name   string
		change func(*catalog.Vehicle, *design.Device)
		want   string
		advice []string
	}{
		{"far too long for its drop", func(_ *catalog.Vehicle, d *design.Device) {
			d.Load.Current, d.HasMeasured, d.Measured, d.Maker.ReturnToBattery = 100, true, 60, true
		}, "drop_conductors", []string{"nearest.length", "nearest.load"}},
		{"more than the thickest cable carries", func(_ *catalog.Vehicle, d *design.Device) { d.Load.Current = 500 }, "ampacity", []string{"nearest.load"}},
		{"more than any accessory draws", func(_ *catalog.Vehicle, d *design.Device) {
			d.Load = electrical.Load{Output: 20000}
			d.Kind = electrical.Inverter
		}, "load_range", nil},
		{"the device's terminals are too small", func(_ *catalog.Vehicle, d *design.Device) { d.Load.Current, d.Maker.TerminalMax = 60, quantity.AWG(10) }, "landing.largest", []string{"nearest.block", "nearest.load"}},
		{"a stud that no lug of the size fits", func(_ *catalog.Vehicle, d *design.Device) {
			d.Load.Current, d.Maker.Positive = 150, catalog.Landing{Kind: catalog.OnStud, Stud: "M4"}
		}, "terminal", []string{"nearest.load"}},
		{"volts that a battery at rest never gives", func(_ *catalog.Vehicle, d *design.Device) { d.Load.Current, d.MinVolts = 20, 12.58 }, "engine_off_volts", nil},
		{"hotter than the insulation bears", func(v *catalog.Vehicle, _ *design.Device) { v.Zones[2].HasAmbient, v.Zones[2].Ambient = true, 140 }, "ambient", nil},
		// Of the demo families only Class T stands 60 V, and it begins at 110 A.
		{"no small fuse for 48 V", func(v *catalog.Vehicle, d *design.Device) {
			v.Nominal, d.Load.Current, d.Maker.TerminalMax = 48, 4, quantity.AWG(8)
		}, "fuse_voltage", nil},
		{"a surge that no fuse within the cable bears", func(_ *catalog.Vehicle, d *design.Device) {
			d.Load.Current, d.Maker.TerminalMax, d.Surge = 20, quantity.AWG(12), electrical.Surge{Current: 400, Duration: 20 * time.Second}
		}, "landing.largest", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			v, d := van(), draws(electrical.OtherDevice, 10)
			d.Maker.Positive, d.Maker.Negative = stud, stud
			tt.change(v, &d)
			_, err := designer.Design(v, oneDevice(d))
			u, ok := unmet(err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, tt.want, u.Constraint)
			assert.Equal(t, "d", u.At)
			assert.NotEmpty(t, u.Figures)
			require.ErrorContains(t, err, tt.want)
			for _, rule := range tt.advice {
				assert.True(t, advises(u, rule), "no %s among %v", rule, u.Nearest)
			}
		})
	}
}

func advises(u *design.Unmet, rule string) bool {
	for _, n := range u.Nearest {
		if n.Rule == rule {
			return true
		}
	}
	return false
}

// TestNearestWorks: what an impossible job is advised makes it possible: the length
// as a measured one, the load as a current.
func TestNearestWorks(t *testing.T) {
	cat := demoShop(t)
	designer := design.New(cat)
	random := rand.New(rand.NewPCG(8, 8))
	lengths, loads := 0, 0
	for range 500 {
		v := anyVehicle(random)
		d := anyDevice(random, v)
		if random.IntN(2) == 0 {
			d.HasMeasured, d.Measured = true, quantity.Metres(between(random, 5, 60))
		}
		_, err := designer.Design(v, oneDevice(d))
		u, ok := unmet(err)
		if !ok {
			continue
		}
		for _, n := range u.Nearest {
			changed := d
			switch n.Rule {
			case "nearest.length":
				l, _ := numberOf(n.Figures, "length_m")
				changed.HasMeasured, changed.Measured = true, quantity.Metres(l)
				lengths++
			case "nearest.load":
				i, _ := numberOf(n.Figures, "current_a")
				changed.Load = electrical.Load{Current: quantity.Amps(i), Behaviour: d.Load.Behaviour}
				loads++
			default:
				continue
			}
			_, err := designer.Design(v, oneDevice(changed))
			require.NoError(t, err, "%s %v\n%+v\n%+v", n.Rule, n.Figures, v, d)
		}
	}
	assert.Greater(t, lengths, 15)
	assert.Greater(t, loads, 30)
}

// TestNearestIsNear: half a metre more than the advised length and a tenth more
// than the advised load cannot be had, else the advice would be faint-hearted.
func TestNearestIsNear(t *testing.T) {
	designer := design.New(demoShop(t))
	d := draws(electrical.Amplifier, 120)
	d.HasMeasured, d.Measured, d.Maker.ReturnToBattery = true, 40, true
	_, err := designer.Design(van(), oneDevice(d))
	u, ok := unmet(err)
	require.True(t, ok)
	tried := 0
	for _, n := range u.Nearest {
		changed := d
		if l, ok := numberOf(n.Figures, "length_m"); ok && n.Rule == "nearest.length" {
			changed.Measured = quantity.Metres(l + 0.5)
		}
		if i, ok := numberOf(n.Figures, "current_a"); ok && n.Rule == "nearest.load" {
			changed.Load.Current = quantity.Amps(i * 1.1)
		}
		_, err := designer.Design(van(), oneDevice(changed))
		require.Error(t, err, n.Rule)
		tried++
	}
	assert.Equal(t, 2, tried)
}
