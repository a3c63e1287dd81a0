package design_test

import (
	"fmt"
	"math/rand/v2"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/require"
)

// spiceSystem makes up a job whose network is worth solving: a vehicle of the demo
// shop with sold devices and its links, or one made up with devices that share
// zones and batteries.
func spiceSystem(t *testing.T, random *rand.Rand, cat *catalog.Catalog) (*catalog.Vehicle, design.System) {
	var v *catalog.Vehicle
	var s design.System
	if random.IntN(2) == 0 {
		v = &cat.Vehicles[random.IntN(len(cat.Vehicles))]
		switch random.IntN(4) {
		case 0:
			v = demoVehicle(t, cat, anyone(random, "camper-van", "cabin-boat")) // of two batteries
		case 1:
			v = demoVehicle(t, cat, "service-truck-24v")
		}
		s = anySystem(random, cat, v)
		s.Links = v.Links
		for i := range s.Devices {
			s.Devices[i].FedFrom = v.Batteries[random.IntN(len(v.Batteries))].ID
		}
	} else {
		v = layoutVehicle(random)
		v.Nominal, v.Charging.RunningV = anyone[quantity.Volts](random, 12, 12, 24, 48), 0
		s = layoutSystem(random, v, 2+random.IntN(6))
	}
	s.Layout = anyone(random, design.AutoLayout, design.TrunkFeeds, design.TrunkFeeds)
	for i := range s.Devices {
		d := &s.Devices[i]
		d.NoLeads = true // they take no part in the network
		d.Switched = random.IntN(3) == 0
		if random.IntN(3) == 0 && d.EquipmentSKU == "" {
			d.Load.Behaviour = anyone(random, electrical.Behaviours()...)
		}
	}
	if v.Nominal == 24 {
		throughConverter(random, v, &s)
	}
	return v, s
}

// throughConverter puts a converter to 12 V into a job, and a few small devices behind
// it.
func throughConverter(random *rand.Rand, v *catalog.Vehicle, s *design.System) {
	from := converter()
	from.Zone, from.Load.Output = v.Zones[random.IntN(len(v.Zones))].ID, 276 // 20 A at 13.8 V
	s.Devices = append(s.Devices, from)
	for i := range 1 + random.IntN(3) {
		d := draws(anyone(random, electrical.Fan, electrical.Light, electrical.Radio, electrical.USBCharger), quantity.Amps(between(random, 0.5, 5)))
		d.ID, d.Zone, d.FedFrom = fmt.Sprintf("small-%d", i), v.Zones[random.IntN(len(v.Zones))].ID, from.ID
		s.Devices = append(s.Devices, d)
	}
}

// solvedDesign is a design, or an alternative that was turned down, with its
// networks drawn.
type solvedDesign struct {
	name  string
	got   *design.Design
	drawn []*schematic
}

// forAnyNetwork designs made-up jobs until so many could be had, and hands out each
// with its alternatives. It returns how often each feature occurred.
func forAnyNetwork(t *testing.T, seed uint64, jobs int, check func([]solvedDesign)) map[string]int {
	t.Helper()
	cat := demoShop(t)
	designer := design.New(cat)
	random := rand.New(rand.NewPCG(seed, 39))
	count := map[string]int{}
	for tried, made := 0, 0; made < jobs; tried++ {
		require.Less(t, tried, 10*jobs, "most jobs cannot be had")
		v, s := spiceSystem(t, random, cat)
		got, err := designer.Design(v, s)
		if _, ok := unmet(err); ok {
			continue
		}
		require.NoError(t, err, "%s %+v", v.ID, s)
		made++
		name := fmt.Sprintf("job %d of seed %d, %s", tried, seed, v.ID)
		solved := []solvedDesign{{name, got, schematicsOf(t, cat, v, s, got)}}
		for i, other := range got.Alternatives {
			solved = append(solved, solvedDesign{fmt.Sprintf("%s, alternative %d", name, i+1), other.Design, schematicsOf(t, cat, v, s, other.Design)})
		}
		for _, d := range solved {
			features(count, v, d.got, d.drawn)
		}
		check(solved)
	}
	return count
}
