package design_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// arranged is one way to feed a battery's circuits.
type arranged struct {
	nano    int64
	crowded bool
	trunks  int
}

// arrangements lists every way to feed the circuits of a battery: all singly, every
// zone of two or more with and without any of the trunks it can have, and any hub; a
// place with more circuits than ways has trunks for parts of them.
func (j *job) arrangements(members []int) []arranged {
	singles := map[int]int64{}
	for _, i := range members {
		if nano, ok := j.single(j.members[i]); ok {
			singles[i] = nano
		}
	}
	var out []arranged
	add := func(trunks []trunked) {
		a := arranged{trunks: len(trunks)}
		fed, plus, minus := uint(0), len(trunks), 0
		for _, t := range trunks {
			fed |= t.fed
			a.nano += t.nano
			if t.hasReturn {
				minus++
			}
		}
		for _, i := range members {
			if fed>>i&1 == 1 {
				continue
			}
			nano, ok := singles[i]
			if !ok {
				return
			}
			a.nano += nano
			plus++
			if !j.members[i].chassis {
				minus++
			}
		}
		limit := 3 // MIL-DTL-917F; on boats four, ABYC E-11 (from memory)
		if j.vehicle.Category == electrical.Boat {
			limit = 4
		}
		a.crowded = max(plus, minus) > limit
		out = append(out, a)
	}
	j.combine(members, add)
	return out
}

// combine calls add with every set of trunks.
func (j *job) combine(members []int, add func([]trunked)) {
	sets := [][]trunked{nil}
	with := func(sets [][]trunked, zone *catalog.Zone, members []int) [][]trunked {
		for _, part := range j.parts(zone, members) {
			for _, set := range sets[:len(sets):len(sets)] {
				for _, t := range j.trunks(zone, part) {
					sets = append(sets, append(set[:len(set):len(set)], t))
				}
			}
		}
		return sets
	}
	var hubs [][]trunked
	for i := range j.vehicle.Zones {
		zone := &j.vehicle.Zones[i]
		var here []int
		for _, m := range members {
			if j.members[m].end.ID == zone.ID {
				here = append(here, m)
			}
		}
		if len(here) >= 2 {
			sets = with(sets, zone, here)
		}
		if len(members) >= 2 && len(here) < len(members) {
			hubs = append(hubs, with([][]trunked{nil}, zone, members)[1:]...)
		}
	}
	for _, set := range sets {
		add(set)
	}
	for _, hub := range hubs {
		add(hub)
	}
}

// least is the best arrangement of every battery, added up; false where one has
// none. A crowded post comes last, and where trunks are asked for, none of them.
func (j *job) least(layout design.Layout) (arranged, bool) {
	total := arranged{}
	byBattery := map[string][]int{}
	for i, b := range j.battery {
		byBattery[b] = append(byBattery[b], i)
	}
	for _, members := range byBattery {
		rank := func(a arranged) int {
			n := 0
			if a.crowded {
				n++
			}
			if layout == design.TrunkFeeds && a.trunks == 0 {
				n += 2
			}
			return n
		}
		var best *arranged
		for _, a := range j.arrangements(members) {
			if layout == design.SingleFeeds && a.trunks > 0 {
				continue
			}
			if best == nil || rank(a) < rank(*best) || rank(a) == rank(*best) && a.nano < best.nano {
				best = &a
			}
		}
		if best == nil {
			return total, false
		}
		total.nano += best.nano
		total.trunks += best.trunks
		total.crowded = total.crowded || best.crowded
	}
	return total, true
}

// priceOf is what a finished design costs at unit prices and unrounded time: parts,
// cable, ends, sundries and labour of every circuit, and its blocks. Fixing the
// devices, which is the same for every layout, is left out.
func priceOf(cat *catalog.Catalog, d *design.Design) int64 {
	nano := int64(0)
	for i := range d.Circuits {
		nano += priceOfCircuit(cat, &d.Circuits[i])
	}
	for _, b := range d.Blocks {
		nano += b.Part.UnitNano
	}
	return nano
}

func priceOfCircuit(cat *catalog.Catalog, c *design.Circuit) int64 {
	nano := c.Protection.Fuse.UnitNano
	if c.Protection.Holder != nil {
		nano += c.Protection.Holder.UnitNano
	}
	length, cable := map[design.Polarity]float64{}, map[design.Polarity]*catalog.Conductor{}
	for _, r := range c.Runs {
		length[r.Polarity] += float64(r.Length)
		cable[r.Polarity] = r.Conductor
		nano += r.Ends[0].Plan.Nano + r.Ends[1].Plan.Nano
	}
	for polarity, l := range length {
		nano += cable[polarity].LengthNano(millimetres(l))
	}
	for _, w := range c.Work {
		if w.Operation.Task != catalog.TaskFitDevice {
			nano += cat.Shop.LabourNano(w.MilliMinutes)
		}
	}
	for _, m := range c.Sundries {
		nano += m.Sundry.LengthNano(m.Milli)
	}
	return nano
}

// TestLeastLayout holds the designer to the cheapest arrangement of whole systems,
// found by trying all: it finds one exactly where there is one, at the same cost to
// the billionth, for every layout that may be asked for.
func TestLeastLayout(t *testing.T) {
	const shops, systems = 24, 12
	feasible, impossible, trunks, hubs, crowded := 0, 0, 0, 0, 0
	for shop := range uint64(shops) {
		random := rand.New(rand.NewPCG(shop, 20260202))
		cat := leanShop(t, random)
		designer, planner := design.New(cat), termination.NewPlanner(cat)
		for n := range systems {
			v := layoutVehicle(random)
			s := layoutSystem(random, v, 2+random.IntN(3))
			s.Layout = anyone(random, design.AutoLayout, design.AutoLayout, design.AutoLayout, design.TrunkFeeds, design.SingleFeeds)
			name := fmt.Sprintf("shop %d system %d %s", shop, n, s.Layout)
			got, err := designer.Design(v, s)
			if bad, ok := violations(err); ok {
				require.Fail(t, "the made-up job is malformed", "%s: %v", name, bad)
			}
			want, ok := newJob(cat, planner, v, &s).least(s.Layout)
			if !ok {
				impossible++
				require.Error(t, err, "%s: the designer found what brute force did not", name)
				continue
			}
			feasible++
			require.NoError(t, err, "%s: brute force found what the designer did not", name)
			require.Equal(t, want.nano, priceOf(cat, got), "%s: %s", name, outline(got))
			require.Equal(t, want.crowded, got.Crowded, name)
			trunks += min(1, want.trunks)
			if strings.Contains(outline(got), "[hub/") {
				hubs++
			}
			if want.crowded {
				crowded++
			}
		}
	}
	assert.Greater(t, feasible, 200, "enough systems that can be had")
	assert.Greater(t, impossible, 20, "enough systems that cannot")
	assert.Greater(t, trunks, 40, "enough with trunks")
	assert.Greater(t, hubs, 20, "enough with hubs")
	assert.Greater(t, crowded, 5, "enough with a crowded post")
}

// outline says in a line what a design is made of.
func outline(d *design.Design) string {
	out := string(d.Layout)
	for _, c := range d.Circuits {
		out += fmt.Sprintf(" [%s %s %v %s]", c.ID, c.Kind, float64(c.Protection.Fuse.Rating), c.Runs[0].Conductor.SKU)
	}
	return out
}
