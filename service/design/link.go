package design

import (
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// converterInput is the input current of a DC-DC charger over its rated output
// (common practice, no source).
const converterInput quantity.Amps = 1.2

// inputSide and outputSide tell the ids of the two circuits of a DC-DC charger apart.
const inputSide, outputSide = "-in", "-out"

// Side tells which circuit of a DC-DC charger it is.
type Side string

// The sides; none elsewhere.
const (
	InputSide  Side = "input"
	OutputSide Side = "output"
)

// linkDevices turns the links that a job installs into circuits. A charging source
// is fed from, that is fused at, the battery it charges; a DC-DC charger stands in
// the zone of that battery and has a feed from each side; a split relay or a
// parallel connection is one feed with a fuse at both ends.
func linkDevices(v *catalog.Vehicle, links []catalog.Link, cat *catalog.Catalog) []Device {
	off := false
	var out []Device
	add := func(l *catalog.Link, id, from, zone string, current quantity.Amps) *Device {
		label := l.Label
		if label == "" {
			label = l.ID
		}
		out = append(out, Device{ID: id, Label: label, Kind: electrical.Charger, Zone: zone, FedFrom: from, Load: electrical.Load{Current: current}, UsedEngineOff: &off, link: l.Kind})
		return &out[len(out)-1]
	}
	for i := range links {
		l := &links[i]
		to := batteryOf(v, l.To)
		switch l.Kind {
		case catalog.DCDCCharger:
			in := add(l, l.ID+inputSide, l.From, to.Zone, l.Rated*converterInput)
			in.EquipmentSKU, in.side = l.EquipmentSKU, InputSide
			output := add(l, l.ID+outputSide, l.To, to.Zone, l.Rated)
			output.side = OutputSide
			if e, ok := cat.Device(l.EquipmentSKU); ok { // its terminals are alike on both sides
				output.Maker.Positive, output.Maker.Negative = e.Positive, e.Negative
			}
		case catalog.ShoreCharger, catalog.Solar:
			add(l, l.ID, l.To, l.From, l.Rated).EquipmentSKU = l.EquipmentSKU
		default:
			d := add(l, l.ID, l.From, to.Zone, l.Rated)
			d.EquipmentSKU, d.farBattery = l.EquipmentSKU, to.ID
			post := postLanding(to)
			d.Maker.Positive, d.Maker.Negative = post, post
		}
	}
	return out
}

// joinsBatteries tells that the circuit ends at another battery, whose end is
// fused too.
func (c *circuitPlan) joinsBatteries() bool { return c.far != nil }

// farEnds is what the second fuse of a link adds; the zero farEnds for no link.
type farEnds struct {
	holder *catalog.Holder
	end    termination.Plan // each side of the holder; where it sits on the post, the link's own end
	r      quantity.Ohms
	nano   int64
}

// onPost tells that the link ends on a fuse that sits on the far battery's post.
func (f *farEnds) onPost() bool { return f.holder != nil && f.holder.OnPost() }

// sku is the far holder's, empty for no link.
func (f *farEnds) sku() string {
	if f.holder == nil {
		return ""
	}
	return f.holder.SKU
}

// farFuses gives the holders in which the second fuse of a link, equal to the first,
// can sit beside the battery at the far end; of a circuit that is no link the one zero
// farEnds.
func (s *solver) farFuses(c *circuitPlan, p pair, w *wires, fuse *catalog.Fuse, t *tally) []farEnds {
	if !c.joinsBatteries() {
		return []farEnds{{}}
	}
	var out []farEnds
	for _, with := range s.protections {
		if with.fuse != fuse {
			continue
		}
		if found, ok := s.farFuse(c, p, w, with, t); ok {
			out = append(out, found)
		}
	}
	return out
}

// farFuse plans the second fuse in one holder; false where it cannot sit there.
func (s *solver) farFuse(c *circuitPlan, p pair, w *wires, with protection, t *tally) (farEnds, bool) {
	n := &c.need
	zone := s.routes.zone(c.far.Zone)
	switch {
	case !sitsAt(with.holder, c.far):
		t.count(bindPost)
		return farEnds{}, false
	case electrical.NeedsSealing(zone.Environment) && !with.holder.Sealed, zone.Vapour && !with.fuse.IgnitionProtected && !with.holder.IgnitionProtected:
		t.count(bindFarFuse)
		return farEnds{}, false
	}
	far := s.farNeed(c)
	if !far.fuseSuits(with.fuse) {
		t.count(bindFuseRating)
		return farEnds{}, false
	}
	if _, ok := far.interrupts(with.fuse, with.figures, w, far.tailTo(with.holder)); !ok {
		t.count(bindInterrupting)
		return farEnds{}, false
	}
	end, ok := s.end(p.feed, with.holder.Landing, zone.Environment, false, AtFarFuse, t)
	if !ok {
		return farEnds{}, false
	}
	out := farEnds{holder: with.holder, end: end}
	out.r = electrical.FuseResistance(with.figures, with.fuse.Rating, max(n.peak, n.load)) + with.figures.Contacts
	out.nano = with.fuse.UnitNano + with.holder.UnitNano + s.workNano(s.farMount(c, with.fuse.Family))
	if with.holder.OnPost() {
		out.r += electrical.BatteryClamp
		return out, true
	}
	out.r += 2 * end.Resistance
	out.nano += 2*end.Nano + s.bootNano(p.feed, true)
	return out, true
}

// farNeed is a link's need at the battery at its far end: that battery's bank, and
// the place and surroundings of the fuse beside it.
func (s *solver) farNeed(c *circuitPlan) need {
	far, zone := c.need, s.routes.zone(c.far.Zone)
	far.bank = bankOf(s.vehicle, c.far)
	far.restVolts = far.source.RestVolts(c.far.Chemistry)
	far.holderAt = sectionIn(zone)
	far.placement = far.defaults.PlacementOf(s.vehicle.Category, c.far.Chemistry, zone.Environment, s.vehicle.OutboardOnly)
	run := far.feed.length - c.need.tail
	if far.relay {
		run -= s.relayLoops()
	}
	far.tail = min(far.placement.Limit, run/2)
	return far
}

// farMount is the labour of mounting the second holder.
func (s *solver) farMount(c *circuitPlan, f electrical.Family) []catalog.Work {
	w, ok := s.mountWork(c.far.Zone, f)
	if !ok {
		return nil
	}
	return []catalog.Work{w}
}

// throughFarFuse splits the last run of a link at its second fuse, or ends it there
// where that fuse sits on the post.
func (s *solver) throughFarFuse(c *circuitPlan, b *choice, runs []Run) []Run {
	if !c.joinsBatteries() {
		return runs
	}
	last := runs[len(runs)-1]
	holder := End{b.far.holder.Landing, b.far.end}
	if b.far.onPost() {
		end := &runs[len(runs)-1]
		end.To, end.Ends[1] = Point{AtFarFuse, c.device.ID}, holder
		return runs
	}
	far := s.farNeed(c)
	tail := far.tail
	near, rest := last, last
	share := float64(tail / last.Length)
	rest.ID, rest.From, rest.Ends[0] = c.device.ID+"/far", Point{AtFarFuse, c.device.ID}, holder
	rest.Length, rest.Drop, rest.Resistance = tail, last.Drop*quantity.Volts(share), last.Resistance*quantity.Ohms(share)
	rest.Reasons = []electrical.Reason{electrical.Because("link.both_ends", "33 CFR 183.455"), far.placement.Reason}
	near.To, near.Ends[1] = Point{AtFarFuse, c.device.ID}, holder
	near.Length, near.Drop, near.Resistance = last.Length-tail, last.Drop-rest.Drop, last.Resistance-rest.Resistance
	return append(runs[:len(runs)-1], near, rest)
}

// farProtection writes the second fuse of a link down; nil where there is none.
func (s *solver) farProtection(c *circuitPlan, b *choice) *Overcurrent {
	if !c.joinsBatteries() {
		return nil
	}
	n := s.farNeed(c)
	tail := n.tailTo(b.far.holder)
	r := b.wires.conductor.Resistance(tail, coldCable) + b.with.figures.Contacts + electrical.ColdFuseResistance(b.with.figures, b.with.fuse.Rating)
	out := &Overcurrent{Fuse: b.with.fuse, Holder: b.far.holder, Distance: tail, Zone: c.far.Zone, Interrupting: b.with.fuse.InterruptingAt(n.source.Highest),
		Prospective: n.bank.Prospective(n.restVolts, r)}
	out.Reasons = []electrical.Reason{electrical.Because("link.both_ends", "33 CFR 183.455"), n.placementReason(out)}
	return out
}

// adviseLinks warns of a lithium bank joined to an alternator's battery without a
// charger between them.
func (s *solver) adviseLinks(plans []circuitPlan, out *Design) {
	for i := range plans {
		c := &plans[i]
		if c.joinsBatteries() && (c.far.Chemistry == electrical.Lithium) != (c.origin.battery.Chemistry == electrical.Lithium) {
			out.Advice = append(out.Advice, Advice{Code: "lithium_bare_link", At: c.device.ID})
		}
	}
}

// links asks that links join what is there.
func (c *checker) links(links []catalog.Link, cat *catalog.Catalog, ids, batteries, zones map[string]bool) {
	c.count("system.links", len(links), 0, maxBatts)
	for i := range links {
		l, at := &links[i], fmt.Sprintf("system.links[%d]", i)
		c.id(at+".id", l.ID, ids)
		c.sides(at+".id", l, ids)
		known(c, at+".kind", l.Kind, catalog.LinkKinds())
		c.within(at+".rated_a", float64(l.Rated), 1, float64(electrical.MaxCurrent)/float64(converterInput), electrical.UnitA)
		c.knownBattery(at+".to", l.To, batteries)
		if _, ok := cat.Device(l.EquipmentSKU); l.EquipmentSKU != "" && !ok {
			c.add(at+".equipment_sku", "unknown_equipment", electrical.Name("given", l.EquipmentSKU))
		}
		if l.Kind == catalog.ShoreCharger || l.Kind == catalog.Solar {
			c.knownZone(at+".from", l.From, zones)
			continue
		}
		c.knownBattery(at+".from", l.From, batteries)
		if l.From == l.To {
			c.add(at+".to", "link_to_itself")
		}
	}
}

// sides enters the ids of the two circuits that a DC-DC charger becomes, so that
// no other circuit shares them.
func (c *checker) sides(field string, l *catalog.Link, seen map[string]bool) {
	if l.Kind != catalog.DCDCCharger {
		return
	}
	for _, id := range []string{l.ID + inputSide, l.ID + outputSide} {
		if seen[id] {
			c.add(field, "duplicate", electrical.Name("given", id))
		}
		seen[id] = true
	}
}

func (c *checker) knownBattery(field, id string, batteries map[string]bool) {
	if !batteries[id] {
		c.add(field, "unknown_battery", electrical.Name("given", id), electrical.Name("allowed", list(sortedKeys(batteries))))
	}
}
