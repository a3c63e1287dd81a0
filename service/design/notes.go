package design

import (
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// facts is what the cautions look at.
type facts struct {
	vehicle *catalog.Vehicle
	zones   []*catalog.Zone // that the job touches
	plans   []circuitPlan
	design  *Design
}

// cautionRule is one caution: when it applies, and the fact that called for it.
type cautionRule struct {
	code     string
	severity Severity
	applies  func(*facts) (electrical.Reason, bool)
}

// because is a fact without figures.
func because(code string) (electrical.Reason, bool) {
	return electrical.Because("fact."+code, ""), true
}

var no = electrical.Reason{}

// cautions is every caution in the order shown (design section 11).
var cautions = []cautionRule{
	{"high_voltage", Danger, onFuel(catalog.Electric, "electric_vehicle")},
	{"battery_ground_first", Danger, always("every_job")},
	{"engine_stopped", Danger, always("every_job")},
	{"lithium", Danger, onChemistry(true)},
	{"lead_acid_gas", Danger, onChemistry(false)},
	{"petrol_vapour", Danger, onVapour},
	{"hot_work", Danger, onSolder},
	{"fumes", Fault, onSolder},
	{"shrink_heat", Fault, always("sleeves")},
	{"restraints", Danger, onRestraints},
	{"drilling", Danger, onDrilling},
	{"moving_parts", Danger, onSteering},
	{"ignition_protection", Danger, onBoatPetrol},
	{"bilge_pump", Danger, onBilge},
	{"bonding", Fault, onCategory(electrical.Boat)},
	{"mains", Danger, onKind(electrical.Inverter)},
	{"precharge", Fault, onCapacitors},
	{"meter_socket", Fault, onLargeLoad},
	{"blown_fuse", Danger, always("every_job")},
	{"defer", Fault, always("every_job")},
}

func (s *solver) notes(plans []circuitPlan, out *Design) []Note {
	f := &facts{vehicle: s.vehicle, zones: s.touched(plans), plans: plans, design: out}
	var notes []Note
	for _, rule := range cautions {
		if reason, ok := rule.applies(f); ok {
			notes = append(notes, Note{Code: rule.code, Severity: rule.severity, Because: reason})
		}
	}
	return notes
}

// touched gives the zones that the job works in or passes, in the vehicle's order.
func (s *solver) touched(plans []circuitPlan) []*catalog.Zone {
	ids := map[string]bool{}
	for i := range plans {
		ids[plans[i].origin.Zone] = true
		ids[plans[i].device.Zone] = true
		for _, r := range plans[i].need.feed.routes {
			ids[s.vehicle.Routes[r].From], ids[s.vehicle.Routes[r].To] = true, true
		}
	}
	var out []*catalog.Zone
	for i := range s.vehicle.Zones {
		if ids[s.vehicle.Zones[i].ID] {
			out = append(out, &s.vehicle.Zones[i])
		}
	}
	return out
}

type condition = func(*facts) (electrical.Reason, bool)

func always(fact string) condition {
	return func(*facts) (electrical.Reason, bool) { return because(fact) }
}

func onFuel(fuel catalog.Fuel, fact string) condition {
	return func(f *facts) (electrical.Reason, bool) {
		if f.vehicle.Fuel != fuel {
			return no, false
		}
		return because(fact)
	}
}

func onCategory(c electrical.Category) condition {
	return func(f *facts) (electrical.Reason, bool) {
		if f.vehicle.Category != c {
			return no, false
		}
		return because("category_" + string(c))
	}
}

func onKind(kind electrical.DeviceKind) condition {
	return func(f *facts) (electrical.Reason, bool) {
		for i := range f.plans {
			if f.plans[i].device.Kind == kind {
				return electrical.Because("fact.device", "", electrical.Name("device", labelOf(&f.plans[i].device))), true
			}
		}
		return no, false
	}
}

func onChemistry(lithium bool) condition {
	return func(f *facts) (electrical.Reason, bool) {
		for _, b := range f.vehicle.Batteries {
			if (b.Chemistry == electrical.Lithium) == lithium {
				return electrical.Because("fact.battery", "", electrical.Name("battery", b.ID), electrical.Word("chemistry", b.Chemistry)), true
			}
		}
		return no, false
	}
}

func onVapour(f *facts) (electrical.Reason, bool) {
	for _, z := range f.zones {
		if z.Vapour {
			return zoneFact("fact.vapour", z)
		}
	}
	return no, false
}

func zoneFact(code string, z *catalog.Zone) (electrical.Reason, bool) {
	name := z.Label
	if name == "" {
		name = z.ID
	}
	return electrical.Because(code, "", electrical.Name("zone", name)), true
}

func onRestraints(f *facts) (electrical.Reason, bool) {
	for _, z := range f.zones {
		if z.Restraints {
			return zoneFact("fact.restraints", z)
		}
	}
	return no, false
}

func onSolder(f *facts) (electrical.Reason, bool) {
	count := 0
	for i := range f.design.Circuits {
		count += solderedEnds(&f.design.Circuits[i])
	}
	if f.design.Straps != nil {
		count += solderedEnds(f.design.Straps)
	}
	for i := range f.design.Leads {
		count += solderedEnds(&f.design.Leads[i].Circuit)
	}
	return electrical.Because("fact.soldered_ends", "", electrical.Num("ends", count, electrical.UnitCount)), count > 0
}

func solderedEnds(c *Circuit) int {
	count := 0
	for _, r := range c.Runs {
		for _, e := range r.Ends {
			if e.Plan.Soldered() {
				count++
			}
		}
	}
	return count
}

func onDrilling(f *facts) (electrical.Reason, bool) {
	for i := range f.plans {
		if f.plans[i].need.chassis {
			return zoneFact("fact.ground_point", f.plans[i].zone)
		}
	}
	for i := range f.plans {
		for _, r := range f.plans[i].need.feed.routes {
			if f.vehicle.Routes[r].Grommets > 0 {
				return because("panel_pass")
			}
		}
	}
	return no, false
}

func onSteering(f *facts) (electrical.Reason, bool) {
	switch f.vehicle.Category {
	case electrical.Motorcycle, electrical.SideBySide:
		return because("category_" + string(f.vehicle.Category))
	}
	return no, false
}

func onBoatPetrol(f *facts) (electrical.Reason, bool) {
	if f.vehicle.Category != electrical.Boat || f.vehicle.Fuel != catalog.Petrol && f.vehicle.Fuel != catalog.Gas {
		return no, false
	}
	return because("petrol_boat")
}

func onBilge(f *facts) (electrical.Reason, bool) {
	if f.vehicle.Category != electrical.Boat {
		return no, false
	}
	return onKind(electrical.Pump)(f)
}

// capacitorCurrent is where a device's input capacitors are large enough to pit a
// contact when it is connected (common practice, no source).
const capacitorCurrent quantity.Amps = 80

func onCapacitors(f *facts) (electrical.Reason, bool) {
	for i := range f.plans {
		p := &f.plans[i]
		if (p.device.Kind == electrical.Inverter || p.device.Kind == electrical.Amplifier) && p.need.load >= capacitorCurrent {
			return electrical.Because("fact.large_capacitors", "", electrical.Name("device", labelOf(&p.device)), electrical.Num("current_a", p.need.load, electrical.UnitA)), true
		}
	}
	return no, false
}

// meterSocket is the usual limit of a hand meter's current socket.
const meterSocket quantity.Amps = 10

func onLargeLoad(f *facts) (electrical.Reason, bool) {
	for i := range f.plans {
		if f.plans[i].need.peak > meterSocket {
			return electrical.Because("fact.large_load", "", electrical.Name("device", labelOf(&f.plans[i].device)), electrical.Num("current_a", f.plans[i].need.peak, electrical.UnitA)), true
		}
	}
	return no, false
}

func sortedKeys(set map[string]bool) []string {
	out := make([]string, 0, len(set))
	for k := range set {
		out = append(out, k)
	}
	sort.Strings(out)
	return out
}
