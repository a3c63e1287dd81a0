package design

import (
	"math"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// operation gives the labour of a task and remembers a task that the shop has no
// time for: a quote without it would be too low, so there is none.
func (s *solver) operation(task catalog.Task, size quantity.Size) (*catalog.Operation, bool) {
	op, ok := s.cat.Operation(task, size)
	if !ok && s.noTime == nil {
		s.noTime = &Unmet{Constraint: "labour", At: string(task), Figures: []electrical.Figure{electrical.Word("task", task), electrical.SizeFigure("conductor", size)}}
	}
	return op, ok
}

// circuitWork is the labour of a single feed besides its ends.
func (s *solver) circuitWork(c *circuitPlan, b *choice) []catalog.Work {
	var work []catalog.Work
	if w, ok := s.mountWork(c.origin.Zone, b.with.fuse.Family); ok {
		work = append(work, w)
	}
	if c.joinsBatteries() {
		work = append(work, s.farMount(c, b.with.fuse.Family)...)
	}
	if b.relay.relay != nil {
		work = s.addWork(work, catalog.TaskRelay, 1, s.routes.zone(c.origin.Zone).Environment)
	}
	work = append(work, s.layWork(&c.need.feed, b.pair.feed.Size)...)
	return s.fitWork(work, c)
}

// fitWork adds the labour of fixing the device itself.
func (s *solver) fitWork(work []catalog.Work, c *circuitPlan) []catalog.Work {
	if c.device.link != "" && c.equipment == nil {
		return work // nothing but cable to fit
	}
	op, ok := s.cat.FitOperation(c.device.Kind)
	if !ok {
		s.noTime = &Unmet{Constraint: "labour", At: c.device.ID, Figures: []electrical.Figure{electrical.Word("task", catalog.TaskFitDevice)}}
		return work
	}
	return append(work, s.cat.Shop.WorkOf(op, int64(max(1, c.device.Quantity))*1000, c.zone.Environment))
}

// labelledRuns of a circuit: feed and return.
const labelledRuns = 2

// layWork is the labour of laying a circuit's cables: pull, loom, label, test. A
// return that goes the way of the feed is drawn with it.
func (s *solver) layWork(feed *path, size quantity.Size) []catalog.Work {
	work := make([]catalog.Work, 0, 2*len(feed.sections)+2)
	for _, task := range []catalog.Task{catalog.TaskPull, catalog.TaskLoom} {
		band := size
		if task == catalog.TaskLoom {
			band = quantity.Size{}
		}
		op, ok := s.operation(task, band)
		if !ok {
			return nil
		}
		for _, section := range feed.sections {
			work = append(work, s.cat.Shop.WorkOf(op, cutMillimetres(section.length), section.environment))
		}
	}
	work = s.addWork(work, catalog.TaskLabel, labelledRuns, electrical.Cabin)
	return s.addWork(work, catalog.TaskTestCircuit, 1, electrical.Cabin)
}

func (s *solver) addWork(work []catalog.Work, task catalog.Task, count int, e electrical.Environment) []catalog.Work {
	if count == 0 {
		return work
	}
	op, ok := s.operation(task, quantity.Size{})
	if !ok {
		return work
	}
	return append(work, s.cat.Shop.WorkOf(op, int64(count)*1000, e))
}

// finish adds what belongs to the whole job: access, battery, passes, test,
// advice, notes and assumptions.
func (s *solver) finish(plans []circuitPlan, out *Design) {
	s.jobWork(out)
	out.Charging = s.charging(plans)
	s.advise(plans, out)
	out.Notes = s.notes(plans, out)
	out.Assumptions = s.assumptions(plans)
}

func (s *solver) jobWork(out *Design) {
	used := s.usedRoutes(out)
	seen := map[string]bool{}
	for _, i := range used {
		for _, code := range s.vehicle.Routes[i].Access {
			if op, ok := s.cat.OperationByCode(code); ok && !seen[code] {
				seen[code] = true
				out.Work = append(out.Work, s.cat.Shop.WorkOf(op, 1000, electrical.Cabin))
			}
		}
	}
	out.Work = s.addWork(out.Work, catalog.TaskBattery, 1, electrical.Cabin)
	passes := 0
	for _, i := range used {
		route := &s.vehicle.Routes[i]
		passes += route.Grommets
		if g := s.grommet(bundleThrough(out, i)); g != nil && route.Grommets > 0 {
			out.Sundries = append(out.Sundries, Material{g, int64(route.Grommets) * 1000})
		}
	}
	out.Work = s.addWork(out.Work, catalog.TaskPass, passes, electrical.Cabin)
	out.Work = s.addWork(out.Work, catalog.TaskTestSystem, 1, electrical.Cabin)
}

// usedRoutes gives the routes that any cable of the job takes, in the vehicle's
// order.
func (s *solver) usedRoutes(out *Design) []int {
	used := make([]bool, len(s.vehicle.Routes))
	for i := range out.Circuits {
		for _, r := range out.Circuits[i].Routes {
			used[r] = true
		}
	}
	for i := range out.Leads {
		for _, r := range out.Leads[i].Routes {
			used[r] = true
		}
	}
	var list []int
	for i, u := range used {
		if u {
			list = append(list, i)
		}
	}
	return list
}

// packing is how much thicker a round bundle is than the root of the sum of its
// cables' squared diameters (common practice, no source).
const packing = 1.2

// bundleThrough gives the thickness of all cables that go through a route.
func bundleThrough(out *Design, route int) quantity.Millimetres {
	squares := 0.0
	for _, run := range runsThrough(out, route) {
		d := float64(run.Conductor.OuterDiameter)
		squares += d * d
	}
	return quantity.Millimetres(packing * math.Sqrt(squares))
}

func contains(list []int, n int) bool {
	for _, one := range list {
		if one == n {
			return true
		}
	}
	return false
}

// Spacing of clamps (boats: ABYC E-11, 18 in, from memory; the rest common
// practice, no source).
func clampSpacing(c electrical.Category) quantity.Millimetres {
	switch c {
	case electrical.Boat:
		return 450
	case electrical.Motorcycle:
		return 300
	}
	return 600
}

// laySundries is loom, clamps and labels of a circuit whose feed goes a way, alone
// or with its return; boot is the cover of a battery terminal.
func (s *solver) laySundries(feed *path, p pair, alone, boot bool) []Material {
	outer := p.feed.OuterDiameter
	if !alone {
		outer += p.back.OuterDiameter
	}
	var out []Material
	if loom := s.smallest(catalog.UseLoom, outer); loom != nil {
		out = append(out, Material{loom, cutMillimetres(feed.length)})
	}
	if clamp := s.smallest(catalog.UseClamp, outer); clamp != nil {
		out = append(out, Material{clamp, ceilDiv(feed.length, clampSpacing(s.vehicle.Category)) * 1000})
	}
	if label := s.smallest(catalog.UseLabel, 0); label != nil {
		out = append(out, Material{label, 2 * labelledRuns * 1000})
	}
	if cover := s.smallest(catalog.UseBoot, p.feed.OuterDiameter); cover != nil && boot {
		out = append(out, Material{cover, 1000})
	}
	return out
}

// materialNano is the price of sundries at unit prices, whole packs left aside.
func materialNano(list []Material) int64 {
	sum := int64(0)
	for _, m := range list {
		sum += m.Sundry.LengthNano(m.Milli)
	}
	return sum
}

func (s *solver) workNano(list []catalog.Work) int64 {
	sum := int64(0)
	for _, w := range list {
		sum += s.cat.Shop.LabourNano(w.MilliMinutes)
	}
	return sum
}

func (s *solver) grommet(bore quantity.Millimetres) *catalog.Sundry {
	if bore == 0 {
		return nil
	}
	return s.smallest(catalog.UseGrommet, bore)
}

// smallest gives the tightest sundry of a use that takes the diameter, else the
// widest there is; nil where the shop has none.
func (s *solver) smallest(use catalog.Use, outer quantity.Millimetres) *catalog.Sundry {
	var best, widest *catalog.Sundry
	for _, x := range s.cat.SundriesFor(use) {
		if x.Inner >= outer && (best == nil || x.Inner < best.Inner) {
			best = x
		}
		if widest == nil || x.Inner > widest.Inner {
			widest = x
		}
	}
	if best != nil {
		return best
	}
	return widest
}
