package design_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// laidOut is a design with a trunk, and the job that it is for.
type laidOut struct {
	name    string
	cat     *catalog.Catalog
	vehicle *catalog.Vehicle
	system  design.System
	design  *design.Design
	job     *job
}

// anyTrunks holds designs of random jobs that have a trunk: those chosen, and those
// turned down. They are made once for all the tests that look at them.
var anyTrunks struct {
	once sync.Once
	all  []*laidOut
}

// forAnyTrunk calls check with every one of them.
func forAnyTrunk(t *testing.T, check func(t *testing.T, l *laidOut)) {
	t.Helper()
	anyTrunks.once.Do(func() { anyTrunks.all = layOutTrunks(t) })
	assert.Greater(t, len(anyTrunks.all), 200, "enough trunks")
	for _, l := range anyTrunks.all {
		check(t, l)
	}
}

func layOutTrunks(t *testing.T) []*laidOut {
	t.Helper()
	var out []*laidOut
	for shop := range uint64(20) {
		random := rand.New(rand.NewPCG(shop, 77))
		cat := leanShop(t, random)
		designer, planner := design.New(cat), termination.NewPlanner(cat)
		for n := range 12 {
			v := layoutVehicle(random)
			s := layoutSystem(random, v, 2+random.IntN(6))
			s.Layout = anyone(random, design.AutoLayout, design.TrunkFeeds)
			got, err := designer.Design(v, s)
			if _, ok := unmet(err); ok {
				continue
			}
			require.NoError(t, err)
			all := []*design.Design{got}
			for _, a := range got.Alternatives {
				all = append(all, a.Design)
			}
			for i, d := range all {
				if len(d.Blocks) > 0 {
					out = append(out, &laidOut{fmt.Sprintf("shop %d job %d way %d", shop, n, i), cat, v, s, d, newJob(cat, planner, v, &s)})
				}
			}
		}
	}
	return out
}

// trunks calls visit with every trunk and its branches.
func (l *laidOut) trunks(visit func(trunk *design.Circuit, branches []*design.Circuit)) {
	for i := range l.design.Circuits {
		trunk := &l.design.Circuits[i]
		if trunk.Kind != design.TrunkCircuit {
			continue
		}
		var branches []*design.Circuit
		for k := range l.design.Circuits {
			if c := &l.design.Circuits[k]; c.FedFrom == trunk.ID && c.Kind == design.BranchCircuit {
				branches = append(branches, c)
			}
		}
		visit(trunk, branches)
	}
}

// memberOf gives the circuit of a device, judged independently.
func (l *laidOut) memberOf(id string) *member {
	return &l.job.members[slices.IndexFunc(l.job.members, func(m member) bool { return m.device.ID == id })]
}

func overBody(c *design.Circuit) bool { return c.Runs[len(c.Runs)-1].To.Kind == design.AtChassis }

// runsOf gives a circuit's runs of one polarity, their resistance with their ends
// and their drop.
func runsOf(c *design.Circuit, p design.Polarity) (runs []*design.Run, wires, ends float64) {
	for i := range c.Runs {
		if r := &c.Runs[i]; r.Polarity == p {
			runs = append(runs, r)
			wires += float64(r.Resistance)
			ends += float64(r.Ends[0].Plan.Resistance + r.Ends[1].Plan.Resistance)
		}
	}
	return runs, wires, ends
}

// TestTrunkCarriesItsBranches: a trunk feeds the devices of its branches, all of
// one battery; its load is the sum of theirs and the growth, its feed carries all
// their currents, and its return those that come back on cable.
func TestTrunkCarriesItsBranches(t *testing.T) {
	forAnyTrunk(t, func(t *testing.T, l *laidOut) {
		l.trunks(func(trunk *design.Circuit, branches []*design.Circuit) {
			require.GreaterOrEqual(t, len(branches), 2, l.name)
			var ids []string
			load, current, back := 0.0, 0.0, 0.0
			for _, b := range branches {
				ids = append(ids, b.DeviceIDs...)
				load += float64(b.Load)
				current += float64(b.Runs[0].Current)
				if !overBody(b) {
					back += float64(b.Runs[0].Current)
				}
				assert.Equal(t, trunk.FedFrom, l.memberOf(b.ID).device.FedFrom, l.name)
			}
			assert.ElementsMatch(t, ids, trunk.DeviceIDs, l.name)
			assert.InEpsilon(t, load*(1+float64(l.system.Growth)/100), float64(trunk.Load), 1e-9, l.name)
			feeds, _, _ := runsOf(trunk, design.Feed)
			for _, r := range feeds {
				assert.InEpsilon(t, current, float64(r.Current), 1e-9, l.name)
			}
			returns, _, _ := runsOf(trunk, design.Return)
			if back == 0 {
				assert.Empty(t, returns, l.name)
				return
			}
			require.Len(t, returns, 1, l.name)
			assert.InEpsilon(t, back, float64(returns[0].Current), 1e-9, l.name)
		})
	})
}

