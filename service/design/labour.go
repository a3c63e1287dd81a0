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

// circuitWork is the labour of a circuit besides its ends.
func (s *solver) circuitWork(c *circuitPlan, b *choice) []catalog.Work {
	var work []catalog.Work
	if w, ok := s.mountWork(c, b.with.fuse.Family); ok {
		work = append(work, w)
	}
	work = append(work, s.pullWork(c, b.pair.feed.Size)...)
	shop := &s.cat.Shop
	if op, ok := s.operation(catalog.TaskLoom, quantity.Size{}); ok {
		for _, section := range c.need.feed.sections {
			work = append(work, shop.WorkOf(op, cutMillimetres(section.length), section.environment))
		}
	}
	const labelledRuns = 2 // feed and return
	work = s.addWork(work, catalog.TaskLabel, labelledRuns, electrical.Cabin)
	work = s.addWork(work, catalog.TaskTestCircuit, 1, electrical.Cabin)
	if op, ok := s.cat.FitOperation(c.device.Kind); !ok {
		s.noTime = &Unmet{Constraint: "labour", At: c.device.ID, Figures: []electrical.Figure{electrical.Word("task", catalog.TaskFitDevice)}}
	} else {
		work = append(work, shop.WorkOf(op, int64(max(1, c.device.Quantity))*1000, c.zone.Environment))
	}
	return work
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
	s.jobWork(plans, out)
	s.advise(plans, out)
	out.Notes = s.notes(plans, out)
	out.Assumptions = s.assumptions(plans, out)
}

func (s *solver) jobWork(plans []circuitPlan, out *Design) {
	used := s.usedRoutes(plans)
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
		if g := s.grommet(s.bundleThrough(plans, out, i)); g != nil && route.Grommets > 0 {
			out.Sundries = append(out.Sundries, Material{g, int64(route.Grommets) * 1000})
		}
	}
	out.Work = s.addWork(out.Work, catalog.TaskPass, passes, electrical.Cabin)
	out.Work = s.addWork(out.Work, catalog.TaskTestSystem, 1, electrical.Cabin)
}

// usedRoutes gives the routes that any circuit takes, in the vehicle's order.
func (s *solver) usedRoutes(plans []circuitPlan) []int {
	used := make([]bool, len(s.vehicle.Routes))
	for i := range plans {
		for _, r := range plans[i].need.feed.routes {
			used[r] = true
		}
	}
	var out []int
	for i, u := range used {
		if u {
			out = append(out, i)
		}
	}
	return out
}

// packing is how much thicker a round bundle is than the root of the sum of its
// cables' squared diameters (common practice, no source).
const packing = 1.2

// bundleThrough gives the thickness of all cables that go through a route.
func (s *solver) bundleThrough(plans []circuitPlan, out *Design, route int) quantity.Millimetres {
	squares := 0.0
	for i := range plans {
		if !contains(plans[i].need.feed.routes, route) {
			continue
		}
		for _, run := range out.Circuits[i].Runs {
			if run.ID == plans[i].device.ID+"/feed" || run.Polarity == Return && !plans[i].need.chassis {
				d := float64(run.Conductor.OuterDiameter)
				squares += d * d
			}
		}
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

// circuitSundries is loom, clamps and labels of a circuit.
func (s *solver) circuitSundries(c *circuitPlan, b *choice) []Material {
	outer := b.pair.feed.OuterDiameter
	if !c.need.chassis {
		outer += b.pair.back.OuterDiameter
	}
	var out []Material
	if loom := s.smallest(catalog.UseLoom, outer); loom != nil {
		out = append(out, Material{loom, cutMillimetres(c.need.feed.length)})
	}
	if clamp := s.smallest(catalog.UseClamp, outer); clamp != nil {
		out = append(out, Material{clamp, ceilDiv(c.need.feed.length, clampSpacing(s.vehicle.Category)) * 1000})
	}
	if label := s.smallest(catalog.UseLabel, 0); label != nil {
		const labelsPerCircuit = 4 // both ends of feed and return
		out = append(out, Material{label, labelsPerCircuit * 1000})
	}
	if boot := s.smallest(catalog.UseBoot, 0); boot != nil && b.ends.source != nil {
		out = append(out, Material{boot, 1000})
	}
	return out
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
