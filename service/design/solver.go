package design

import (
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// Designer designs systems from one catalog revision. It is safe for concurrent
// use.
type Designer struct {
	cat        *catalog.Catalog
	choice     *catalog.Catalog // what may be chosen of it
	planner    *termination.Planner
	candidates map[electrical.Category]candidates
}

// candidates is what a habit leaves to choose from.
type candidates struct {
	pairs       []pair
	protections []protection
}

// New gives a designer over a catalog.
func New(cat *catalog.Catalog) *Designer {
	choice := cat.Choice()
	d := &Designer{cat: cat, choice: choice, planner: termination.NewPlanner(choice), candidates: map[electrical.Category]candidates{}}
	for category, habit := range cat.Shop.Habits {
		d.candidates[category] = candidates{pairsOf(choice, habit), protectionsOf(choice, habit)}
	}
	return d
}

// Planner gives the planner of ends that the designer uses.
func (d *Designer) Planner() *termination.Planner { return d.planner }

// solver designs one job.
type solver struct {
	cat         *catalog.Catalog
	planner     *termination.Planner
	vehicle     *catalog.Vehicle
	routes      routes
	origins     []*origin
	pairs       []pair
	protections []protection
	chassis     map[string]bool // device id → returns over the body
	cabled      map[string]bool // device id → needs a return cable although the body is there
	strapped    bool            // heavier straps lift the limit of what the body takes
	limited     bool            // that limit kept a return from the body
	growth      quantity.Percent
	allowances  catalog.Allowances
	asked       []Lead
	noTime      *Unmet // a task that the shop has no labour time for
}

// Design sizes a system in a vehicle. Malformed input gives Violations, a job
// that cannot be met *Unmet.
func (d *Designer) Design(v *catalog.Vehicle, system System) (*Design, error) {
	if bad := d.Validate(v, system); len(bad) > 0 {
		return nil, bad
	}
	some := d.candidates[v.Category]
	s := &solver{cat: d.choice, planner: d.planner, vehicle: v, routes: newRoutes(v), pairs: some.pairs, protections: some.protections, growth: system.Growth, asked: system.Leads, allowances: d.cat.Shop.Allowances, cabled: map[string]bool{}}
	if system.RouteAllowance != nil {
		s.allowances.Route = *system.RouteAllowance
	}
	layout := system.Layout
	if layout == "" {
		layout = AutoLayout
	}
	devices := append(expand(system.Devices), linkDevices(v, system.Links, d.cat)...)
	s.origins = originsOf(v, devices, d.cat)
	chosen, other, unmet := s.decide(devices, layout)
	if unmet != nil {
		return nil, unmet
	}
	out, unmet := s.compose(chosen)
	if unmet != nil {
		return nil, unmet
	}
	out.Alternatives = s.turnedDown(chosen, other)
	if layout == TrunkFeeds && len(chosen.best.trunks) == 0 {
		out.Advice = append(out.Advice, Advice{Code: "no_trunk"})
	}
	if s.noTime != nil {
		return nil, s.noTime
	}
	return out, nil
}

// compose writes an arrangement down: circuits in the order of the devices, a
// trunk before its branches.
func (s *solver) compose(d decision) (*Design, *Unmet) {
	a := d.best
	out := &Design{Layout: layoutOf(a, len(d.plans)), Crowded: a.crowded}
	fed := fedByTrunk(a.trunks, len(d.plans))
	for i := range d.plans {
		c := &d.plans[i]
		if !fed[i] {
			s.makerConflicts(c, d.singles[i].with.fuse.Rating, out)
			out.Circuits = append(out.Circuits, s.write(c, d.singles[i]))
			continue
		}
		for _, t := range a.trunks {
			if t.branches[0].index == i {
				circuits, blocks := s.writeTrunk(t, d.plans)
				out.Circuits, out.Blocks = append(out.Circuits, circuits...), append(out.Blocks, blocks...)
				for k := range t.branches {
					s.makerConflicts(&d.plans[t.branches[k].index], t.picked[k].fuse.Rating, out)
				}
			}
		}
	}
	if d.straps != nil {
		out.Straps = &d.straps.circuit
	}
	if unmet := s.planLeads(d.plans, out); unmet != nil {
		return nil, unmet
	}
	s.operate(d.drafts, a, out)
	s.finish(d.plans, out)
	return out, nil
}

// expand gives every device its own entry. Lights of one entry stay together on
// one circuit as a group; any other quantity becomes so many devices.
func expand(devices []Device) []Device {
	var out []Device
	for _, d := range devices {
		if d.Quantity <= 1 || d.Kind == electrical.Light {
			out = append(out, d)
			continue
		}
		for i := 1; i <= d.Quantity; i++ {
			one := d
			one.Quantity, one.asked = 1, d.ID
			one.ID = numbered(d.ID, i)
			out = append(out, one)
		}
	}
	return out
}

// planAll plans every circuit, then decides which return over the body: the
// smallest loads first, as long as their sum stays within the body's limit.
func (s *solver) planAll(devices []Device) ([]circuitPlan, *Unmet) {
	full := make([]Device, len(devices))
	equipment := make([]*catalog.Equipment, len(devices))
	for i, d := range devices {
		full[i], equipment[i], _ = withEquipment(d, s.cat) // validated
		full[i] = grouped(full[i])
	}
	plans := make([]circuitPlan, len(full))
	s.chassis = nil
	for pass := range 2 {
		for i := range full {
			plan, unmet := s.plan(full[i], equipment[i])
			if unmet != nil {
				return nil, unmet
			}
			plans[i] = plan
		}
		if pass == 0 {
			s.chassis = s.bodyReturns(plans)
		}
	}
	if unmet := s.servesConverters(plans); unmet != nil {
		return nil, unmet
	}
	shareBody(plans)
	return plans, nil
}

// shareBody tells every circuit that returns over the body what the others put
// through it: body and straps are one path.
func shareBody(plans []circuitPlan) {
	var running, rest quantity.Amps
	for i := range plans {
		if n := &plans[i].need; n.chassis {
			running += n.peak
			rest += n.restPeak
		}
	}
	for i := range plans {
		if n := &plans[i].need; n.chassis {
			n.bodyShare, n.bodyRest = running-n.peak, rest-n.restPeak
		}
	}
}

// grouped multiplies what a group of equal lights draws.
func grouped(d Device) Device {
	if d.Quantity <= 1 {
		return d
	}
	q := float64(d.Quantity)
	d.Load.Current *= quantity.Amps(q)
	d.Load.Input *= quantity.Watts(q)
	d.Load.Output *= quantity.Watts(q)
	d.Surge.Current *= quantity.Amps(q)
	return d
}

// bodyReturns decides which circuits return over the body. Without heavier straps
// the sum of all added body returns stays within the limit; the smallest go first, so
// that the fewest need a return cable.
func (s *solver) bodyReturns(plans []circuitPlan) map[string]bool {
	order := make([]*circuitPlan, 0, len(plans))
	for i := range plans {
		if s.mayUseBody(&plans[i]) && !s.cabled[plans[i].device.ID] {
			order = append(order, &plans[i])
		}
	}
	sort.SliceStable(order, func(i, j int) bool {
		if a, b := order[i].need.peak, order[j].need.peak; a != b {
			return a < b
		}
		return order[i].device.ID < order[j].device.ID
	})
	out, sum := map[string]bool{}, quantity.Amps(0)
	for _, c := range order {
		if sum += c.need.peak; sum > s.cat.Shop.Defaults.ChassisMax && !s.strapped {
			s.limited = true
			break
		}
		out[c.device.ID] = true
	}
	return out
}

// chooseBelowMaker looks for the nearest fuse below the maker's figure where that
// figure itself cannot be had, and keeps what stood in its way; nil where there is
// none either.
func (s *solver) chooseBelowMaker(c *circuitPlan, t *tally) *choice {
	relaxed := *c
	relaxed.need = c.made.belowMaker()
	best, _ := s.choose(&relaxed)
	if best != nil {
		c.need, c.makerBinding = relaxed.need, t.binding()
	}
	return best
}

func (s *solver) stocks(rating quantity.Amps) bool {
	for _, p := range s.protections {
		if p.fuse.Rating == rating {
			return true
		}
	}
	return false
}

// makerConflicts reports where the maker's fuse could not be planned, or does not
// carry the load.
func (s *solver) makerConflicts(c *circuitPlan, rating quantity.Amps, out *Design) {
	n, maker := &c.need, c.device.Maker.Fuse
	figures := []electrical.Figure{electrical.Num("maker_fuse_a", maker, electrical.UnitA), electrical.Num("fuse_a", rating, electrical.UnitA), electrical.Num("current_a", n.load, electrical.UnitA)}
	id := c.device.ID
	switch {
	case maker > 0 && rating != maker && !s.stocks(maker):
		out.Conflicts = append(out.Conflicts, Conflict{DeviceID: id, Code: "maker_fuse_not_stocked", Figures: figures})
	case maker > 0 && rating != maker:
		if c.makerBinding != "" {
			figures = append(figures, electrical.Word("constraint", c.makerBinding))
		}
		out.Conflicts = append(out.Conflicts, Conflict{DeviceID: id, Code: "maker_fuse_not_possible", Figures: figures})
	case maker > 0 && maker < n.load:
		out.Conflicts = append(out.Conflicts, Conflict{DeviceID: id, Code: "maker_fuse_below_load", Figures: figures})
	}
	// More than a quarter above the amplifier's own fuses is worth a word.
	if n.fuseFloor > 0 && rating > n.fuseFloor*5/4 {
		out.Advice = append(out.Advice, Advice{Code: "fuse_above_onboard", At: c.device.ID, Figures: []electrical.Figure{
			electrical.Num("fuse_a", rating, electrical.UnitA), electrical.Num("onboard_fuse_a", n.fuseFloor, electrical.UnitA)}})
	}
}
