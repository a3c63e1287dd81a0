package termination_test

import (
	"math/rand/v2"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shuffled gives the demo shop with other prices and part of its terminals and
// sleeves, so that the cheapest is rarely the first. Tools and labour stay.
func shuffled(t *testing.T, seed uint64) *catalog.Catalog {
	t.Helper()
	random := rand.New(rand.NewPCG(seed, 7))
	cat := demoShop(t)
	keep := cat.Terminals[:0]
	for _, term := range cat.Terminals {
		term.UnitNano = 1 + random.Int64N(9_000_000_000)
		if random.IntN(5) == 0 {
			term.Construction = catalog.ClosedBarrel
		}
		if random.IntN(8) == 0 {
			term.Insulated = true
		}
		if random.IntN(10) > 0 {
			keep = append(keep, term)
		}
	}
	cat.Terminals = keep
	sleeves := cat.Sleeves[:0]
	for _, s := range cat.Sleeves {
		s.UnitNano = 1 + random.Int64N(60_000_000_000)
		s.LengthLoss = quantity.Percent(random.IntN(20))
		if random.IntN(6) > 0 {
			sleeves = append(sleeves, s)
		}
	}
	cat.Sleeves = sleeves
	return cat
}

// leastCost tries every terminal with every sleeve and counts parts and labour by
// itself; false where nothing fits.
func leastCost(cat *catalog.Catalog, j termination.Joint) (int64, bool) {
	form := formFor(j, cat.Shop.Termination.CrimpOnly)
	if form == "" {
		return withSleeve(cat, j, nil, false)
	}
	solder := form == catalog.Ring && j.Category != electrical.Boat && j.Conductor.Material != electrical.CopperClad &&
		j.Conductor.Size.Area() >= quantity.AWG(8).Area()*0.99
	best, found := int64(0), false
	for _, soldered := range []bool{true, false} {
		if soldered && !solder {
			continue
		}
		for i := range cat.Terminals {
			term := &cat.Terminals[i]
			if term.Form != form || !lands(term, j) || soldered && (term.Insulated || term.Construction == catalog.ClosedBarrel) {
				continue
			}
			if cost, ok := withSleeve(cat, j, term, soldered); ok && (!found || cost < best) {
				best, found = cost, true
			}
		}
		if found {
			break
		}
	}
	return best, found
}

func lands(term *catalog.Terminal, j termination.Joint) bool {
	area := float64(j.Conductor.Size.Area())
	if area < float64(term.Takes.Min.Area())*0.99 || area > float64(term.Takes.Max.Area())*1.0102 || j.Conductor.BundleDiameter > term.BarrelInner {
		return false
	}
	if j.Category == electrical.Boat && !term.Tinned {
		return false
	}
	switch term.Form {
	case catalog.Ring:
		play := float64(term.Hole) - studDiameter[j.Landing.Stud]
		return play >= 0.1 && play <= min(1.6, studDiameter[j.Landing.Stud]/4)
	case catalog.PushOn:
		return term.TabWidth == 6.3
	}
	return true
}

// withSleeve is the cheapest sleeve on a terminal (nil: a soldered lap), with the
// labour of the end.
func withSleeve(cat *catalog.Catalog, j termination.Joint, term *catalog.Terminal, soldered bool) (int64, bool) {
	cost := labour(cat, j, term, soldered)
	if term != nil {
		cost += term.UnitNano
		if term.Form == catalog.Ferrule {
			return cost, true
		}
	}
	outer := float64(j.Conductor.OuterDiameter)
	largest, smallest, part, sides := max(outer, 2*float64(j.Conductor.BundleDiameter)), outer, 20.0, 2.0
	if term != nil {
		barrel := float64(term.BarrelOuter)
		largest, smallest, part, sides = max(outer, barrel), min(outer, barrel), float64(term.BarrelLength), 1
		if term.Form == catalog.Butt {
			sides = 2
		}
	}
	best, found := int64(0), false
	for i := range cat.Sleeves {
		s := &cat.Sleeves[i]
		if !s.Adhesive || float64(s.Supplied) < 1.1*largest || float64(s.Recovered) > 0.9*smallest {
			continue
		}
		cut := int64(5)
		for float64(cut)*(1-float64(s.LengthLoss)/100) < part+sides*max(12, 1.5*outer)-1e-6 {
			cut += 5
		}
		if price := s.LengthNano(cut); !found || price < best {
			best, found = price, true
		}
	}
	return cost + best, found
}

// labour counts the minutes of the demo shop's price list at 110.00 an hour, in an
// exposed place (× 1.2).
func labour(cat *catalog.Catalog, j termination.Joint, term *catalog.Terminal, soldered bool) int64 {
	tasks := []catalog.Task{catalog.TaskSplice}
	if term != nil {
		tasks[0] = map[catalog.Form]catalog.Task{catalog.Ring: catalog.TaskCrimpEnd, catalog.Butt: catalog.TaskCrimpEnd,
			catalog.Ferrule: catalog.TaskFerrule, catalog.PushOn: catalog.TaskPushOn}[term.Form]
	}
	if soldered {
		tasks = append(tasks, catalog.TaskSolderAdd)
	}
	if j.Landing.Kind == catalog.OnChassis {
		tasks = append(tasks, catalog.TaskGroundPoint)
	}
	total := int64(0)
	for _, task := range tasks {
		for _, op := range cat.Operations {
			if op.Task == task && (op.Takes == (catalog.Range{}) || op.Takes.Includes(j.Conductor.Size)) {
				total += (op.MilliMinutes*12/10*110_000_000 + 30) / 60 // half up
			}
		}
	}
	return total
}

// TestCheapestTerminalSleeveAndLabour: the plan is never dearer than the cheapest
// of all combinations, and there is one whenever a combination fits.
func TestCheapestTerminalSleeveAndLabour(t *testing.T) {
	possible, impossible := 0, 0
	for seed := range uint64(3) {
		cat := shuffled(t, seed)
		planner := termination.NewPlanner(cat)
		for name, j := range ends(cat) {
			if j.Category != electrical.Car && j.Category != electrical.Boat {
				continue // the others make ends as a car does
			}
			plan, err := planner.Plan(j)
			want, ok := leastCost(cat, j)
			if !ok {
				impossible++
				require.Error(t, err, "seed %d, %s", seed, name)
				continue
			}
			possible++
			require.NoError(t, err, "seed %d, %s", seed, name)
			require.Equal(t, want, plan.Nano, "seed %d, %s", seed, name)
		}
	}
	assert.Greater(t, possible, 3000)
	assert.Greater(t, impossible, 50)
}

// TestPlanIsTheSameEveryTime: the planner keeps what it planned, and a planner of
// its own plans the same.
func TestPlanIsTheSameEveryTime(t *testing.T) {
	cat := shuffled(t, 1)
	one, other := termination.NewPlanner(cat), termination.NewPlanner(cat)
	for name, j := range ends(cat) {
		first, firstErr := one.Plan(j)
		again, againErr := one.Plan(j)
		fresh, freshErr := other.Plan(j)
		require.Equal(t, firstErr, againErr, name)
		require.Equal(t, firstErr, freshErr, name)
		require.Equal(t, first, again, name)
		require.Equal(t, first, fresh, name)
	}
}
