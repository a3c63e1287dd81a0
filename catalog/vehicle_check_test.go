package catalog_test

import (
	"math"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// van gives a sound vehicle with everything in it.
func van() catalog.Vehicle {
	return catalog.Vehicle{
		ID: "van", Category: electrical.Van, Nominal: 12,
		Batteries: []catalog.Battery{{ID: "start", Zone: "bay"}, {ID: "house", Zone: "hold", Chemistry: electrical.Lithium}},
		Links: []catalog.Link{
			{ID: "split", From: "start", To: "house", Kind: catalog.SplitRelay, Rated: 100},
			{ID: "sun", From: "roof", To: "house", Kind: catalog.Solar, Rated: 20},
		},
		Zones: []catalog.Zone{
			{ID: "bay", Environment: electrical.EngineSpace}, {ID: "hold"}, {ID: "roof", Environment: electrical.Exposed, HasReach: true},
		},
		Routes: []catalog.Route{
			{From: "bay", To: "hold", Length: 3, Grommets: catalog.GrommetsUnstated},
			{From: "roof", To: "hold", Length: 2, Grommets: catalog.GrommetsUnstated},
			{From: "hold", To: "bay", Length: 4, Environment: electrical.Underbody, Grommets: 2},
		},
	}
}

func TestVehicleSetDefaults(t *testing.T) {
	v := van()
	v.SetDefaults()
	assert.Empty(t, v.Check())
	assert.Equal(t, "van", v.Label)
	assert.Equal(t, catalog.NoBody, v.Body)
	assert.Equal(t, catalog.Alternator, v.Charging.Kind)
	assert.Equal(t, catalog.Battery{ID: "start", Zone: "bay", Chemistry: electrical.Flooded, Role: catalog.Both, Count: 1}, v.Batteries[0])
	assert.Equal(t, electrical.Lithium, v.Batteries[1].Chemistry)
	assert.Equal(t, quantity.Metres(1), v.Zones[1].Reach)
	assert.Equal(t, quantity.Metres(0), v.Zones[2].Reach, "stated as 0")
	assert.Equal(t, catalog.Route{From: "bay", To: "hold", Length: 3, Environment: electrical.EngineSpace, Grommets: 1}, v.Routes[0])
	assert.Equal(t, catalog.Route{From: "roof", To: "hold", Length: 2, Environment: electrical.Exposed}, v.Routes[1])
	assert.Equal(t, catalog.Route{From: "hold", To: "bay", Length: 4, Environment: electrical.Underbody, Grommets: 2}, v.Routes[2])
}

func TestVehicleDefaultCharging(t *testing.T) {
	for _, c := range []struct {
		category electrical.Category
		fuel     catalog.Fuel
		want     catalog.ChargingKind
	}{
		{electrical.Car, "", catalog.Alternator},
		{electrical.Car, catalog.Electric, catalog.DCDC},
		{electrical.Motorcycle, catalog.Petrol, catalog.Stator},
		{electrical.Motorcycle, catalog.Electric, catalog.DCDC},
		{electrical.Trailer, "", catalog.NoCharging},
		{electrical.Boat, catalog.NoFuel, catalog.NoCharging},
	} {
		v := catalog.Vehicle{Category: c.category, Fuel: c.fuel}
		v.SetDefaults()
		assert.Equal(t, c.want, v.Charging.Kind, "%s %s", c.category, c.fuel)
	}
}

func TestVehicleCheck(t *testing.T) {
	nan, inf := math.NaN(), math.Inf(1)
	for _, c := range []struct {
		path  string
		spoil func(*catalog.Vehicle)
	}{
		{"id", func(v *catalog.Vehicle) { v.ID = "My Van" }},
		{"category", func(v *catalog.Vehicle) { v.Category = "bus" }},
		{"fuel", func(v *catalog.Vehicle) { v.Fuel = "coal" }},
		{"body", func(v *catalog.Vehicle) { v.Body = "paper" }},
		{"nominal_v", func(v *catalog.Vehicle) { v.Nominal = quantity.Volts(nan) }},
		{"standing_load_a", func(v *catalog.Vehicle) { v.StandingLoad = quantity.Amps(inf) }},
		{"charging.kind", func(v *catalog.Vehicle) { v.Charging.Kind = "dynamo" }},
		{"charging.rated_a", func(v *catalog.Vehicle) { v.Charging.Rated = -1 }},
		{"charging.idle_share", func(v *catalog.Vehicle) { v.Charging.IdleShare = 1.1 }},
		{"charging.cruise_share", func(v *catalog.Vehicle) { v.Charging.CruiseShare = nan }},
		{"charging.running_v", func(v *catalog.Vehicle) { v.Charging.RunningV = 27.6 }},
		{"charging.running_v", func(v *catalog.Vehicle) { v.Charging.RunningV = quantity.Volts(nan) }},
		{"batteries", func(v *catalog.Vehicle) { v.Batteries, v.Links = nil, nil }},
		{"batteries[1].id", func(v *catalog.Vehicle) { v.Batteries = append(v.Batteries[:1:1], v.Batteries[0]); v.Links = nil }},
		{"batteries[0].capacity_ah", func(v *catalog.Vehicle) { v.Batteries[0].Capacity = -1 }},
		{"batteries[0].cold_cranking_a", func(v *catalog.Vehicle) { v.Batteries[0].ColdCranking = 20_000 }},
		{"batteries[0].internal_resistance_mohm", func(v *catalog.Vehicle) { v.Batteries[0].Internal = 2 }},
		{"batteries[0].short_circuit_a", func(v *catalog.Vehicle) { v.Batteries[0].ShortCircuit = quantity.Amps(inf) }},
		{"batteries[0].count", func(v *catalog.Vehicle) { v.Batteries[0].Count = 65 }},
		{"batteries[0].stud", func(v *catalog.Vehicle) { v.Batteries[0].Stud = "M7" }},
		{"batteries[0].role", func(v *catalog.Vehicle) { v.Batteries[0].Role = "spare" }},
		{"batteries[0].chemistry", func(v *catalog.Vehicle) { v.Batteries[0].Chemistry = "nickel" }},
		{"batteries[0].zone", func(v *catalog.Vehicle) { v.Batteries[0].Zone = "" }},
		{"links[0].id", func(v *catalog.Vehicle) { v.Links[0].ID = "" }},
		{"links[0].from", func(v *catalog.Vehicle) { v.Links[0].From = "bay" }},
		{"links[0].to", func(v *catalog.Vehicle) { v.Links[0].To = "start" }},
		{"links[0].rated_a", func(v *catalog.Vehicle) { v.Links[0].Rated = 0 }},
		{"links[0].kind", func(v *catalog.Vehicle) { v.Links[0].Kind = "rope" }},
		{"links[1].from", func(v *catalog.Vehicle) { v.Links[1].From = "start" }},
		{"zones[2].id", func(v *catalog.Vehicle) { v.Zones[2].ID = "hold"; v.Links = nil; v.Routes = nil }},
		{"zones[2].environment", func(v *catalog.Vehicle) { v.Zones[2].Environment = "space" }},
		{"zones[2].ambient_c", func(v *catalog.Vehicle) { v.Zones[2].Ambient, v.Zones[2].HasAmbient = 151, true }},
		{"zones[2].reach_m", func(v *catalog.Vehicle) { v.Zones[2].Reach = quantity.Metres(nan) }},
		{"zones[2].ground_stud", func(v *catalog.Vehicle) { v.Zones[2].GroundStud = "M7" }},
		{"routes[0].from", func(v *catalog.Vehicle) { v.Routes[0].From = "boot" }},
		{"routes[0].to", func(v *catalog.Vehicle) { v.Routes[0].To = "bay" }},
		{"routes[0].length_m", func(v *catalog.Vehicle) { v.Routes[0].Length = 0 }},
		{"routes[0].environment", func(v *catalog.Vehicle) { v.Routes[0].Environment = "sea" }},
		{"routes[0].grommets", func(v *catalog.Vehicle) { v.Routes[0].Grommets = 21 }},
		{"routes[0].bundled_with", func(v *catalog.Vehicle) { v.Routes[0].BundledWith = -1 }},
		{"outboard_only", func(v *catalog.Vehicle) { v.OutboardOnly = true }},
	} {
		t.Run(c.path, func(t *testing.T) {
			v := van()
			v.SetDefaults()
			c.spoil(&v)
			found := v.Check()
			require.Len(t, found, 1)
			assert.Equal(t, c.path, found[0].Path)
			assert.NotEmpty(t, found[0].Problem)
		})
	}
}