// TestTrunkFuses: the main is above the largest branch and within the trunk's
// ampacity, carries the loads with a fifth to spare, and its fastest specimen
// carries a short-time motor on top of the rest for twice its time on; every
// branch's fuse is within its own cable's ampacity.
func TestTrunkFuses(t *testing.T) {
	motors := 0
	forAnyTrunk(t, func(t *testing.T, l *laidOut) {
		l.trunks(func(trunk *design.Circuit, branches []*design.Circuit) {
			main := trunk.Protection.Fuse
			for _, r := range trunk.Runs {
				assert.LessOrEqual(t, main.Rating, r.Ampacity, "%s %s", l.name, r.ID)
			}
			assert.GreaterOrEqual(t, float64(main.Rating), float64(trunk.Load)/0.8-1e-9, l.name)
			assert.GreaterOrEqual(t, main.Voltage, l.vehicle.Nominal*1.25, l.name)
			for _, b := range branches {
				fuse := b.Protection.Fuse
				assert.Greater(t, main.Rating, fuse.Rating, "%s %s", l.name, b.ID)
				for _, r := range b.Runs {
					assert.LessOrEqual(t, fuse.Rating, r.Ampacity, "%s %s", l.name, r.ID)
				}
				m := l.memberOf(b.ID)
				if !m.shortTime() {
					continue
				}
				motors++
				together := trunk.Load - b.Load*quantity.Amps(l.job.growth) + quantity.Amps(m.peak)
				assert.GreaterOrEqual(t, main.Curve.Opening(main.Rating, together).Min, 2*m.duty().On.Seconds(),
					"%s: %v A main, %v A together for %v", l.name, main.Rating, together, m.duty().On)
			}
		})
	})
	assert.Greater(t, motors, 30, "enough short-time motors behind trunks")
}

// TestBlocksHold: ways and currents of every block and bus hold, and no circuit
// comes to a block that is not there.
func TestBlocksHold(t *testing.T) {
	forAnyTrunk(t, func(t *testing.T, l *laidOut) {
		l.trunks(func(trunk *design.Circuit, branches []*design.Circuit) {
			cabled, ways := 0, quantity.Amps(0)
			for _, b := range branches {
				assert.LessOrEqual(t, b.Protection.Fuse.Rating, b.Protection.Block.WayMax, l.name)
				assert.Equal(t, b.Protection.Fuse.Family, b.Protection.Block.Family, l.name)
				if !overBody(b) {
					cabled, ways = cabled+1, max(ways, b.Protection.Fuse.Rating)
				}
			}
			uses := 0
			for _, use := range l.design.Blocks {
				if use.FedBy != trunk.ID {
					continue
				}
				uses++
				assert.Equal(t, trunk.Zone, use.Zone, l.name)
				assert.LessOrEqual(t, use.Ways, use.Part.Ways, l.name)
				if use.Part.Fused {
					assert.Equal(t, len(branches), use.Ways, l.name)
					assert.LessOrEqual(t, trunk.Protection.Fuse.Rating, use.Part.TotalMax, l.name)
					assert.LessOrEqual(t, trunk.Load, use.Part.TotalMax, l.name)
					assert.Same(t, branches[0].Protection.Block, use.Part, l.name)
					continue
				}
				returns, _, _ := runsOf(trunk, design.Return)
				assert.Equal(t, cabled, use.Ways, l.name)
				assert.LessOrEqual(t, returns[0].Current, use.Part.TotalMax, l.name)
				assert.LessOrEqual(t, ways, use.Part.WayMax, l.name)
			}
			assert.Equal(t, 1+min(cabled, 1), uses, l.name)
		})
	})
}

// TestIDsAreUnique: circuits, runs and blocks of a design.
func TestIDsAreUnique(t *testing.T) {
	forAnyTrunk(t, func(t *testing.T, l *laidOut) {
		seen := map[string]int{}
		for _, c := range l.design.Circuits {
			seen["circuit "+c.ID]++
			for _, r := range c.Runs {
				seen["run "+r.ID]++
			}
		}
		for _, b := range l.design.Blocks {
			seen["block "+b.ID]++
		}
		for id, n := range seen {
			assert.Equal(t, 1, n, "%s: %s", l.name, id)
		}
	})
}

// TestEveryEndOfATrunkFits: terminals take the strands and the stud, sleeves pass
// and grip.
func TestEveryEndOfATrunkFits(t *testing.T) {
	forAnyTrunk(t, func(t *testing.T, l *laidOut) {
		for _, c := range l.design.Circuits {
			for _, r := range c.Runs {
				for _, e := range r.Ends {
					endFits(t, l.name+" "+r.ID, r.Conductor, &e)
				}
			}
		}
	})
}

func endFits(t *testing.T, where string, cable *catalog.Conductor, e *design.End) {
	t.Helper()
	assert.True(t, e.Landing.Admits(cable.Size), where)
	largest, smallest := cable.OuterDiameter, cable.OuterDiameter
	if term := e.Plan.Terminal; term != nil {
		assert.True(t, term.Takes.Includes(cable.Size), where)
		assert.LessOrEqual(t, cable.BundleDiameter, term.BarrelInner, where)
		if e.Landing.Stud != "" {
			stud, _ := e.Landing.Stud.Diameter()
			assert.Greater(t, term.Hole, stud, where)
		}
		largest, smallest = max(largest, term.BarrelOuter), min(smallest, term.BarrelOuter)
	}
	if sleeve := e.Plan.Sleeve; sleeve != nil {
		assert.GreaterOrEqual(t, float64(sleeve.Supplied), 1.1*float64(largest), where)
		assert.LessOrEqual(t, float64(sleeve.Recovered), 0.9*float64(smallest), where)
	} else {
		assert.Equal(t, termination.FerruleEnd, e.Plan.Method, where)
	}
}
