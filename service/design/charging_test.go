package design_test

import (
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
)

// TestChargingOfAMotorcycle: a stator of 45 A gives 0.9 of it at cruising speed and
// 0.45 at idle, the motorcycle itself takes 16 A, and music an eighth of each
// amplifier's current (all common practice, no source). Of the one battery's
// 18 Ah 0.3 may go with the engine off.
func TestChargingOfAMotorcycle(t *testing.T) {
	cat := demoShop(t)
	v := demoVehicle(t, cat, "touring-motorcycle")
	s := design.System{}
	for id, rms := range map[string]quantity.Watts{"left": 400, "right": 150} {
		d := amplifier(rms, 4)
		d.ID, d.Zone, d.NoLeads = id, id+"_case", true
		s.Devices = append(s.Devices, d)
	}
	c := made(t, cat, v, s).Charging
	average := (400 + 150) / 0.75 / 13.8 / 8 // class D, at 13.8 V
	assert.InDelta(t, average, float64(c.Average), 1e-6)
	assert.InDelta(t, 45*0.9-16-average, float64(c.Cruise.Surplus), 1e-6)
	assert.InDelta(t, 45*0.45-16-average, float64(c.Idle.Surplus), 1e-6)
	assert.InDelta(t, 0.3*18/average, c.Hours, 1e-6)
	assert.True(t, c.Pass, "more than 4 A are left when cruising")
	assert.Len(t, c.Loads, 2)
}

// TestChargingPasses: the reserve is a motorcycle's 4 A when cruising; a vehicle that
// nothing charges fails as soon as it draws.
func TestChargingPasses(t *testing.T) {
	cat := demoShop(t)
	load := func(v *catalog.Vehicle, i quantity.Amps) design.Charging {
		d := draws(electrical.HeatedGear, i)
		d.Zone, d.Duty = v.Batteries[0].Zone, electrical.Duty{Kind: electrical.Continuous}
		return made(t, cat, v, oneDevice(d)).Charging
	}
	v := demoVehicle(t, cat, "touring-motorcycle")
	assert.True(t, load(v, 20.4).Pass)
	short := load(v, 20.6)
	assert.False(t, short.Pass)
	assert.InDelta(t, 0.1, float64(short.Cruise.Short), 1e-9)
	assert.InDelta(t, (16+20.6+4)/0.9, float64(short.Needed), 1e-9, "a source that would do")
	none := van()
	none.Charging.Kind = catalog.NoCharging
	assert.False(t, load(none, 1).Pass)
}

// TestChargingByCategory: what nobody states is as usual for the category; a stated
// own load of 0 A is 0.
func TestChargingByCategory(t *testing.T) {
	cat := demoShop(t)
	v := van()
	c := made(t, cat, v, oneDevice(draws(electrical.Fan, 4))).Charging
	usual := electrical.ChargingHabitsOf(electrical.Van)
	assert.Equal(t, usual.Rated*quantity.Amps(usual.CruiseShare), c.Cruise.Output)
	assert.Equal(t, usual.Standing+c.Average, c.Cruise.Load)
	v.HasStanding = true
	assert.Equal(t, c.Average, made(t, cat, v, oneDevice(draws(electrical.Fan, 4))).Charging.Cruise.Load)
}

// TestEnduranceOfTheBatteryThatLastsShortest: half of 100 Ah of AGM in the house for
// 5 A, against 0.3 of 80 Ah of the starting battery for 2 A; links take no part.
func TestEnduranceOfTheBatteryThatLastsShortest(t *testing.T) {
	v := van()
	v.Batteries = append(v.Batteries, catalog.Battery{ID: "house", Chemistry: electrical.AGM, Capacity: 100, Zone: "rear", Stud: "M8", Count: 1, Role: catalog.House})
	used := true
	one, two := draws(electrical.OtherDevice, 5), draws(electrical.OtherDevice, 2)
	one.ID, one.FedFrom, one.UsedEngineOff = "one", "house", &used
	two.ID, two.FedFrom, two.UsedEngineOff = "two", "main", &used
	s := design.System{Devices: []design.Device{one, two}, Links: []catalog.Link{{ID: "l", From: "main", To: "house", Kind: catalog.SplitRelay, Rated: 60}}}
	c := made(t, demoShop(t), v, s).Charging
	assert.InDelta(t, 7, float64(c.Average), 1e-9)
	assert.InDelta(t, 0.5*100/5, c.Hours, 1e-9)
	s.Devices[1].Load.Current = 4
	assert.InDelta(t, 0.3*80/4, made(t, demoShop(t), v, s).Charging.Hours, 1e-9)
}
