package design_test

import (
	"errors"
	"math/rand/v2"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/require"
)

// demoShop reads the demo catalog.
func demoShop(t testing.TB) *catalog.Catalog {
	t.Helper()
	cat, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	return cat
}

// thinnedShop gives the demo shop with part of its cables, fuses and holders, and
// other prices on every part: what is cheapest there is anyone's guess.
func thinnedShop(t testing.TB, random *rand.Rand) *catalog.Catalog {
	t.Helper()
	folder := demoFolder(t)
	for file, keep := range map[string]float64{"conductors.csv": 0.85, "fuses.csv": 0.7, "holders.csv": 0.8} {
		lines := strings.Split(strings.TrimSpace(string(folder[file].Data)), "\n")
		kept := lines[:1:1]
		for _, line := range lines[1:] {
			if random.Float64() < keep {
				kept = append(kept, line)
			}
		}
		folder[file] = &fstest.MapFile{Data: []byte(strings.Join(kept, "\n") + "\n")}
	}
	keepCurves(t, folder)
	cat, err := catalog.Read(folder)
	require.NoError(t, err)
	repriced := func(p *catalog.Part) { p.UnitNano = 1 + int64(float64(p.UnitNano)*(0.3+2*random.Float64())) }
	for i := range cat.Conductors {
		repriced(&cat.Conductors[i].Part)
	}
	for i := range cat.Fuses {
		repriced(&cat.Fuses[i].Part)
	}
	for i := range cat.Holders {
		repriced(&cat.Holders[i].Part)
	}
	for i := range cat.Terminals {
		repriced(&cat.Terminals[i].Part)
	}
	for i := range cat.Sleeves {
		repriced(&cat.Sleeves[i].Part)
	}
	return cat
}

// demoVehicle gives a vehicle of the demo catalog.
func demoVehicle(t testing.TB, cat *catalog.Catalog, id string) *catalog.Vehicle {
	t.Helper()
	v, ok := cat.Vehicle(id)
	require.True(t, ok, id)
	return &v
}

// van gives a small sound vehicle: its battery in the engine bay, a dashboard and
// a rear behind it. Tests change what they are about.
func van() *catalog.Vehicle {
	v := &catalog.Vehicle{
		ID: "van", Category: electrical.Van, Nominal: 12, Body: catalog.Steel, Fuel: catalog.Diesel,
		Batteries: []catalog.Battery{{ID: "main", Chemistry: electrical.Flooded, Capacity: 80, ColdCranking: 640, Zone: "engine", Stud: "M8"}},
		Zones: []catalog.Zone{
			{ID: "engine", Environment: electrical.EngineSpace, ChassisGround: true, GroundStud: "M8", Reach: 0.5, HasReach: true},
			{ID: "dash", Environment: electrical.Cabin, ChassisGround: true, GroundStud: "M8", Reach: 0.5, HasReach: true},
			{ID: "rear", Environment: electrical.Cabin, ChassisGround: true, GroundStud: "M8", Reach: 0.5, HasReach: true},
		},
		Routes: []catalog.Route{
			{From: "engine", To: "dash", Length: 1.2, Environment: electrical.EngineSpace},
			{From: "dash", To: "rear", Length: 2, Environment: electrical.Cabin},
		},
	}
	v.SetDefaults()
	return v
}

// oneDevice gives a system of a single device.
func oneDevice(d design.Device) design.System { return design.System{Devices: []design.Device{d}} }

// draws gives a device of a kind that draws so many amperes, in the rear.
func draws(kind electrical.DeviceKind, i quantity.Amps) design.Device {
	return design.Device{ID: "d", Kind: kind, Zone: "rear", Load: electrical.Load{Current: i}}
}

// unmet tells that an error is an Unmet, and gives it.
func unmet(err error) (*design.Unmet, bool) {
	var u *design.Unmet
	ok := errors.As(err, &u)
	return u, ok
}

// violations tells that an error is Violations, and gives them.
func violations(err error) (design.Violations, bool) {
	var v design.Violations
	ok := errors.As(err, &v)
	return v, ok
}

// numberOf gives a figure's number by key.
func numberOf(figures []electrical.Figure, key string) (float64, bool) {
	for _, f := range figures {
		if f.Key == key {
			return f.Value, true
		}
	}
	return 0, false
}
