package design_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// feedOf gives the length of all feed runs of a circuit together.
func feedOf(c *design.Circuit) float64 {
	sum := 0.0
	for _, r := range c.Runs {
		if r.Polarity == design.Feed {
			sum += float64(r.Length)
		}
	}
	return sum
}

// floydWarshall gives the shortest length between every two zones.
func floydWarshall(v *catalog.Vehicle) [][]float64 {
	index := map[string]int{}
	for i, z := range v.Zones {
		index[z.ID] = i
	}
	dist := make([][]float64, len(v.Zones))
	for i := range dist {
		dist[i] = make([]float64, len(v.Zones))
		for k := range dist[i] {
			if i != k {
				dist[i][k] = math.Inf(1)
			}
		}
	}
	for _, r := range v.Routes {
		a, b := index[r.From], index[r.To]
		dist[a][b] = min(dist[a][b], float64(r.Length))
		dist[b][a] = min(dist[b][a], float64(r.Length))
	}
	for via := range dist {
		for a := range dist {
			for b := range dist {
				dist[a][b] = min(dist[a][b], dist[a][via]+dist[via][b])
			}
		}
	}
	return dist
}

// webbed makes up a van with many zones and routes at random, one of the zones
// cut off now and then.
func webbed(random *rand.Rand) *catalog.Vehicle {
	v := van()
	v.Zones, v.Routes = nil, nil
	zones := 2 + random.IntN(9)
	for i := range zones {
		v.Zones = append(v.Zones, catalog.Zone{ID: fmt.Sprintf("z%d", i), Label: "zone", Environment: electrical.Cabin, Reach: quantity.Metres(random.Float64()), HasReach: true})
	}
	for range random.IntN(3 * zones) {
		a, b := random.IntN(zones), random.IntN(zones)
		if a != b {
			v.Routes = append(v.Routes, catalog.Route{From: v.Zones[a].ID, To: v.Zones[b].ID, Length: quantity.Metres(0.1 + 5*random.Float64()), Environment: electrical.Cabin})
		}
	}
	v.Batteries[0].Zone = v.Zones[random.IntN(zones)].ID
	return v
}

// TestShortestWayOnRandomVehicles: the feed is as long as the shortest way by
// Floyd and Warshall's method, with the allowances of the demo shop: 0.15 m at the
// battery, 10 % on routes and reach, 0.10 m at the device (0.30 m where removable).
func TestShortestWayOnRandomVehicles(t *testing.T) {
	designer := design.New(demoShop(t))
	random := rand.New(rand.NewPCG(3, 1))
	reached, cutOff := 0, 0
	for n := range 300 {
		v := webbed(random)
		to := random.IntN(len(v.Zones))
		v.Zones[to].Removable = random.IntN(2) == 0
		from := 0
		for i, z := range v.Zones {
			if z.ID == v.Batteries[0].Zone {
				from = i
			}
		}
		d := draws(electrical.Light, 0.2)
		d.Zone = v.Zones[to].ID
		got, err := designer.Design(v, oneDevice(d))
		way := floydWarshall(v)[from][to]
		if math.IsInf(way, 1) {
			cutOff++
			bad, ok := violations(err)
			require.True(t, ok, "vehicle %d: %v", n, err)
			assert.Equal(t, "system.devices[0].zone", bad[0].Field)
			assert.Equal(t, "no_route", bad[0].Code)
			continue
		}
		reached++
		require.NoError(t, err, "vehicle %d", n)
		loop := 0.10
		if v.Zones[to].Removable {
			loop = 0.30
		}
		assert.InDelta(t, 0.15+1.1*(way+float64(v.Zones[to].Reach))+loop, feedOf(&got.Circuits[0]), 1e-9, "vehicle %d", n)
	}
	assert.Greater(t, reached, 100)
	assert.Greater(t, cutOff, 30)
}

// TestEquallyLongWays: the way does not hang on chance; of equal ones the routes
// named first are taken every time.
func TestEquallyLongWays(t *testing.T) {
	v := van()
	v.Routes = []catalog.Route{
		{From: "engine", To: "dash", Length: 1, Environment: electrical.Cabin}, {From: "dash", To: "rear", Length: 1, Environment: electrical.Cabin},
		{From: "engine", To: "rear", Length: 2, Environment: electrical.Underbody},
	}
	designer := design.New(demoShop(t))
	first, err := designer.Design(v, oneDevice(draws(electrical.Radio, 5)))
	require.NoError(t, err)
	for range 20 {
		again, err := designer.Design(v, oneDevice(draws(electrical.Radio, 5)))
		require.NoError(t, err)
		assert.Equal(t, first, again)
	}
}

// TestMeasuredLengthReplacesEverything: what the installer measured has neither
// allowance nor loops on it, and the return goes the same way.
func TestMeasuredLengthReplacesEverything(t *testing.T) {
	designer := design.New(demoShop(t))
	for _, measured := range []quantity.Metres{0.1, 1, 4.2, 15} {
		d := draws(electrical.Light, 1)
		d.HasMeasured, d.Measured, d.Maker.ReturnToBattery = true, measured, true
		got, err := designer.Design(van(), oneDevice(d))
		require.NoError(t, err, measured)
		c := &got.Circuits[0]
		assert.InDelta(t, float64(measured), feedOf(c), 1e-9)
		back := c.Runs[len(c.Runs)-1]
		assert.Equal(t, design.Return, back.Polarity)
		assert.InDelta(t, float64(measured), float64(back.Length), 1e-9)
	}
}

// TestTheHottestSectionGoverns: 0.3 m and more of the way in the engine space
// govern the ampacity of the whole run, less does not.
func TestTheHottestSectionGoverns(t *testing.T) {
	designer := design.New(demoShop(t))
	// 33 CFR 183.425 Table 5, 105 °C, and its note 1 factor 0.85.
	ampacity := map[quantity.Size]float64{quantity.AWG(18): 20, quantity.AWG(16): 25, quantity.AWG(14): 35, quantity.AWG(12): 45, quantity.AWG(10): 60, quantity.AWG(8): 80}
	for length, factor := range map[quantity.Metres]float64{0.1: 1, 0.13: 1, 0.14: 0.85, 2: 0.85} { // with 0.15 m of loop and 10 %: 0.26, 0.293, 0.304, 2.35
		v := van()
		v.Routes[0].Length, v.Routes[1].Length = length, 1
		d := draws(electrical.Light, 15)
		d.Maker.ReturnToBattery = true
		got, err := designer.Design(v, oneDevice(d))
		require.NoError(t, err)
		feed := got.Circuits[0].Runs[1]
		want, ok := ampacity[feed.Conductor.Size]
		require.True(t, ok, "%v is not what this test is about", feed.Conductor.Size)
		if feed.Conductor.Rating == 105 {
			assert.InDelta(t, want*factor, float64(feed.Ampacity), 1e-6, "%v m in the engine space", length)
		}
	}
}
