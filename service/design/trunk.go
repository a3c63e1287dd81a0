package design

import (
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// trunkEnds is every end of a trunk.
type trunkEnds struct {
	source, holderIn  *termination.Plan // nil where the fuse sits on the post
	holderOut         *termination.Plan
	blockIn           termination.Plan
	busIn, backSource *termination.Plan // nil without a return
}

func (e *trunkEnds) nano() int64 {
	sum := e.holderOut.Nano + e.blockIn.Nano
	for _, p := range []*termination.Plan{e.source, e.holderIn, e.busIn, e.backSource} {
		if p != nil {
			sum += p.Nano
		}
	}
	return sum
}

// feedJoints and backJoints are the resistances of the ends on each side.
func (e *trunkEnds) feedJoints() quantity.Ohms {
	sum := e.holderOut.Resistance + e.blockIn.Resistance
	if e.source == nil {
		return sum + electrical.BatteryClamp
	}
	return sum + e.source.Resistance + e.holderIn.Resistance
}

func (e *trunkEnds) backJoints() quantity.Ohms {
	if e.busIn == nil {
		return 0
	}
	return e.busIn.Resistance + e.backSource.Resistance
}

// trunkChoice is a complete trunk with its branches.
type trunkChoice struct {
	group        *group
	need         trunkNeed
	with         distribution
	pair         pair
	wires        wires
	main         protection
	ends         trunkEnds
	drop         trunkDrop
	interruption electrical.Interruption
	short        electrical.FarEndVerdict
	branches     []branch        // those the block feeds
	picked       []*branchOption // beside branches
	nano         int64           // trunk and branches
}

// better orders trunk choices: cost, then drop, then SKU.
func (t *trunkChoice) better(o *trunkChoice) bool {
	switch {
	case t.nano != o.nano:
		return t.nano < o.nano
	case t.drop.feed != o.drop.feed:
		return t.drop.feed < o.drop.feed
	case t.pair.feed.SKU != o.pair.feed.SKU:
		return t.pair.feed.SKU < o.pair.feed.SKU
	case t.main.fuse.SKU != o.main.fuse.SKU:
		return t.main.fuse.SKU < o.main.fuse.SKU
	case t.main.holder.SKU != o.main.holder.SKU:
		return t.main.holder.SKU < o.main.holder.SKU
	}
	return t.with.block.SKU < o.with.block.SKU
}

// chooseTrunks gives the cheapest trunk for every set of a group's members that
// some block can feed. A member that a block's ways cannot feed stays on a feed of
// its own, so blocks differ in what they leave to the battery's post.
func (s *solver) chooseTrunks(g *group, plans []circuitPlan) []*trunkChoice {
	var out []*trunkChoice
	approaches := s.approachesOf(g, plans)
	for _, d := range s.distributions(g, plans) {
		found := s.trunkBehind(g, d, plans, approaches)
		if found == nil {
			continue
		}
		at := slices.IndexFunc(out, found.same)
		switch {
		case at < 0:
			out = append(out, found)
		case found.better(out[at]):
			out[at] = found
		}
	}
	return out
}

// distributions gives the fused blocks that may sit in the group's zone, each with
// every bus that could take the returns.
func (s *solver) distributions(g *group, plans []circuitPlan) []distribution {
	if g.zone.Vapour || !s.mountsBlocks() { // no block of a catalog states ignition protection
		return nil
	}
	harsh := electrical.NeedsSealing(g.zone.Environment)
	cabled := false
	for _, i := range g.members {
		cabled = cabled || !plans[i].need.chassis
	}
	var out []distribution
	for i := range s.cat.Blocks {
		b := &s.cat.Blocks[i]
		if !b.Fused || harsh && !b.Sealed || b.Ways < 2 || !s.allowsFamily(b.Family) {
			continue
		}
		figures, _ := electrical.FamilyOf(b.Family)
		if !cabled {
			out = append(out, distribution{block: b, figures: figures})
			continue
		}
		for k := range s.cat.Blocks {
			if bus := &s.cat.Blocks[k]; !bus.Fused && (!harsh || bus.Sealed) {
				out = append(out, distribution{b, bus, figures})
			}
		}
	}
	return out
}

// mountsBlocks tells that the shop has labour times for blocks.
func (s *solver) mountsBlocks() bool {
	_, base := s.cat.Operation(catalog.TaskBlockBase, quantity.Size{})
	_, way := s.cat.Operation(catalog.TaskBlockWay, quantity.Size{})
	return base && way
}

func (s *solver) allowsFamily(f electrical.Family) bool {
	return hasFamily(s.cat.Shop.Habits[s.vehicle.Category].Families, f)
}

// trunkBehind sweeps the trunk's sizes and mains for one distribution.
func (s *solver) trunkBehind(g *group, d distribution, plans []circuitPlan, approaches []approach) *trunkChoice {
	branches, members, largest := s.branchesOf(g, d, plans, approaches)
	if len(members) < 2 || len(members) > d.block.Ways {
		return nil
	}
	t := s.trunkNeedOf(g, members, plans)
	if t.load > d.block.TotalMax || d.bus != nil && !busTakes(d.bus, &t, members, plans) {
		return nil
	}
	var best *trunkChoice
	for _, p := range s.pairs {
		w, ok := t.wiresOf(p.feed.Conductor)
		if !ok || catalog.Thinner(p.feed.Size, t.thinnest) || !t.carries(&w) {
			continue
		}
		first := quantity.Amps(0)
		for _, main := range s.protections {
			if first > 0 && main.fuse.Rating > first {
				break
			}
			base, ok := s.tryMain(g, &t, d, p, w, main, largest, len(members))
			if !ok {
				continue
			}
			first = main.fuse.Rating
			if found := withBranches(base, branches); found != nil && (best == nil || found.better(best)) {
				best = found
			}
		}
	}
	return best
}

// approachesOf works out the way of every member behind the group's block.
func (s *solver) approachesOf(g *group, plans []circuitPlan) []approach {
	var length trunkNeed
	s.trunkWay(&length, g)
	out := make([]approach, len(g.members))
	for k, i := range g.members {
		out[k] = s.approachOf(&plans[i], g, length.feed.length)
	}
	return out
}

// branchesOf gives the members that the block can feed, up to one more than it has
// ways for, and the largest rating among their fuses.
func (s *solver) branchesOf(g *group, d distribution, plans []circuitPlan, approaches []approach) (branches []branch, members []int, largest quantity.Amps) {
	for k, i := range g.members {
		b := s.branchOf(i, &plans[i], &approaches[k], g, d)
		if len(b.options) == 0 {
			continue
		}
		branches = append(branches, b)
		members = append(members, i)
		largest = max(largest, b.options[0].fuse.Rating)
		if len(members) > d.block.Ways {
			break
		}
	}
	return branches, members, largest
}

// busTakes tells whether a bus has the ways and the current for the returns.
func busTakes(bus *catalog.Block, t *trunkNeed, members []int, plans []circuitPlan) bool {
	ways := 0
	for _, i := range members {
		if !plans[i].need.chassis {
			ways++
		}
	}
	return ways <= bus.Ways && t.backPeak <= bus.TotalMax
}

// tryMain judges one main fuse on one trunk cable.
func (s *solver) tryMain(g *group, t *trunkNeed, d distribution, p pair, w wires, main protection, largest quantity.Amps, members int) (*trunkChoice, bool) {
	rating := main.fuse.Rating
	switch {
	case rating <= largest, rating > d.block.TotalMax, rating > w.ampacity():
		return nil, false
	case !t.fuseSuits(main.fuse), !t.bearsStarts(main), !t.voltageHolds(main.fuse):
		return nil, false
	case !g.origin.seats(main.holder), t.sealed && !main.holder.Sealed, t.ignition && !main.fuse.IgnitionProtected && !main.holder.IgnitionProtected:
		return nil, false
	}
	tail := t.tailTo(main.holder)
	interruption, ok := t.interrupts(main.fuse, main.figures, &w, tail)
	if !ok {
		return nil, false
	}
	ends, ok := s.trunkEnds(g, t, d, p, main.holder)
	if !ok {
		return nil, false
	}
	out := &trunkChoice{group: g, need: *t, with: d, pair: p, wires: w, main: main, ends: ends, interruption: interruption}
	out.drop = t.dropsOf(&w, &ends, main)
	out.drop.roadFuses = t.bank.AcceptsRoadFamilies(d.block.Family, t.category)
	limit := t.conductorLimit.Of(t.nominal) + dropSlack
	if out.drop.conductorFeed+out.drop.conductorBack > limit || !t.totalDropHolds(out.drop.feed+out.drop.back) {
		return nil, false
	}
	if out.short = t.deadShort(&w, main.fuse, &out.drop, &ends); !out.short.Cleared {
		return nil, false
	}
	out.nano = s.trunkNano(g, out, members)
	return out, true
}

// bearsStarts tells whether the main bears each member's start on top of the rest,
// and the fastest of its kind every short-time motor for twice its time on.
func (t *trunkNeed) bearsStarts(main protection) bool {
	curve := main.fuse.Curve
	for _, start := range t.surges {
		if !curve.BearsSurge(main.fuse.Rating, start) {
			return false
		}
	}
	for _, motor := range t.shortTimes {
		if !curve.BearsShortTime(main.fuse.Rating, motor.Current, motor.Duration.Seconds()) {
			return false
		}
	}
	return true
}

// dropsOf gives what the trunk loses.
func (t *trunkNeed) dropsOf(w *wires, e *trunkEnds, main protection) trunkDrop {
	feed := quantity.Ohms(float64(w.feed.perMetre) * float64(t.feed.length))
	back := quantity.Ohms(float64(w.back.perMetre) * float64(t.back.length))
	fuse := electrical.FuseResistance(main.figures, main.fuse.Rating, max(t.peak, t.load)) + main.figures.Contacts
	fault := w.conductor.Resistance(t.feed.length, coldCable) + main.figures.Contacts + electrical.ColdFuseResistance(main.figures, main.fuse.Rating)
	full, fullBack := feed+e.feedJoints()+fuse, back+e.backJoints()
	return trunkDrop{
		conductorFeed: t.peak.Through(feed), conductorBack: t.backPeak.Through(back),
		feed: t.peak.Through(full), back: t.backPeak.Through(fullBack),
		restFeed: t.restPeak.Through(full), restBack: t.backRest.Through(fullBack),
		faultPath: fault, feedR: full, backR: fullBack, feedWire: feed, backWire: back,
	}
}

// trunkEnds plans the ends of a trunk; false where one cannot be made.
func (s *solver) trunkEnds(g *group, t *trunkNeed, d distribution, p pair, h *catalog.Holder) (trunkEnds, bool) {
	var e trunkEnds
	var fails tally
	at := &circuitPlan{origin: g.origin, zone: g.zone}
	var c circuitEnds
	if !s.holderEnds(at, p, h, &c, &fails) {
		return e, false
	}
	e.source, e.holderIn, e.holderOut = c.source, c.holderIn, c.holderOut
	var ok bool
	if e.blockIn, ok = s.end(p.feed, d.block.In, g.zone.Environment, false, AtBlock, &fails); !ok {
		return e, false
	}
	if !t.hasReturn {
		return e, true
	}
	bus, ok := s.end(p.back, d.bus.In, g.zone.Environment, false, AtBus, &fails)
	if !ok {
		return e, false
	}
	landing, kind, where := s.returnLanding(at)
	source, ok := s.end(p.back, landing, where, kind == AtBatteryNegative, kind, &fails)
	e.busIn, e.backSource = &bus, &source
	return e, ok
}

// trunkNano is the price of a trunk and its block without the branches.
func (s *solver) trunkNano(g *group, c *trunkChoice, ways int) int64 {
	sum := c.ends.nano() + c.main.fuse.UnitNano + c.main.holder.UnitNano + s.mountNano(g.origin.Zone, c.main.fuse.Family) + s.bootNano(c.pair.feed, c.ends.source != nil)
	sum += s.layNano(&c.need.feed, &c.need.back, c.pair, !c.need.hasReturn) + c.with.block.UnitNano + s.workNano(s.blockWork(g, c.need.hasReturn, ways))
	if c.with.bus != nil && c.need.hasReturn {
		sum += c.with.bus.UnitNano
	}
	return sum
}

// withBranches adds the cheapest branch of every member behind a trunk; nil where
// one has none.
func withBranches(t *trunkChoice, branches []branch) *trunkChoice {
	t.branches = branches
	t.picked = make([]*branchOption, len(branches))
	for i := range branches {
		o := branches[i].fits(&t.drop)
		if o == nil {
			return nil
		}
		t.picked[i] = o
		t.nano += o.nano
	}
	return t
}

// blockWork is the labour of mounting a block with its ways, and the bus where
// there is one.
func (s *solver) blockWork(g *group, bus bool, ways int) []catalog.Work {
	bases := 1
	if bus {
		bases++
	}
	work := s.addWork(nil, catalog.TaskBlockBase, bases, g.zone.Environment)
	return s.addWork(work, catalog.TaskBlockWay, ways, g.zone.Environment)
}
