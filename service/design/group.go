package design

import (
	"cmp"
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// group is circuits of one battery or converter that a trunk to a fused block in a zone
// could feed together: those of one zone, with the block there, or all of them, with
// the block at a hub.
type group struct {
	origin  *origin
	zone    *catalog.Zone // where the block would sit
	members []int         // indexes into the plans, in their order
	hub     bool
	part    int // from 1, of those that a place with more circuits than ways is divided into
}

// fewest circuits that a trunk is considered for: one alone gains nothing.
const fewest = 2

// zoneGroups gives the groups of one zone each, by their first member.
func zoneGroups(plans []circuitPlan, members []int) []group {
	at := map[string]int{}
	var all []group
	for _, i := range members {
		p := &plans[i]
		if p.device.link != "" {
			continue // links keep feeds of their own
		}
		g, ok := at[p.zone.ID]
		if !ok {
			g = len(all)
			at[p.zone.ID] = g
			all = append(all, group{origin: p.origin, zone: p.zone})
		}
		all[g].members = append(all[g].members, i)
	}
	var out []group
	for _, g := range all {
		if len(g.members) >= fewest {
			out = append(out, g)
		}
	}
	return out
}

// hubGroups gives a group of all circuits of a battery or converter for every zone in which a
// hub could sit. Where all the circuits are in that zone the zone's own group is
// the same.
func (s *solver) hubGroups(plans []circuitPlan, members []int) []group {
	members = slices.DeleteFunc(slices.Clone(members), func(i int) bool { return plans[i].device.link != "" })
	if len(members) < fewest {
		return nil
	}
	from := plans[members[0]].origin
	var out []group
	for i := range s.vehicle.Zones {
		z := &s.vehicle.Zones[i]
		if _, ok := s.routes.shortest(from.Zone, z.ID); ok && !allIn(plans, members, z.ID) {
			out = append(out, group{origin: from, zone: z, members: members, hub: true})
		}
	}
	return out
}

func allIn(plans []circuitPlan, members []int, zone string) bool {
	for _, i := range members {
		if plans[i].zone.ID != zone {
			return false
		}
	}
	return true
}

// parts divides a group that has more circuits than the largest block that may sit
// there has ways: by id, into as few parts as do, of equal size where that is possible.
func (s *solver) parts(g group, plans []circuitPlan) []group {
	ways := 0
	for _, d := range s.distributions(&g, plans) {
		ways = max(ways, d.block.Ways)
	}
	n := len(g.members)
	if ways < fewest || n <= ways {
		g.part = 1
		return []group{g}
	}
	byID := slices.Clone(g.members)
	slices.SortFunc(byID, func(a, b int) int { return cmp.Compare(plans[a].device.ID, plans[b].device.ID) })
	count := (n + ways - 1) / ways
	var out []group
	for members := range slices.Chunk(byID, (n+count-1)/count) {
		slices.Sort(members)
		part := g
		part.members, part.part = members, len(out)+1
		out = append(out, part)
	}
	return out
}

// byOrigin gives the plans of each battery and converter, in the order of their first
// circuit.
func byOrigin(plans []circuitPlan) [][]int {
	at := map[string]int{}
	var out [][]int
	for i := range plans {
		k, ok := at[plans[i].origin.ID]
		if !ok {
			k = len(out)
			at[plans[i].origin.ID] = k
			out = append(out, nil)
		}
		out[k] = append(out[k], i)
	}
	return out
}

// trunkNeed is what a trunk must hold to when it feeds some members of a group.
type trunkNeed struct {
	need
	// backPeak and backRest are the parts of peak and restPeak that come back on
	// the trunk's own return; the rest returns over the body.
	backPeak, backRest quantity.Amps
	hasReturn          bool
	surges             []electrical.Surge // each member's start on top of the others' load
	// shortTimes is each short-time motor's current on top of the others' load, for
	// its time on.
	shortTimes []electrical.Surge
}

// trunkNeedOf works out the need of a trunk for the members given.
func (s *solver) trunkNeedOf(g *group, members []int, plans []circuitPlan) trunkNeed {
	first := &plans[members[0]].need
	t := trunkNeed{need: need{
		defaults: first.defaults, category: first.category, chassisR: chassisOhms(first.defaults, s.vehicle), nominal: first.nominal, source: first.source, bank: first.bank, restVolts: first.restVolts,
		placement: first.placement, holderAt: first.holderAt, sealed: first.sealed, ignition: first.ignition,
		dropClass: electrical.Critical, conductorLimit: first.defaults.DropCritical, totalLimit: first.defaults.DropCritical + first.defaults.DropTotalExtra,
	}}
	for _, i := range members {
		n := &plans[i].need
		t.load += n.load
		t.hot += n.hot
		t.peak += n.peak
		t.restPeak += n.restPeak
		if !n.chassis {
			t.hasReturn = true
			t.backPeak += n.peak
			t.backRest += n.restPeak
		}
	}
	t.chassis = !t.hasReturn // then the feed is the trunk's only conductor along the way
	grown := 1 + quantity.Amps(s.growth)/100
	t.load, t.hot = t.load*grown, t.hot*grown
	for _, i := range members {
		n := &plans[i].need
		others := t.load - n.load
		if n.surge.Current > 0 {
			t.surges = append(t.surges, electrical.Surge{Current: n.surge.Current + others, Duration: n.surge.Duration})
		}
		if n.shortTime() {
			t.shortTimes = append(t.shortTimes, electrical.Surge{Current: n.peak + others, Duration: n.duty.On})
		}
	}
	s.trunkWay(&t, g)
	t.thinnest, t.thinReason = electrical.MinimumSize(t.category, t.worstEnvironment())
	return t
}

// trunkWay sets the way of the trunk: the routes to the zone and a loop at each
// end. The reach inside the zone belongs to the branches.
func (s *solver) trunkWay(t *trunkNeed, g *group) {
	a := s.allowances
	legs, _ := s.routes.shortest(g.origin.Zone, g.zone.ID) // validated
	allowance := 1 + quantity.Metres(a.Route)/100
	t.feed.routes = legs
	t.feed.add(sectionIn(s.routes.zone(g.origin.Zone)), a.LoopBattery)
	for _, i := range legs {
		route := &s.vehicle.Routes[i]
		t.feed.add(section{environment: route.Environment}, route.Length*allowance)
		t.feed.bundled = max(t.feed.bundled, route.BundledWith)
	}
	t.feed.add(sectionIn(g.zone), a.LoopPerEnd)
	if t.hasReturn {
		t.back = t.feed
	}
	t.tail = min(t.placement.Limit, t.feed.length/2)
}

// branchNeed is a circuit's need behind a group's block: the way from the block's
// zone and the reach inside its own, or what a measured length leaves after the
// trunk.
func (s *solver) branchNeed(c *circuitPlan, g *group, trunk quantity.Metres) need {
	n, a := c.need, s.allowances
	loop := a.LoopPerEnd
	if c.zone.Removable {
		loop = a.LoopRemovable
	}
	allowance := 1 + quantity.Metres(a.Route)/100
	n.feed = path{}
	n.feed.routes, _ = s.routes.shortest(g.zone.ID, c.zone.ID) // both are reached from the battery
	n.feed.add(sectionIn(g.zone), a.LoopPerEnd)
	for _, i := range n.feed.routes {
		route := &s.vehicle.Routes[i]
		n.feed.add(section{environment: route.Environment}, route.Length*allowance)
		n.feed.bundled = max(n.feed.bundled, route.BundledWith)
	}
	n.feed.add(sectionIn(c.zone), c.zone.Reach*allowance+loop)
	if c.device.HasMeasured {
		n.feed.scale(max(a.LoopPerEnd+loop, c.device.Measured-trunk))
	}
	if n.relay {
		n.feed.add(sectionIn(g.zone), s.relayLoops())
	}
	if !n.chassis {
		n.back = n.feed
	}
	n.holderAt = sectionIn(g.zone)
	n.tail = 0
	n.ignition = false // no block sits where vapour gathers
	n.thinnest, n.thinReason = electrical.MinimumSize(n.category, n.worstEnvironment())
	return n
}
