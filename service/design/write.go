package design

import (
	"fmt"
	"math"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

func numbered(id string, i int) string { return fmt.Sprintf("%s-%d", id, i) }

// write turns a choice into the circuit of the reply.
func (s *solver) write(c *circuitPlan, b *choice) Circuit {
	n := &c.need
	out := Circuit{ID: c.device.ID, Kind: SingleCircuit, Short: b.short, Label: labelOf(&c.device), Side: c.device.side, DeviceIDs: []string{c.device.ID}, FedFrom: c.origin.ID, Routes: n.feed.routes, Load: n.load, Peak: n.demand.Design}
	out.Protection = s.writeProtection(c, b)
	out.Relay = b.relay.use(c.origin.Zone, n)
	out.FarProtection = s.farProtection(c, b)
	out.Runs = s.writeRuns(c, b)
	out.Running = n.check(b, n.peak, n.totalDrop(b.total), n.source.Running, n.totalLimit)
	if n.restLimit > 0 {
		off := n.check(b, n.restPeak, n.restDrop(b.total), n.restVolts, restPercent(n))
		out.EngineOff = &off
	}
	out.Reasons = append(out.Reasons, n.reasons...)
	out.Work = s.circuitWork(c, b)
	out.Sundries = s.laySundries(&n.feed, b.pair, n.chassis, b.ends.source != nil)
	if cover := s.smallest(catalog.UseBoot, b.pair.feed.OuterDiameter); cover != nil && c.joinsBatteries() && !b.far.onPost() {
		out.Sundries = append(out.Sundries, Material{cover, 1000})
	}
	out.Equipment = []Supply{{DeviceID: c.device.ID, Part: soldEquipment(c), Label: labelOf(&c.device), Count: max(1, c.device.Quantity)}}
	return out
}

// labelOf gives the device's name for people: its label, else its id.
func labelOf(d *Device) string {
	if d.Label != "" {
		return d.Label
	}
	return d.ID
}

func soldEquipment(c *circuitPlan) *catalog.Equipment {
	if c.device.CustomerSupplied {
		return nil
	}
	return c.equipment
}

// restPercent is the engine-off limit as a share of nominal.
func restPercent(n *need) quantity.Percent {
	return quantity.Percent((n.restVolts - n.restLimit) / n.nominal * 100)
}

// check sets a drop beside its limits; the choice has passed them.
func (n *need) check(b *choice, i quantity.Amps, drop, source quantity.Volts, limit quantity.Percent) VoltageCheck {
	return VoltageCheck{
		Source: source, Device: source - drop, Drop: drop, DropPercent: quantity.Percent(drop / n.nominal * 100), LimitPercent: limit,
		ConductorDrop: i.Through(b.wires.resistance), ConductorLimitPercent: n.conductorLimit, Pass: true,
	}
}

func (s *solver) writeProtection(c *circuitPlan, b *choice) Overcurrent {
	n, fuse := &c.need, b.with.fuse
	o := Overcurrent{Fuse: fuse, Holder: b.with.holder, Distance: n.tailTo(b.with.holder), ByConverter: c.origin.isConverter(), Zone: c.origin.Zone,
		Interrupting: fuse.InterruptingAt(n.source.Highest)}
	o.Prospective = n.bank.Prospective(n.restVolts, b.wires.conductor.Resistance(o.Distance, coldCable)+b.with.figures.Contacts+electrical.ColdFuseResistance(b.with.figures, fuse.Rating))
	o.Reasons = append(o.Reasons, n.ratingReason(b), electrical.Because("fuse.ampacity", electrical.SourceAmpacity,
		electrical.Num("fuse_a", fuse.Rating, electrical.UnitA), electrical.Num("ampacity_a", b.wires.ampacity(), electrical.UnitA), electrical.Num("bound_a", n.fuseBound(&b.wires), electrical.UnitA)))
	o.Reasons = append(o.Reasons, n.interruptingReason(&o, b.interruption), n.placementReason(&o), b.short.Reason, fuse.Rated().Overload(b.wires.ampacity()).Reason)
	return o
}

// interruptingReason says why a fuse can break the fault behind it.
func (n *need) interruptingReason(o *Overcurrent, i electrical.Interruption) electrical.Reason {
	r := i.Reason
	r.Figures = append(append([]electrical.Figure{}, r.Figures...),
		electrical.Num("interrupting_a", o.Interrupting, electrical.UnitA), electrical.Num("required_a", i.Required, electrical.UnitA))
	if n.bank.AcceptsRoadFamilies(o.Fuse.Family, n.category) && o.Interrupting < i.Required {
		r.Rule, r.Source = "fuse.interrupting_road", "common practice, no source"
	}
	return r
}

// placementReason says why a fuse sits where it does.
func (n *need) placementReason(o *Overcurrent) electrical.Reason {
	if o.Distance == 0 {
		return electrical.Because("placement.on_post", "33 CFR 183.455(b)")
	}
	return n.placement.Reason
}

// ratingReason says what set the rating.
func (n *need) ratingReason(b *choice) electrical.Reason {
	fuse := electrical.Num("fuse_a", b.with.fuse.Rating, electrical.UnitA)
	load := electrical.Num("current_a", n.load, electrical.UnitA)
	required := electrical.Num("required_a", n.requiredRating(), electrical.UnitA)
	switch {
	case n.makerFuse > 0:
		return electrical.Because("fuse.maker", "the maker's instructions", fuse, load)
	case n.shortTime():
		return electrical.Because("fuse.short_time", "common practice, no source", fuse, electrical.Num("peak_a", n.peak, electrical.UnitA), electrical.Num("on_s", n.duty.On.Seconds(), electrical.UnitS))
	case n.fuseFloor > 0 && n.fuseFloor >= n.load/quantity.Amps(n.defaults.LoadShare):
		return electrical.Because("fuse.onboard", "common practice, no source", fuse, electrical.Num("onboard_fuse_a", n.fuseFloor, electrical.UnitA), load)
	case n.surge.Current > 0 && b.with.fuse.Rating > 2*n.requiredRating():
		return electrical.Because("fuse.surge", "common practice, no source", fuse, load, electrical.Num("surge_a", n.surge.Current, electrical.UnitA), electrical.Num("surge_s", n.surge.Duration.Seconds(), electrical.UnitS))
	}
	return electrical.Because("fuse.load", "makers' catalogues: load at most 80 % of the rating", fuse, load, required,
		electrical.Num("share", n.defaults.LoadShare*100, electrical.UnitPercent))
}

func (s *solver) writeRuns(c *circuitPlan, b *choice) []Run {
	n := &c.need
	tail := n.tailTo(b.with.holder)
	holder, post := Point{AtFuseHolder, c.device.ID}, c.origin.plus()
	from, source := holder, *b.ends.holderOut
	var runs []Run
	if b.ends.source != nil {
		r := s.writeRun(c, b.pair.feed, b.wires.feed, tail)
		r.ID, r.From, r.To, r.Polarity = c.device.ID+"/source", post, holder, Feed
		r.Ends = [2]End{{c.origin.positive, *b.ends.source}, {b.with.holder.Landing, *b.ends.holderIn}}
		r.Reasons = []electrical.Reason{n.placement.Reason}
		runs = append(runs, r)
	} else {
		from = Point{AtFuseHolder, c.device.ID}
	}
	feed := s.writeRun(c, b.pair.feed, b.wires.feed, n.feed.length-tail)
	feed.ID, feed.From, feed.To, feed.Polarity = c.device.ID+"/feed", from, Point{AtDevicePositive, c.device.ID}, Feed
	feed.Ends = [2]End{{b.with.holder.Landing, source}, {c.positive, b.ends.devicePlus}}
	feed.Reasons = s.conductorReasons(c, b)
	back := s.writeRun(c, b.pair.back, b.wires.back, n.back.length)
	landing, kind, _ := s.returnLanding(c)
	id := c.origin.ID
	if kind == AtChassis {
		id = c.zone.ID
	}
	back.ID, back.From, back.To, back.Polarity = c.device.ID+"/return", Point{AtDeviceNegative, c.device.ID}, Point{kind, id}, Return
	back.Ends = [2]End{{c.negative, b.ends.deviceMinus}, {landing, b.ends.back}}
	back.Reasons = []electrical.Reason{s.returnReason(c)}
	runs = append(runs, s.throughRelay(&b.relay, feed, c.device.ID)...)
	return append(s.throughFarFuse(c, b, runs), back)
}

func postLanding(b *catalog.Battery) catalog.Landing {
	return catalog.Landing{Kind: catalog.OnStud, Stud: batteryStud(b)}
}

func (s *solver) writeRun(c *circuitPlan, cable *catalog.Conductor, w wire, l quantity.Metres) Run {
	r := quantity.Ohms(float64(w.perMetre) * float64(l))
	return Run{Length: l, Conductor: cable, Current: c.need.peak, Ampacity: w.ampacity, Resistance: r, Drop: c.need.peak.Through(r), Temperature: w.temperature, Environment: w.environment}
}

func (s *solver) returnReason(c *circuitPlan) electrical.Reason {
	switch {
	case c.need.chassis:
		return electrical.Because("return.chassis", "common practice, no source", electrical.Num("allowance_mohm", c.need.chassisR.Milliohms(), electrical.UnitMohm))
	case s.sensorAt(c.origin):
		return electrical.Because("return.sensor", "common practice, no source")
	case c.device.Maker.ReturnToBattery:
		return electrical.Because("return.maker", "the maker's instructions")
	case c.origin.isConverter():
		return electrical.Because("return.converter", "common practice, no source")
	case s.cabled[c.device.ID]:
		return electrical.Because("return.chassis_too_much", "common practice, no source")
	case s.mayUseBody(c):
		return electrical.Because("return.chassis_full", "common practice, no source", electrical.Num("limit_a", s.cat.Shop.Defaults.ChassisMax, electrical.UnitA))
	}
	return electrical.Because("return.battery", "common practice, no source", electrical.Word("category", s.vehicle.Category))
}

// conductorReasons says why the cable is this size and not thinner.
func (s *solver) conductorReasons(c *circuitPlan, b *choice) []electrical.Reason {
	n := &c.need
	out := n.sizeReasons(&b.wires, b.wires.drop, &n.feed, &n.back)
	return append(out, s.whyNotThinner(c, b)...)
}

func dropSource(class electrical.DropClass) string {
	if class == electrical.MotorDrop {
		return "common practice, no source"
	}
	return "ABYC practice"
}

// whyNotThinner tries the next thinner cable and says what stands against it.
func (s *solver) whyNotThinner(c *circuitPlan, b *choice) []electrical.Reason {
	var thinner *pair
	for i := range s.pairs {
		if catalog.Thinner(s.pairs[i].feed.Size, b.pair.feed.Size) && s.pairs[i].feed.Material == b.pair.feed.Material {
			thinner = &s.pairs[i]
		}
	}
	if thinner == nil {
		return nil
	}
	t := &tally{}
	size := electrical.SizeFigure("thinner", thinner.feed.Size)
	if len(s.tryPair(c, *thinner, t)) > 0 {
		return []electrical.Reason{electrical.Because("conductor.thinner_dearer", "", size)}
	}
	binding := t.binding()
	if binding == bindMinimum {
		return []electrical.Reason{c.need.thinReason}
	}
	return []electrical.Reason{electrical.Because("conductor.thinner."+binding, "", c.need.thinnerFigures(thinner.feed.Conductor)...)}
}

// thinnerFigures is what a thinner conductor would come to.
func (n *need) thinnerFigures(c electrical.Conductor) []electrical.Figure {
	figures := []electrical.Figure{electrical.SizeFigure("thinner", c.Size)}
	w, ok := n.wiresOf(c)
	if !ok {
		return figures
	}
	return append(figures,
		electrical.Num("drop_v", w.drop, electrical.UnitV), electrical.Num("drop_percent", float64(w.drop/n.nominal*100), electrical.UnitPercent),
		electrical.Num("limit_percent", n.conductorLimit, electrical.UnitPercent), electrical.Num("total_limit_percent", n.totalLimit, electrical.UnitPercent),
		electrical.Num("ampacity_a", w.ampacity(), electrical.UnitA), electrical.Num("required_a", n.requiredRating(), electrical.UnitA))
}

// bindOrder is the order in which constraints are told: the one that a candidate
// got furthest with first.
var bindOrder = []string{bindShort, bindRestVolts, bindTotalDrop, bindFarFuse, bindRelay, bindInterrupting, bindIgnition, bindSealing, bindPost, bindVoltage, bindFuseAmpacity, bindFuseRating,
	bindEnd, bindConductorDrop, bindAmpacity, bindAmbient, bindMakerSize, bindMinimum}

// binding gives the constraint that binds: the last one that any candidate met.
func (t *tally) binding() string {
	for _, code := range bindOrder {
		if t.seen[code] > 0 {
			return code
		}
	}
	return "no_candidates"
}

// ceilDiv gives how many pieces of a spacing cover a length, at least one.
func ceilDiv(l quantity.Metres, spacing quantity.Millimetres) int64 {
	return max(1, int64(math.Ceil(float64(l.Millimetres()/spacing)-1e-9)))
}
