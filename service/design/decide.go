package design

import (
	"example.com/lugbook/service/electrical"
)

// decision is an arrangement of drafts.
type decision struct {
	*drafts
	best arrangement
}

// decide plans, drafts and arranges all circuits. Where more returns want to go over
// the body than it takes as it is, the ways without and with heavier straps are
// weighed, first by crowded posts, then by cost; the one not taken is given too.
func (s *solver) decide(devices []Device, layout Layout) (chosen decision, other *decision, unmet *Unmet) {
	plain, unmet := s.decideOn(devices, layout)
	if !s.limited {
		return plain, nil, unmet
	}
	over, ok := s.decideStrapped(devices, layout)
	if !ok {
		return plain, nil, unmet
	}
	switch {
	case plain.drafts == nil: // it cannot be had
		return over, nil, nil
	case plain.best.crowded != over.best.crowded && plain.best.crowded, plain.best.crowded == over.best.crowded && over.best.nano < plain.best.nano:
		return over, &plain, nil
	}
	return plain, &over, nil
}

// strap adds the straps to a decision; false where it needs none after all or they
// cannot be had.
func (s *solver) strap(d *decision) bool {
	if overBody(d.plans) <= s.cat.Shop.Defaults.ChassisMax {
		return false
	}
	straps, ok := s.planStraps(d.plans)
	if ok {
		d.straps = straps
		d.best.nano += straps.nano
	}
	return ok
}

// decideStrapped decides with every return that may go over the body on it, and heavier
// straps; false where some circuit cannot be built so.
func (s *solver) decideStrapped(devices []Device, layout Layout) (decision, bool) {
	s.strapped, s.cabled = true, map[string]bool{}
	plans, unmet := s.planAll(devices)
	if unmet != nil || !bodyBears(plans) {
		return decision{}, false
	}
	drafts := s.draft(plans, layout)
	best, _, ok := drafts.best()
	out := decision{drafts, best}
	return out, ok && s.strap(&out)
}

// bodyBears tells whether what all returns together lose in the body alone leaves each
// circuit within its limit, so that it is worth while to look for parts.
func bodyBears(plans []circuitPlan) bool {
	for i := range plans {
		n := &plans[i].need
		if n.chassis && (n.peak+n.bodyShare).Through(n.chassisR) > n.totalLimit.Of(n.nominal)+dropSlack {
			return false
		}
	}
	return true
}

// decideOn decides within what the body takes as it is. A circuit that cannot be built
// with its return over the body is tried with a return cable before the job is
// given up.
func (s *solver) decideOn(devices []Device, layout Layout) (decision, *Unmet) {
	for {
		plans, unmet := s.planAll(devices)
		if unmet != nil {
			return decision{}, unmet
		}
		drafts := s.draft(plans, layout)
		best, without, ok := drafts.best()
		if ok {
			return decision{drafts, best}, nil
		}
		c := &plans[without]
		if !c.need.chassis {
			return decision{}, s.unmet(c, drafts.tallies[without])
		}
		s.cabled[c.device.ID] = true
	}
}

// turnedDown writes down the best of the layouts not taken, cheapest first, and then
// the way with or without heavier straps, whichever was not taken.
func (s *solver) turnedDown(chosen decision, other *decision) []Alternative {
	var out []Alternative
	add := func(d decision, differences []electrical.Reason) {
		if design, unmet := s.compose(d); unmet == nil {
			out = append(out, Alternative{design, differences})
		}
	}
	for i, best := range chosen.others(chosen.best) {
		if i == shownAlternatives {
			break
		}
		add(decision{chosen.drafts, best}, chosen.contents(best))
	}
	if other == nil {
		return out
	}
	with := electrical.Because("layout.returns_instead", "")
	if other.straps != nil {
		with = electrical.Because("layout.straps_instead", "", electrical.Num("current_a", other.straps.circuit.Peak, electrical.UnitA))
	}
	add(*other, append(other.contents(other.best), with))
	return out
}

// shownAlternatives is how many of the layouts turned down are reported.
const shownAlternatives = 2
