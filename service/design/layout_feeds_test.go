package design_test

import (
	"cmp"
	"math"
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// This file judges and prices feeds of their own and branches behind a block a
// second time, as rules_test.go does for a lone circuit: with what the circuits of
// a job do to each other, and nothing of the designer's judgement.

// member is one circuit of a job.
type member struct {
	feeding
	share, restShare float64 // what the job's other circuits put through the body, in amperes
}

// job is a system to be fed.
type job struct {
	cat     *catalog.Catalog
	planner *termination.Planner
	vehicle *catalog.Vehicle
	growth  float64 // what a trunk's load is multiplied by
	members []member
	battery []string // of each member
	pairs   [][2]*catalog.Conductor
}

func newJob(cat *catalog.Catalog, planner *termination.Planner, v *catalog.Vehicle, s *design.System) *job {
	j := &job{cat: cat, planner: planner, vehicle: v, growth: 1 + float64(s.Growth)/100}
	for i := range s.Devices {
		d := &s.Devices[i]
		alone := *v
		alone.Batteries = []catalog.Battery{v.Batteries[slices.IndexFunc(v.Batteries, func(b catalog.Battery) bool { return b.ID == d.FedFrom })]}
		j.members = append(j.members, member{feeding: *newFeeding(cat, planner, &alone, d)})
		j.battery = append(j.battery, d.FedFrom)
	}
	j.shareBody()
	f := &j.members[0].feeding
	habit := cat.Shop.Habits[v.Category]
	for _, feed := range f.coloured(habit.FeedColours) {
		for _, back := range f.coloured(habit.ReturnColours) {
			if back.Size == feed.Size && back.Material == feed.Material && back.Insulation == feed.Insulation && back.Rating == feed.Rating {
				j.pairs = append(j.pairs, [2]*catalog.Conductor{feed, back})
			}
		}
	}
	return j
}

// shareBody leaves the body to the smallest currents, up to 150 A together, and
// tells each what the others put through it.
func (j *job) shareBody() {
	var order []*member
	for i := range j.members {
		if j.members[i].chassis {
			order = append(order, &j.members[i])
		}
	}
	slices.SortFunc(order, func(a, b *member) int {
		return cmp.Or(cmp.Compare(a.peak, b.peak), cmp.Compare(a.device.ID, b.device.ID))
	})
	sum, used, usedRest := 0.0, 0.0, 0.0
	for _, m := range order {
		if sum += m.peak; sum > 150 {
			m.chassis, m.bodyOhm, m.back = false, 0, m.feed
			continue
		}
		used = sum
		usedRest += m.restPeak
	}
	for _, m := range order {
		if m.chassis {
			m.share, m.restShare = used-m.peak, usedRest-m.restPeak
		}
	}
}

// lost is what a trunk loses before a circuit, in volts.
type lost struct{ conductors, total, rest, ohm float64 }

// fuseOhm is a warm fuse with its contacts; 40 % above cold at its rating (from
// memory).
func fuseOhm(f *catalog.Fuse, amperes float64) float64 {
	figures, _ := electrical.FamilyOf(f.Family)
	share := amperes / float64(f.Rating)
	return figures.ColdMillivolts/float64(f.Rating)*1e-3*(1+0.4*share*share) + float64(figures.Contacts)
}

// volts judges a circuit's drops with those of its trunk.
func (m *member) volts(w *cabled, joints float64, fuse *catalog.Fuse, before lost) bool {
	ohm := w.ohm + joints + m.bodyOhm + fuseOhm(fuse, max(m.peak, m.load))
	body, restBody := m.share*m.bodyOhm, m.restShare*m.bodyOhm
	drop := m.peak*ohm + body + before.total
	return m.peak*w.ohm+before.conductors <= m.conductorLimit+1e-9 &&
		drop <= m.totalLimit()+1e-9 && m.running-drop >= float64(m.device.MinVolts)-1e-9 &&
		(m.restLimit == 0 || m.rest-m.restPeak*ohm-restBody-before.rest >= m.restLimit-1e-9)
}

// clearsBehind judges a short at a circuit's far end with what of its trunk it goes
// through.
func (m *member) clearsBehind(w *cabled, joints float64, fuse *catalog.Fuse, before lost, soldered bool) bool {
	return m.clears(w, fuse, w.ohm+joints+m.bodyOhm+fuseOhm(fuse, max(m.peak, m.load))+before.ohm, soldered)
}

func millimetres(l float64) int64 { return int64(math.Ceil(l*1000 - 1e-6)) }

// laid is the price of a circuit's cables and of all that goes with laying them:
// pulling, 3 minutes a metre of loom, 2 minutes for the labels of each of two runs,
// 8 minutes of test, loom, clamps and four labels.
func laid(f *feeding, pair [2]*catalog.Conductor) int64 {
	nano := f.pulled(pair[0], pair[1]) + f.covered(pair[0], pair[1])
	for s, l := range f.feed.stretches {
		nano += labourNano((3*millimetres(l)*zoneFactor[s.environment] + 500) / 1000)
	}
	return nano + f.tightest(catalog.UseLabel, 0).LengthNano(4000) + labourNano(2*2*1000) + labourNano(8*1000)
}

// single is the least cost of a feed of its own; where the maker's own fuse cannot
// be had, with the nearest one below it.
func (j *job) single(m member) (int64, bool) {
	nano, ok := j.singleAsAsked(&m)
	if ok || m.makerFuse == 0 {
		return nano, ok
	}
	m.makerFuse, m.ceiling = 0, m.makerFuse
	return j.singleAsAsked(&m)
}

func (j *job) singleAsAsked(m *member) (int64, bool) {
	best, found := int64(0), false
	for _, pair := range j.pairs {
		w, ok := m.cable(pair[0].Conductor)
		if !ok {
			continue
		}
		if nano, ok := j.singleOn(m, pair, &w); ok && (!found || nano < best) {
			best, found = nano, true
		}
	}
	return best, found
}

// singleOn tries every fuse in every holder on one pair of cables; only the
// smallest rating that serves counts.
func (j *job) singleOn(m *member, pair [2]*catalog.Conductor, w *cabled) (int64, bool) {
	best, rating := int64(0), quantity.Amps(math.Inf(1))
	base := laid(&m.feeding, pair)
	for i := range j.cat.Fuses {
		fuse := &j.cat.Fuses[i]
		if fuse.Rating > rating || !j.family(fuse.Family) || !m.ratingServes(fuse) || !m.protects(w, fuse) || float64(fuse.Voltage) < m.highest {
			continue
		}
		for k := range j.cat.Holders {
			h := &j.cat.Holders[k]
			if !holds(h, fuse, m.at, m.battery) || !m.interrupts(w, fuse, h) {
				continue
			}
			joints, ends, soldered, ok := m.ohmsAndCost(pair[0], pair[1], h)
			if !ok || !m.volts(w, joints, fuse, lost{}) || !m.clearsBehind(w, joints, fuse, lost{}, soldered) {
				continue
			}
			nano := base + ends + fuse.UnitNano + h.UnitNano + m.mounting(fuse.Family) + j.boot(h, pair[0])
			if fuse.Rating < rating || nano < best {
				best, rating = nano, fuse.Rating
			}
		}
	}
	return best, !math.IsInf(float64(rating), 1)
}

func (j *job) family(f electrical.Family) bool {
	return slices.Contains(j.cat.Shop.Habits[j.vehicle.Category].Families, f)
}

// holds tells whether a fuse may sit in a holder near a battery.
func holds(h *catalog.Holder, fuse *catalog.Fuse, at *catalog.Zone, b *catalog.Battery) bool {
	return goesOver(h, b.Stud) && h.Family == fuse.Family && fuse.Rating >= h.MinRating && fuse.Rating <= h.MaxRating &&
		(at.Environment == electrical.Cabin || h.Sealed) && (!at.Vapour || h.IgnitionProtected || fuse.IgnitionProtected)
}

// boot is the cover of the battery's terminal, where a cable lands there.
func (j *job) boot(h *catalog.Holder, cable *catalog.Conductor) int64 {
	if h.OnPost() {
		return 0
	}
	return j.members[0].tightest(catalog.UseBoot, cable.OuterDiameter).UnitNano
}

// made plans ends; false where one cannot be made.
func (j *job) made(joints []termination.Joint) (ohm float64, nano int64, soldered, ok bool) {
	for _, joint := range joints {
		joint.Category = j.vehicle.Category
		plan, err := j.planner.Plan(joint)
		if err != nil {
			return 0, 0, false, false
		}
		ohm += float64(plan.Resistance)
		nano += plan.Nano
		soldered = soldered || isSoldered(&plan)
	}
	return ohm, nano, soldered, true
}
