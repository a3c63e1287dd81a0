package design_test

import (
	"fmt"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// trunkOf gives the first trunk of a design.
func trunkOf(t *testing.T, d *design.Design) *design.Circuit {
	t.Helper()
	for i := range d.Circuits {
		if d.Circuits[i].Kind == design.TrunkCircuit {
			return &d.Circuits[i]
		}
	}
	require.Fail(t, "no trunk", outline(d))
	return nil
}

// TestMainBearsAShortTimeMotor: 30 A for 20 s in twenty minutes heat a trunk like
// 3.8 A, yet on top of 24 A they are 54 A. A main of 35 A is enough for the heat,
// but its fastest specimen opens after 15 s there.
func TestMainBearsAShortTimeMotor(t *testing.T) {
	motor := draws(electrical.Compressor, 30)
	motor.ID, motor.Duty = "motor", electrical.Duty{Kind: electrical.Intermittent, On: 20 * time.Second, Off: 1200 * time.Second}
	one, two := draws(electrical.Heater, 12), draws(electrical.Heater, 12)
	one.ID, two.ID = "one", "two"
	v := van()
	v.Zones[0].Environment, v.Routes[0].Environment = electrical.Cabin, electrical.Cabin
	got, err := design.New(demoShop(t)).Design(v, design.System{Layout: design.TrunkFeeds, Devices: []design.Device{motor, one, two}})
	require.NoError(t, err)
	main := trunkOf(t, got).Protection.Fuse
	opening := main.Curve.Opening(main.Rating, 54)
	assert.GreaterOrEqual(t, opening.Min, 40.0, "a main of %v A, %s", main.Rating, main.Family)
}

// TestTrunkWithoutReturnIsOneConductor: beside one loaded conductor of the vehicle
// the trunk alone makes two, which needs no bundling factor; a return would make
// three, and 0.7.
func TestTrunkWithoutReturnIsOneConductor(t *testing.T) {
	v := van()
	v.Routes[1].BundledWith = 1
	one, two := draws(electrical.Heater, 18), draws(electrical.Heater, 18)
	one.ID, two.ID = "one", "two"
	ampacity := func(toBattery bool) quantity.Amps {
		one.Maker.ReturnToBattery, two.Maker.ReturnToBattery = toBattery, toBattery
		got, err := design.New(demoShop(t)).Design(v, design.System{Layout: design.TrunkFeeds, Devices: []design.Device{one, two}})
		require.NoError(t, err)
		trunk := trunkOf(t, got)
		r := trunk.Runs[len(trunk.Runs)-1]
		bundled := 2
		if toBattery {
			bundled = 3
		}
		cabin, err := electrical.Ampacity(r.Conductor.Conductor, electrical.Surroundings{Ambient: 30, HasAmbient: true, Bundled: bundled})
		require.NoError(t, err)
		engine, err := electrical.Ampacity(r.Conductor.Conductor, electrical.Surroundings{EngineSpace: true, Bundled: bundled})
		require.NoError(t, err)
		assert.InDelta(t, float64(min(cabin, engine)), float64(r.Ampacity), 1e-9)
		return r.Ampacity / quantity.Amps(electrical.BundlingFactor(bundled))
	}
	assert.Positive(t, ampacity(false))
	assert.Positive(t, ampacity(true))
}

// TestBusWaysBoundTheBranches: a return whose fuse is above what a way of the bus
// carries does not come to that bus.
func TestBusWaysBoundTheBranches(t *testing.T) {
	folder := leanFolderOf(t, "blocks.csv", func(rows table, i int) bool {
		rows.set(i, "sealed", "yes")
		return rows[i][0] == "BK-BSM-04" || rows[i][0] == "BK-BUS-10"
	})
	one, two := draws(electrical.Heater, 30), draws(electrical.Heater, 30)
	one.ID, two.ID = "one", "two"
	one.Maker.ReturnToBattery, two.Maker.ReturnToBattery = true, true
	landing := catalog.Landing{Kind: catalog.OnStud, Stud: "M6"}
	one.Maker.Positive, one.Maker.Negative, two.Maker.Positive, two.Maker.Negative = landing, landing, landing, landing
	got, err := design.New(readShop(t, folder)).Design(van(), design.System{Layout: design.TrunkFeeds, Devices: []design.Device{one, two}})
	require.NoError(t, err)
	assert.Equal(t, design.SingleFeeds, got.Layout, "fuses of 40 A on the 30 A ways of the only bus: %s", outline(got))
}

// TestOneTrunkNotTwice: a hub that can feed only the devices of its own zone is
// that zone's trunk, and no alternative to it.
func TestOneTrunkNotTwice(t *testing.T) {
	one, two, big := draws(electrical.Pump, 5), draws(electrical.Pump, 6), draws(electrical.Winch, 200)
	one.ID, two.ID, big.ID, big.Zone = "one", "two", "big", "engine"
	got, err := design.New(readShop(t, demoFolder(t))).Design(van(), design.System{Layout: design.TrunkFeeds, Devices: []design.Device{one, two, big}})
	require.NoError(t, err)
	require.NotEmpty(t, got.Alternatives)
	for _, a := range got.Alternatives {
		assert.NotEqual(t, arrangementOf(got), arrangementOf(a.Design))
	}
}

// TestAlternativesTellOfEveryPost: an alternative at one battery is crowded where
// the other battery's posts are.
func TestAlternativesTellOfEveryPost(t *testing.T) {
	v := van()
	v.Batteries = append(v.Batteries, catalog.Battery{ID: "house", Chemistry: electrical.AGM, Capacity: 100, ColdCranking: 600, Zone: "rear", Stud: "M8"})
	v.SetDefaults()
	s := design.System{}
	for _, id := range []string{"w1", "w2", "w3", "w4"} { // too large for any block
		d := draws(electrical.Heater, 140)
		d.ID, d.Zone = id, "engine"
		s.Devices = append(s.Devices, d)
	}
	for _, id := range []string{"p1", "p2"} {
		d := draws(electrical.Pump, 5)
		d.ID, d.Zone, d.FedFrom = id, "dash", "house"
		s.Devices = append(s.Devices, d)
	}
	got, err := design.New(demoShop(t)).Design(v, s)
	require.NoError(t, err)
	require.True(t, got.Crowded, "four feeds and returns of 140 A at one battery")
	require.NotEmpty(t, got.Alternatives)
	for _, a := range got.Alternatives {
		assert.True(t, a.Design.Crowded, outline(a.Design))
	}
}

// TestPlaceWithMoreCircuitsThanWays is divided: thirteen circuits in a zone hang on
// two trunks where the largest block has twelve ways.
func TestPlaceWithMoreCircuitsThanWays(t *testing.T) {
	s := design.System{Layout: design.TrunkFeeds}
	for i := range 13 {
		d := draws(electrical.Heater, 2)
		d.ID = fmt.Sprintf("d%02d", i)
		s.Devices = append(s.Devices, d)
	}
	got := made(t, demoShop(t), van(), s)
	fed := map[string]int{}
	for _, c := range got.Circuits {
		if c.Kind == design.TrunkCircuit {
			fed[c.ID] = len(c.DeviceIDs)
			assert.Equal(t, fed[c.ID] == 6, c.Part == 2)
		}
	}
	assert.Equal(t, map[string]int{"trunk/main/rear": 7, "trunk/main/rear/2": 6}, fed)
	assert.Len(t, got.Blocks, 2)
}
