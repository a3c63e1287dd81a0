package design

import (
	"cmp"
	"slices"
	"strconv"

	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// An arrangement is one way to feed the circuits of a battery or of a whole
// system: its trunks, and feeds of their own for what they do not feed.
type arrangement struct {
	trunks []*trunkChoice
	nano   int64
	// crowded tells that a battery post would bear more terminals than it should.
	crowded bool
}

// drafts is everything chosen before the layout is: every single feed, and for
// each battery the ways to arrange its circuits, cheapest first.
type drafts struct {
	plans     []circuitPlan
	singles   []*choice // by plan; nil where none is valid
	tallies   []*tally
	batteries [][]arrangement
	trunked   []bool     // by plan: some trunk can feed it
	straps    *strapping // nil where the body does as it is
}

// draft chooses the parts of every single feed and trunk, and arranges them.
func (s *solver) draft(plans []circuitPlan, layout Layout) *drafts {
	d := &drafts{plans: plans, singles: make([]*choice, len(plans)), tallies: make([]*tally, len(plans)), trunked: make([]bool, len(plans))}
	for i := range plans {
		c := &plans[i]
		c.made = c.need
		d.singles[i], d.tallies[i] = s.choose(c)
		if d.singles[i] == nil && c.need.makerFuse > 0 {
			d.singles[i] = s.chooseBelowMaker(c, d.tallies[i])
		}
	}
	for _, members := range byOrigin(plans) {
		d.batteries = append(d.batteries, s.arrange(d, members, layout))
	}
	return d
}

// mostCombinations is how many combinations of zone trunks are looked at; where
// there are more, only the one of the trunks that pay and those one zone away from
// it are.
const mostCombinations = 4096

// arrange gives the ways to feed a battery's circuits, best first: all on feeds of
// their own, every combination of zones with and without a trunk, and a hub in
// each zone that can hold one. A place with more circuits than a block has ways has a
// trunk for each part of them.
func (s *solver) arrange(d *drafts, members []int, layout Layout) []arrangement {
	var out []arrangement
	add := func(trunks []*trunkChoice) {
		trunks = slices.DeleteFunc(slices.Clone(trunks), func(t *trunkChoice) bool { return t == nil })
		if nano, ok := d.cost(members, trunks); ok {
			out = append(out, arrangement{trunks, nano, s.crowded(d, members, trunks)})
		}
	}
	add(nil)
	if layout == SingleFeeds {
		return out
	}
	groups := zoneGroups(d.plans, members)
	var all [][]*trunkChoice
	for _, g := range groups {
		all = append(all, s.trunksOf(g, d)...)
	}
	for _, combination := range combinations(all, d.pays) {
		add(combination)
	}
	for _, hub := range s.hubGroups(d.plans, members) {
		for _, combination := range combinations(s.trunksOf(hub, d), d.pays) {
			add(combination)
		}
	}
	return inOrder(out, layout)
}

// trunksOf gives the trunks to choose from for every part of a group that has any,
// and notes what they can feed.
func (s *solver) trunksOf(g group, d *drafts) [][]*trunkChoice {
	var out [][]*trunkChoice
	for _, part := range s.parts(g, d.plans) {
		trunks := s.chooseTrunks(&part, d.plans)
		if len(trunks) > 0 {
			out = append(out, trunks)
		}
		for _, t := range trunks {
			for _, b := range t.branches {
				d.trunked[b.index] = true
			}
		}
	}
	return out
}

// combinations gives the choices of one trunk or none for each group that are
// looked at, none empty.
func combinations(all [][]*trunkChoice, pays func(*trunkChoice) bool) [][]*trunkChoice {
	count := 1
	for _, trunks := range all {
		if count *= 1 + len(trunks); count > mostCombinations {
			return nearBest(all, pays)
		}
	}
	out := [][]*trunkChoice{{}}
	for _, trunks := range all {
		for _, some := range slices.Clone(out) {
			for _, t := range trunks {
				out = append(out, append(slices.Clone(some), t))
			}
		}
	}
	return out[1:]
}

// nearBest gives the combination of the trunks that pay, and those one group away
// from it.
func nearBest(all [][]*trunkChoice, pays func(*trunkChoice) bool) [][]*trunkChoice {
	best := make([]*trunkChoice, len(all))
	for i, trunks := range all {
		if pays(trunks[0]) {
			best[i] = trunks[0]
		}
	}
	out := [][]*trunkChoice{best}
	for i, trunks := range all {
		for _, t := range append([]*trunkChoice{nil}, trunks...) {
			other := slices.Clone(best)
			other[i] = t
			out = append(out, other)
		}
	}
	return out
}

// crowded tells whether more terminals would land on a post of the battery than a
// stud should bear.
func (s *solver) crowded(d *drafts, members []int, trunks []*trunkChoice) bool {
	plus, minus := len(trunks), 0
	for _, t := range trunks {
		if t.need.hasReturn {
			minus++
		}
	}
	fed := fedByTrunk(trunks, len(d.plans))
	for _, i := range members {
		if fed[i] {
			continue
		}
		plus++
		if !d.plans[i].need.chassis {
			minus++
		}
	}
	from := d.plans[members[0]].origin
	if s.strapped && overBody(fedFrom(d.plans, from)) > 0 {
		minus++
	}
	if s.sensorAt(from) {
		minus = 0 // the returns land on the body side of the sensor, not on the post
	}
	return max(plus, minus) > from.terminals(termination.StudLimit(s.vehicle.Category))
}

// same tells that two trunks feed the same circuits from a block in the same zone,
// as a hub does that can feed only the circuits of its own zone.
func (t *trunkChoice) same(o *trunkChoice) bool {
	return t.group.origin == o.group.origin && t.group.zone == o.group.zone &&
		slices.EqualFunc(t.branches, o.branches, func(a, b branch) bool { return a.index == b.index })
}

// key tells arrangements apart by the circuits that their trunks feed, and where from.
func (a *arrangement) key() string {
	var text []byte
	for _, t := range a.trunks {
		text = append(append(text, t.group.origin.ID...), '/')
		text = append(append(text, t.group.zone.ID...), ':')
		for i := range t.branches {
			text = append(strconv.AppendInt(text, int64(t.branches[i].index), 10), ' ')
		}
	}
	return string(text)
}

// inOrder sorts arrangements and drops doubles. Those that crowd a battery post
// come last; where trunks are asked for, those without one come after those with;
// then the cheapest is first.
func inOrder(list []arrangement, layout Layout) []arrangement {
	var out []arrangement
	seen := map[string]bool{}
	for _, a := range list {
		if key := a.key(); !seen[key] {
			seen[key] = true
			out = append(out, a)
		}
	}
	rank := func(a arrangement) int {
		n := 0
		if layout == TrunkFeeds && len(a.trunks) == 0 {
			n += 2
		}
		if a.crowded {
			n++
		}
		return n
	}
	slices.SortStableFunc(out, func(a, b arrangement) int {
		if c := cmp.Compare(rank(a), rank(b)); c != 0 {
			return c
		}
		return cmp.Compare(a.nano, b.nano)
	})
	return out
}

// pays tells whether a trunk costs less than its group's single feeds, or one of
// those is not valid.
func (d *drafts) pays(t *trunkChoice) bool {
	single, ok := d.cost(t.group.members, nil)
	with, valid := d.cost(t.group.members, []*trunkChoice{t})
	return valid && (!ok || with < single)
}

// cost is the selection price of some circuits with some trunks; false where a
// circuit that no trunk feeds has no valid feed of its own.
func (d *drafts) cost(members []int, trunks []*trunkChoice) (int64, bool) {
	fed := fedByTrunk(trunks, len(d.plans))
	sum := int64(0)
	for _, t := range trunks {
		sum += t.nano
	}
	for _, i := range members {
		switch {
		case fed[i]:
		case d.singles[i] == nil:
			return 0, false
		default:
			sum += d.singles[i].nano
		}
	}
	return sum, true
}

// fedByTrunk tells which plans some trunks feed.
func fedByTrunk(trunks []*trunkChoice, plans int) []bool {
	fed := make([]bool, plans)
	for _, t := range trunks {
		for _, b := range t.branches {
			fed[b.index] = true
		}
	}
	return fed
}

// best gives the cheapest arrangement of the whole system; false, with the plan
// that stands in the way, where a battery has none: one that nothing can feed, else
// one that a feed of its own cannot.
func (d *drafts) best() (arrangement, int, bool) {
	var out arrangement
	for _, ways := range d.batteries {
		if len(ways) == 0 {
			continue
		}
		out.trunks = append(out.trunks, ways[0].trunks...)
		out.nano += ways[0].nano
		out.crowded = out.crowded || ways[0].crowded
	}
	fed := fedByTrunk(out.trunks, len(d.plans))
	stuck := -1
	for i := range d.plans {
		switch {
		case fed[i] || d.singles[i] != nil:
		case !d.trunked[i]:
			return out, i, false
		case stuck < 0:
			stuck = i
		}
	}
	return out, max(stuck, 0), stuck < 0
}

// others gives the arrangements of the whole system that differ from the best at
// one battery, cheapest first.
func (d *drafts) others(best arrangement) []arrangement {
	var out []arrangement
	for b, ways := range d.batteries {
		for _, way := range ways[1:] {
			other := arrangement{nano: best.nano - ways[0].nano + way.nano, crowded: way.crowded}
			for k, chosen := range d.batteries {
				if k == b {
					other.trunks = append(other.trunks, way.trunks...)
				} else {
					other.trunks = append(other.trunks, chosen[0].trunks...)
					other.crowded = other.crowded || chosen[0].crowded
				}
			}
			out = append(out, other)
		}
	}
	slices.SortStableFunc(out, func(a, b arrangement) int { return cmp.Compare(a.nano, b.nano) })
	return out
}

// layoutOf names what an arrangement is.
func layoutOf(a arrangement, plans int) Layout {
	switch {
	case len(a.trunks) == 0:
		return SingleFeeds
	case slices.Contains(fedByTrunk(a.trunks, plans), false):
		return MixedLayout
	}
	return TrunkFeeds
}

// contents says what an arrangement consists of.
func (d *drafts) contents(a arrangement) []electrical.Reason {
	var out []electrical.Reason
	for _, t := range a.trunks {
		out = append(out, electrical.Because("layout.trunk_instead", "", electrical.Name("zone", t.group.zone.Label), electrical.SizeFigure("conductor", t.pair.feed.Size),
			electrical.Num("fuse_a", t.main.fuse.Rating, electrical.UnitA), electrical.Num("branches", len(t.branches), electrical.UnitCount)))
	}
	feeds := 0
	for _, fed := range fedByTrunk(a.trunks, len(d.plans)) {
		if !fed {
			feeds++
		}
	}
	if feeds > 0 {
		out = append(out, electrical.Because("layout.single_instead", "", electrical.Num("feeds", feeds, electrical.UnitCount)))
	}
	return out
}
