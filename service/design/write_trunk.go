package design

import (
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// trunkID names the trunk of a battery into a zone. No id of the input holds a
// slash, so it is nobody else's.
func trunkID(g *group) string {
	kind := "trunk/"
	if g.hub {
		kind = "hub/"
	}
	id := kind + g.origin.ID + "/" + g.zone.ID
	if g.part > 1 {
		return fmt.Sprintf("%s/%d", id, g.part)
	}
	return id
}

// writeTrunk turns a trunk choice into its circuit, its blocks and its branches.
func (s *solver) writeTrunk(t *trunkChoice, plans []circuitPlan) ([]Circuit, []BlockUse) {
	g, n := t.group, &t.need
	out := Circuit{ID: trunkID(g), Kind: TrunkCircuit, Short: t.short, FedFrom: g.origin.ID, Zone: g.zone.ID, Part: g.part, Routes: n.feed.routes, Load: n.load, Peak: max(n.load, n.peak),
		Protection: s.writeMain(t), Runs: s.writeTrunkRuns(t), Running: t.check(n.source.Running, t.drop.feed+t.drop.back, n.totalLimit)}
	out.Reasons = []electrical.Reason{electrical.Because("trunk.load", "", electrical.Num("current_a", n.load, electrical.UnitA), electrical.Num("branches", len(t.branches), electrical.UnitCount))}
	if w, ok := s.mountWork(g.origin.Zone, t.main.fuse.Family); ok {
		out.Work = append(out.Work, w)
	}
	out.Work = append(out.Work, s.layWork(&n.feed, t.pair.feed.Size)...)
	out.Work = append(out.Work, s.blockWork(g, n.hasReturn, len(t.branches))...)
	out.Sundries = s.laySundries(&n.feed, t.pair, !n.hasReturn, t.ends.source != nil)
	circuits := []Circuit{out}
	cabled := 0
	for i := range t.branches {
		c := &plans[t.branches[i].index]
		circuits[0].DeviceIDs = append(circuits[0].DeviceIDs, c.device.ID)
		circuits = append(circuits, s.writeBranch(t, &t.branches[i], t.picked[i], c))
		if !c.need.chassis {
			cabled++
		}
	}
	blocks := []BlockUse{{ID: out.ID + "/block", Zone: g.zone.ID, Part: t.with.block, FedBy: out.ID, Ways: len(t.branches)}}
	if n.hasReturn {
		blocks = append(blocks, BlockUse{ID: out.ID + "/bus", Zone: g.zone.ID, Part: t.with.bus, FedBy: out.ID, Ways: cabled})
	}
	return circuits, blocks
}

func (t *trunkChoice) check(source, drop quantity.Volts, limit quantity.Percent) VoltageCheck {
	n := &t.need
	return VoltageCheck{Source: source, Device: source - drop, Drop: drop, DropPercent: quantity.Percent(drop / n.nominal * 100), LimitPercent: limit,
		ConductorDrop: t.drop.conductorFeed + t.drop.conductorBack, ConductorLimitPercent: n.conductorLimit, Pass: true}
}

func (s *solver) writeMain(t *trunkChoice) Overcurrent {
	n, fuse := &t.need, t.main.fuse
	largest := quantity.Amps(0)
	for _, o := range t.picked {
		largest = max(largest, o.fuse.Rating)
	}
	o := Overcurrent{Fuse: fuse, Holder: t.main.holder, Distance: n.tailTo(t.main.holder), ByConverter: t.group.origin.isConverter(), Zone: t.group.origin.Zone, Interrupting: fuse.InterruptingAt(n.source.Highest)}
	o.Prospective = n.bank.Prospective(n.restVolts, t.wires.conductor.Resistance(o.Distance, coldCable)+t.main.figures.Contacts+electrical.ColdFuseResistance(t.main.figures, fuse.Rating))
	o.Reasons = []electrical.Reason{
		electrical.Because("fuse.trunk", "common practice, no source", electrical.Num("fuse_a", fuse.Rating, electrical.UnitA), electrical.Num("current_a", n.load, electrical.UnitA),
			electrical.Num("largest_branch_a", largest, electrical.UnitA), electrical.Num("share", n.defaults.LoadShare*100, electrical.UnitPercent)),
		electrical.Because("fuse.ampacity", electrical.SourceAmpacity, electrical.Num("fuse_a", fuse.Rating, electrical.UnitA),
			electrical.Num("ampacity_a", t.wires.ampacity(), electrical.UnitA), electrical.Num("bound_a", t.wires.ampacity(), electrical.UnitA)),
		n.interruptingReason(&o, t.interruption), n.placementReason(&o), t.short.Reason, fuse.Rated().Overload(t.wires.ampacity()).Reason,
	}
	return o
}

func (s *solver) writeTrunkRuns(t *trunkChoice) []Run {
	n, g, id := &t.need, t.group, trunkID(t.group)
	at := &circuitPlan{origin: g.origin, zone: g.zone, need: n.need}
	tail := n.tailTo(t.main.holder)
	holder, block := Point{AtFuseHolder, id}, Point{AtBlock, g.zone.ID}
	var runs []Run
	if t.ends.source != nil {
		r := s.writeRun(at, t.pair.feed, t.wires.feed, tail)
		r.ID, r.From, r.To, r.Polarity = id+"/source", g.origin.plus(), holder, Feed
		r.Ends = [2]End{{g.origin.positive, *t.ends.source}, {t.main.holder.Landing, *t.ends.holderIn}}
		r.Reasons = []electrical.Reason{n.placement.Reason}
		runs = append(runs, r)
	}
	feed := s.writeRun(at, t.pair.feed, t.wires.feed, n.feed.length-tail)
	feed.ID, feed.From, feed.To, feed.Polarity = id+"/feed", holder, block, Feed
	feed.Ends = [2]End{{t.main.holder.Landing, *t.ends.holderOut}, {t.with.block.In, t.ends.blockIn}}
	feed.Reasons = n.sizeReasons(&t.wires, t.drop.conductorFeed+t.drop.conductorBack, &n.feed, &n.back)
	runs = append(runs, feed)
	if !n.hasReturn {
		return runs
	}
	back := s.writeRun(at, t.pair.back, t.wires.back, n.back.length)
	back.Current, back.Drop = n.backPeak, n.backPeak.Through(back.Resistance)
	landing, kind, _ := s.returnLanding(at)
	back.ID, back.From, back.To, back.Polarity = id+"/return", Point{AtBus, g.zone.ID}, Point{kind, g.origin.ID}, Return
	back.Ends = [2]End{{t.with.bus.In, *t.ends.busIn}, {landing, *t.ends.backSource}}
	back.Reasons = []electrical.Reason{electrical.Because("return.trunk", "common practice, no source")}
	return append(runs, back)
}

func (s *solver) writeBranch(t *trunkChoice, b *branch, o *branchOption, c *circuitPlan) Circuit {
	n := &b.need
	conductors, total, rest := t.drop.of(n)
	out := Circuit{ID: c.device.ID, Kind: BranchCircuit, Routes: n.feed.routes, Label: labelOf(&c.device), DeviceIDs: []string{c.device.ID}, FedFrom: trunkID(t.group), Load: n.load, Peak: n.demand.Design,
		Protection: s.writeBranchFuse(t, b, o), Runs: s.writeBranchRuns(t, b, o, c), Reasons: n.reasons,
		Work: s.fitWork(s.layWork(&n.feed, o.pair.feed.Size), c), Sundries: s.laySundries(&n.feed, o.pair, n.chassis, false),
		Equipment: []Supply{{DeviceID: c.device.ID, Part: soldEquipment(c), Label: labelOf(&c.device), Count: max(1, c.device.Quantity)}}}
	if out.Relay = o.relay.use(t.group.zone.ID, n); out.Relay != nil {
		out.Work = s.addWork(out.Work, catalog.TaskRelay, 1, t.group.zone.Environment)
	}
	out.Short = t.drop.deadShort(n, o)
	out.Protection.Reasons = append(out.Protection.Reasons, out.Short.Reason, o.fuse.Rated().Overload(o.wires.ampacity()).Reason)
	selective := t.selectivity(n, o, out.Short.Fault)
	out.Selectivity = &selective
	at := &choice{wires: o.wires, total: o.total}
	out.Running = n.check(at, n.peak, n.totalDrop(o.total)+total, n.source.Running, n.totalLimit)
	out.Running.ConductorDrop += conductors
	if n.restLimit > 0 {
		off := n.check(at, n.restPeak, n.restDrop(o.total)+rest, n.restVolts, restPercent(n))
		off.ConductorDrop += t.restConductors(n)
		out.EngineOff = &off
	}
	return out
}

// restConductors is what of the trunk's conductor drop a circuit shares with the
// engine off.
func (t *trunkChoice) restConductors(n *need) quantity.Volts {
	drop := t.need.restPeak.Through(t.drop.feedWire)
	if n.chassis {
		return drop
	}
	return drop + t.need.backRest.Through(t.drop.backWire)
}

func (s *solver) writeBranchFuse(t *trunkChoice, b *branch, o *branchOption) Overcurrent {
	n := &b.need
	out := Overcurrent{Fuse: o.fuse, Block: t.with.block, Zone: t.group.zone.ID, Interrupting: o.fuse.InterruptingAt(n.source.Highest)}
	r := t.drop.faultPath + t.with.figures.Contacts + electrical.ColdFuseResistance(t.with.figures, o.fuse.Rating)
	out.Prospective = n.bank.Prospective(n.restVolts, r)
	at := &choice{with: protection{fuse: o.fuse}, wires: o.wires}
	out.Reasons = []electrical.Reason{n.ratingReason(at), electrical.Because("fuse.ampacity", electrical.SourceAmpacity, electrical.Num("fuse_a", o.fuse.Rating, electrical.UnitA),
		electrical.Num("ampacity_a", o.wires.ampacity(), electrical.UnitA), electrical.Num("bound_a", o.wires.ampacity(), electrical.UnitA)),
		electrical.Because("fuse.in_block", "33 CFR 183.455", electrical.Num("fuse_a", o.fuse.Rating, electrical.UnitA))}
	return out
}

func (s *solver) writeBranchRuns(t *trunkChoice, b *branch, o *branchOption, c *circuitPlan) []Run {
	at := *c
	at.need = b.need
	n := &b.need
	conductors, _, _ := t.drop.of(n)
	feed := s.writeRun(&at, o.pair.feed, o.wires.feed, n.feed.length)
	feed.ID, feed.From, feed.To, feed.Polarity = c.device.ID+"/feed", Point{AtBlock, t.group.zone.ID}, Point{AtDevicePositive, c.device.ID}, Feed
	feed.Ends = [2]End{{t.with.block.Out, o.ends.blockOut}, {c.positive, o.ends.devicePlus}}
	feed.Reasons = n.sizeReasons(&o.wires, o.wires.drop+conductors, &n.feed, &n.back)
	back := s.writeRun(&at, o.pair.back, o.wires.back, n.back.length)
	back.ID, back.From, back.Polarity = c.device.ID+"/return", Point{AtDeviceNegative, c.device.ID}, Return
	if n.chassis {
		landing, kind, _ := s.returnLanding(c)
		back.To = Point{kind, c.zone.ID}
		back.Ends = [2]End{{c.negative, o.ends.deviceMinus}, {landing, o.ends.back}}
		back.Reasons = []electrical.Reason{s.returnReason(c)}
	} else {
		back.To = Point{AtBus, t.group.zone.ID}
		back.Ends = [2]End{{c.negative, o.ends.deviceMinus}, {t.with.bus.Out, o.ends.back}}
		back.Reasons = []electrical.Reason{electrical.Because("return.bus", "common practice, no source")}
	}
	return append(s.throughRelay(&o.relay, feed, c.device.ID), back)
}

// sizeReasons says why a cable is this size: its drop and its ampacity.
func (n *need) sizeReasons(w *wires, drop quantity.Volts, feed, back *path) []electrical.Reason {
	size := electrical.SizeFigure("conductor", w.conductor.Size)
	return []electrical.Reason{
		electrical.Because("conductor.drop", dropSource(n.dropClass), size,
			electrical.Num("drop_v", drop, electrical.UnitV), electrical.Num("drop_percent", float64(drop/n.nominal*100), electrical.UnitPercent),
			electrical.Num("limit_percent", n.conductorLimit, electrical.UnitPercent), electrical.Num("length_m", feed.length, electrical.UnitM),
			electrical.Num("return_m", back.length, electrical.UnitM), electrical.Num("conductor_c", w.feed.temperature, electrical.UnitC)),
		electrical.Because("conductor.ampacity", electrical.SourceAmpacity, size,
			electrical.Num("ampacity_a", w.feed.ampacity, electrical.UnitA), electrical.Num("insulation_c", w.conductor.Rating, electrical.UnitC),
			electrical.Num("ambient_c", w.feed.ambient, electrical.UnitC), electrical.Word("environment", w.feed.environment)),
	}
}
