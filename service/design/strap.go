package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// strapLength is a ground strap, from post to body or from body to engine (common
// practice, no source).
const strapLength quantity.Metres = 0.6

// strapsID is the id that straps are priced under.
const strapsID = "body/straps"

// strapping is the straps of a job, which let the body carry more than it may as it
// is, and what they cost.
type strapping struct {
	circuit Circuit
	nano    int64
}

// overBody gives what all returns over the body add to it.
func overBody(plans []circuitPlan) quantity.Amps {
	sum := quantity.Amps(0)
	for i := range plans {
		if plans[i].need.chassis {
			sum += plans[i].need.peak
		}
	}
	return sum
}

// planStraps plans a strap beside the old one from every battery whose circuits
// return over the body, and one to the engine where an alternator sits on it. Each
// carries what comes through it, as a fuse's load would: at 80 % of what it bears.
// False where a strap cannot be made or the shop has no time for one.
func (s *solver) planStraps(plans []circuitPlan) (*strapping, bool) {
	op, ok := s.cat.Operation(catalog.TaskStrap, quantity.Size{})
	if !ok {
		return nil, false
	}
	sum := overBody(plans)
	out := &strapping{circuit: Circuit{ID: strapsID, Kind: StrapCircuit, Load: sum, Peak: sum}}
	out.circuit.Reasons = []electrical.Reason{electrical.Because("return.straps", "common practice, no source",
		electrical.Num("current_a", sum, electrical.UnitA), electrical.Num("limit_a", s.cat.Shop.Defaults.ChassisMax, electrical.UnitA))}
	add := func(id string, i quantity.Amps, at *catalog.Zone, from Point, landing catalog.Landing, to Point) bool {
		run, nano, ok := s.strapCable(i, at, landing, from)
		if !ok {
			return false
		}
		run.ID, run.From, run.To = strapsID+"/"+id, from, to
		work := s.cat.Shop.WorkOf(op, 1000, at.Environment)
		out.circuit.Runs = append(out.circuit.Runs, run)
		out.circuit.Work = append(out.circuit.Work, work)
		out.nano += nano + s.workNano([]catalog.Work{work})
		return true
	}
	for i := range s.vehicle.Batteries {
		b := &s.vehicle.Batteries[i]
		from := s.originOf(b.ID)
		share := overBody(fedFrom(plans, from))
		if share == 0 {
			continue
		}
		landing, kind, _ := s.returnLanding(&circuitPlan{origin: from})
		if !add(b.ID, share, s.routes.zone(b.Zone), Point{kind, b.ID}, landing, Point{AtChassis, b.Zone}) {
			return nil, false
		}
	}
	if engine := s.engine(); engine != nil {
		return out, add("engine", sum, engine, Point{AtEngine, engine.ID}, groundLanding(engine), Point{AtChassis, engine.ID})
	}
	return out, true
}

// fedFrom gives the circuits that a battery or converter feeds.
func fedFrom(plans []circuitPlan, from *origin) []circuitPlan {
	var out []circuitPlan
	for i := range plans {
		if plans[i].origin == from {
			out = append(out, plans[i])
		}
	}
	return out
}

// engine gives the zone of an engine that carries an alternator; nil without one.
func (s *solver) engine() *catalog.Zone {
	if s.vehicle.Charging.Kind != catalog.Alternator {
		return nil
	}
	for i := range s.vehicle.Zones {
		if z := &s.vehicle.Zones[i]; z.Environment == electrical.EngineSpace {
			return z
		}
	}
	return nil
}

// strapCable gives the cheapest cable, with its ends, that carries a current from a
// landing to the body of a zone.
func (s *solver) strapCable(i quantity.Amps, at *catalog.Zone, landing catalog.Landing, from Point) (Run, int64, bool) {
	n := need{defaults: &s.cat.Shop.Defaults, category: s.vehicle.Category, load: i, chassis: true}
	var way path
	way.add(sectionIn(at), strapLength)
	thinnest, _ := electrical.MinimumSize(n.category, at.Environment)
	body := groundLanding(at)
	var best Run
	var least int64
	for _, p := range s.pairs {
		cable := p.back
		w, ok := n.wireIn(cable.Conductor, &way)
		if !ok || catalog.Thinner(cable.Size, thinnest) || float64(i) > n.defaults.LoadShare*float64(w.ampacity) {
			continue
		}
		var t tally
		near, ok := s.end(cable, landing, at.Environment, from.Kind == AtBatteryNegative, from.Kind, &t)
		far, also := s.end(cable, body, at.Environment, false, AtChassis, &t)
		nano := cable.LengthNano(cutMillimetres(strapLength)) + near.Nano + far.Nano
		if !ok || !also || best.Conductor != nil && nano >= least {
			continue
		}
		r := quantity.Ohms(float64(w.perMetre) * float64(strapLength))
		least, best = nano, Run{Polarity: Return, Length: strapLength, Conductor: cable, Current: i, Ampacity: w.ampacity, Resistance: r, Drop: i.Through(r),
			Temperature: w.temperature, Environment: w.environment, Ends: [2]End{{landing, near}, {body, far}}}
	}
	return best, least, best.Conductor != nil
}
