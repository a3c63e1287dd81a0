package design_test

import (
	"math"
	"slices"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// trunked is a trunk with the circuits that it feeds.
type trunked struct {
	fed       uint // bits by member
	nano      int64
	hasReturn bool
}

// stem is a trunk to be built.
type stem struct {
	feeding
	panel              panel
	zone               *catalog.Zone
	members            []member
	ways               [][]branchWay
	backPeak, backRest float64
	cabled             int
	largest            float64 // rating among the branches
}

// parts divides circuits that are more than the largest block in a zone has ways: by
// id into as few parts as do, each but the last of one size.
func (j *job) parts(zone *catalog.Zone, indexes []int) [][]int {
	ways := 0
	for _, p := range j.panels(zone, slices.ContainsFunc(indexes, func(i int) bool { return !j.members[i].chassis })) {
		ways = max(ways, p.block.Ways)
	}
	if ways < 2 || len(indexes) <= ways {
		return [][]int{indexes}
	}
	byID := slices.Clone(indexes)
	slices.SortFunc(byID, func(a, b int) int { return strings.Compare(j.members[a].device.ID, j.members[b].device.ID) })
	parts := math.Ceil(float64(len(byID)) / float64(ways))
	size := int(math.Ceil(float64(len(byID)) / parts))
	var out [][]int
	for len(byID) > 0 {
		n := min(size, len(byID))
		part := slices.Clone(byID[:n])
		slices.Sort(part)
		out, byID = append(out, part), byID[n:]
	}
	return out
}

// trunks gives the cheapest trunk of every panel in a zone that can feed two or
// more of the circuits; those that its ways cannot feed are left out.
func (j *job) trunks(zone *catalog.Zone, indexes []int) []trunked {
	var out []trunked
	cabled := slices.ContainsFunc(indexes, func(i int) bool { return !j.members[i].chassis })
	for _, p := range j.panels(zone, cabled) {
		s, fed := j.stem(zone, indexes, p)
		if len(s.members) < 2 || len(s.members) > p.block.Ways {
			continue
		}
		if s.load > float64(p.block.TotalMax) || s.cabled > 0 && (s.cabled > p.bus.Ways || s.backPeak > float64(p.bus.TotalMax)) {
			continue
		}
		if nano, ok := j.cheapestTrunk(s); ok {
			out = append(out, trunked{fed, nano, s.cabled > 0})
		}
	}
	return out
}

// stem gathers what a trunk must bear.
func (j *job) stem(zone *catalog.Zone, indexes []int, p panel) (*stem, uint) {
	first := &j.members[indexes[0]].feeding
	s := &stem{panel: p, zone: zone}
	s.feeding = feeding{cat: j.cat, planner: j.planner, vehicle: first.vehicle, device: &design.Device{}, battery: first.battery, at: first.at, end: zone,
		running: first.running, rest: first.rest, highest: first.highest, conductorLimit: math.Inf(1)}
	a := j.cat.Shop.Allowances
	s.feed.stretches = map[stretch]float64{zoneStretch(s.at): float64(a.LoopBattery)}
	routes, _ := shortestWay(j.vehicle, s.at.ID, zone.ID)
	for _, r := range routes {
		s.feed.stretches[stretch{environment: r.Environment}] += float64(r.Length) * (1 + float64(a.Route)/100)
		s.feed.bundled = max(s.feed.bundled, r.BundledWith)
	}
	s.feed.stretches[zoneStretch(zone)] += float64(a.LoopPerEnd)
	fed := uint(0)
	for _, i := range indexes {
		m := j.behind(j.members[i], zone, s.feed.length())
		ways := j.branchWays(&m, p)
		if len(ways) == 0 {
			continue
		}
		fed |= 1 << i
		s.members, s.ways = append(s.members, m), append(s.ways, ways)
		s.largest = max(s.largest, float64(ways[0].fuse.Rating))
		s.load, s.hot = s.load+m.load*j.growth, s.hot+m.hot*j.growth
		s.peak, s.restPeak = s.peak+m.peak, s.restPeak+m.restPeak
		if !m.chassis {
			s.cabled++
			s.backPeak, s.backRest = s.backPeak+m.peak, s.backRest+m.restPeak
		}
	}
	if s.chassis = s.cabled == 0; !s.chassis {
		s.back = s.feed
	}
	return s, fed
}

// cheapestTrunk tries every cable with every main in every holder, and every
// branch behind each; on one cable only the smallest main that serves counts.
func (j *job) cheapestTrunk(s *stem) (int64, bool) {
	best, found := int64(0), false
	for _, pair := range j.pairs {
		w, ok := s.cable(pair[0].Conductor)
		if !ok {
			continue
		}
		onPair, rating := int64(-1), quantity.Amps(math.Inf(1))
		for i := range j.cat.Fuses {
			fuse := &j.cat.Fuses[i]
			if fuse.Rating > rating || !j.mainServes(s, fuse, &w) {
				continue
			}
			for k := range j.cat.Holders {
				nano, before, ok := j.mainIn(s, pair, &w, fuse, &j.cat.Holders[k])
				if !ok {
					continue
				}
				if fuse.Rating < rating {
					rating, onPair = fuse.Rating, -1
				}
				if branches, ok := s.branches(before, &w, fuse); ok && (onPair < 0 || nano+branches < onPair) {
					onPair = nano + branches
				}
			}
		}
		if onPair >= 0 && (!found || onPair < best) {
			best, found = onPair, true
		}
	}
	return best, found
}

// mainServes: above the largest branch, within cable and block, carrying the loads
// and each start on top of the others.
func (j *job) mainServes(s *stem, fuse *catalog.Fuse, w *cabled) bool {
	rating := float64(fuse.Rating)
	if rating <= s.largest || rating > w.iz || fuse.Rating > s.panel.block.TotalMax || !j.family(fuse.Family) ||
		!s.ratingServes(fuse) || float64(fuse.Voltage) < s.highest {
		return false
	}
	opening := func(i float64) electrical.Opening {
		return fuse.Curve.Opening(fuse.Rating, quantity.Amps(i))
	}
	for i := range s.members {
		m := &s.members[i]
		others := s.load - m.load
		if start := m.device.Surge; start.Current > 0 {
			band := opening(1.25 * (float64(start.Current) + others))
			if band.Min == 0 || math.Sqrt(band.Min)*math.Sqrt(band.Max) < start.Duration.Seconds() {
				return false
			}
		}
		if m.shortTime() && opening(m.peak+others).Min < 2*m.duty().On.Seconds() {
			return false
		}
	}
	return true
}

// mainIn judges a main in a holder, and gives what the trunk costs without its
// branches and what it loses.
func (j *job) mainIn(s *stem, pair [2]*catalog.Conductor, w *cabled, fuse *catalog.Fuse, h *catalog.Holder) (int64, [2]lost, bool) {
	none := [2]lost{}
	if !holds(h, fuse, s.at, s.battery) || !s.interrupts(w, fuse, h) {
		return 0, none, false
	}
	feedOhm, backOhm, ends, soldered, ok := j.trunkEnds(s, pair, h)
	if !ok {
		return 0, none, false
	}
	feedWire, backWire := s.warm(w.conductor, s.feed), s.warm(w.conductor, s.back)
	feedOhm += feedWire + fuseOhm(fuse, max(s.peak, s.load))
	backOhm += backWire
	onFeed := lost{s.peak * feedWire, s.peak * feedOhm, s.restPeak * feedOhm, feedOhm}
	onBoth := lost{onFeed.conductors + s.backPeak*backWire, onFeed.total + s.backPeak*backOhm, onFeed.rest + s.backRest*backOhm, feedOhm + backOhm}
	// A trunk is held to the strictest class, 3 %, and two points more in all.
	nominal := float64(j.vehicle.Nominal)
	if onBoth.conductors > 0.03*nominal+1e-9 || onBoth.total > 0.05*nominal+1e-9 {
		return 0, none, false
	}
	body := 0.0
	if s.cabled == 0 {
		body = 1e-3
		if j.vehicle.Category == electrical.Truck {
			body = 2e-3
		}
	}
	if !s.clears(w, fuse, onBoth.ohm+body, soldered) {
		return 0, none, false
	}
	bases, nano := int64(1), s.panel.block.UnitNano
	if s.cabled > 0 {
		bases, nano = 2, nano+s.panel.bus.UnitNano
	}
	factor := zoneFactor[s.zone.Environment]
	nano += labourNano(15*bases*factor) + labourNano(4*int64(len(s.members))*factor)
	nano += laid(&s.feeding, pair) + ends + fuse.UnitNano + h.UnitNano + s.mounting(fuse.Family) + j.boot(h, pair[0])
	return nano, [2]lost{onFeed, onBoth}, true
}

// warm is the resistance of a trunk's conductor along a way.
func (s *stem) warm(c electrical.Conductor, w way) float64 {
	iz, ambient, _ := s.along(c, w)
	degrees := ambient + (float64(c.Rating)-ambient)*(s.load/iz)*(s.load/iz)
	return float64(c.ResistancePerMetre(quantity.Celsius(degrees))) * w.length()
}

func (j *job) trunkEnds(s *stem, pair [2]*catalog.Conductor, h *catalog.Holder) (feed, back float64, nano int64, soldered, ok bool) {
	post := catalog.Landing{Kind: catalog.OnStud, Stud: s.battery.Stud}
	joints := []termination.Joint{
		{Landing: h.Landing, Conductor: pair[0], Environment: s.at.Environment},
		{Landing: s.panel.block.In, Conductor: pair[0], Environment: s.zone.Environment},
	}
	if h.OnPost() {
		feed = float64(electrical.BatteryClamp)
	} else {
		joints = append(joints, termination.Joint{Landing: post, Conductor: pair[0], Environment: s.at.Environment, Battery: true}, joints[0])
	}
	ohm, nano, soldered, ok := j.made(joints)
	if !ok || s.cabled == 0 {
		return feed + ohm, 0, nano, soldered, ok
	}
	back, more, also, ok := j.made([]termination.Joint{
		{Landing: s.panel.bus.In, Conductor: pair[1], Environment: s.zone.Environment},
		{Landing: post, Conductor: pair[1], Environment: s.at.Environment, Battery: !s.vehicle.Sensor}})
	return feed + ohm, back, nano + more, soldered || also, ok
}

// branches is the least cost of all branches behind a trunk that loses so much on
// its feed, and on both ways: each at its cheapest that keeps its limits and whose
// fuse clears a fault right behind it.
func (s *stem) branches(before [2]lost, w *cabled, main *catalog.Fuse) (int64, bool) {
	sum := int64(0)
	for i := range s.members {
		m := &s.members[i]
		mine := before[1]
		if m.chassis {
			mine = before[0]
		}
		best, found := int64(0), false
		for k := range s.ways[i] {
			b := &s.ways[i][k]
			if (!found || b.nano < best) && m.volts(&b.w, b.joints, b.fuse, mine) && s.breaks(b.fuse, w, main) && m.clearsBehind(&b.w, b.joints, b.fuse, mine, b.soldered) {
				best, found = b.nano, true
			}
		}
		if !found {
			return 0, false
		}
		sum += best
	}
	return sum, true
}

// breaks: the most that comes through the battery at its low bound, the cold trunk,
// the main, and the branch's own cold fuse.
func (s *stem) breaks(fuse *catalog.Fuse, w *cabled, main *catalog.Fuse) bool {
	if s.bank().AcceptsRoadFamilies(fuse.Family, s.vehicle.Category) {
		return true
	}
	low, _ := s.bank().Resistance()
	ohm := float64(low) + float64(w.conductor.ResistancePerMetre(20))*s.feed.length() + fuseOhm(main, 0) + fuseOhm(fuse, 0)
	return float64(fuse.InterruptingAt(quantity.Volts(s.highest))) >= s.rest/ohm
}
