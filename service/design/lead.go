package design

import (
	"fmt"
	"math"
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// LeadKind is the sort of a lead that goes with a device.
type LeadKind string

// The kinds of lead. A relay's coil lead is a trigger lead.
const (
	SpeakerLead LeadKind = "speaker"
	TriggerLead LeadKind = "trigger"
	SignalLead  LeadKind = "signal"
)

// LeadKinds lists every kind of lead.
func LeadKinds() []LeadKind { return []LeadKind{SpeakerLead, TriggerLead, SignalLead} }

// Lead asks for leads of one kind for a device, in place of those that it would
// get by default.
type Lead struct {
	DeviceID  string
	Kind      LeadKind
	Length    quantity.Metres // where HasLength
	HasLength bool
	Impedance quantity.Ohms  // speaker: of the load, 0 = 4 Ω
	Power     quantity.Watts // speaker: rms per lead, 0 = the amplifier's share
	Count     int            // 0 counts as 1
	byDefault bool
	ToZone    string // empty = the zone with the controls
}

// LeadPlan is leads of one kind, sized and with their ends: a circuit like any
// other, but for what it carries.
type LeadPlan struct {
	Circuit
	Lead      LeadKind
	Count     int
	From, To  Point            // of each of them; no points where it is bought as it is
	Length    quantity.Metres  // of one of them, one way; 0 likewise
	LoopShare quantity.Percent // speaker: loop resistance of the load's impedance
}

// Figures of leads (common practice, no source).
const (
	speakerLoop      quantity.Percent = 5   // largest loop resistance, of the impedance
	speakerImpedance quantity.Ohms    = 4   // where none is stated
	leadFuse         quantity.Amps    = 3   // of trigger and coil leads
	turnOn           quantity.Amps    = 0.5 // the most that a turn-on terminal draws
)

// triggerSize is the thinnest trigger lead, behind a fuse of 3 A (common practice,
// no source); speaker leads are no thinner than 18 AWG.
var triggerSize, speakerSize = quantity.AWG(20), quantity.AWG(18)

// planLeads plans the leads of every device: those asked for, those that an
// amplifier gets by default, and the coil leads of relays.
func (s *solver) planLeads(plans []circuitPlan, out *Design) *Unmet {
	for i := range plans {
		c := &plans[i]
		given := map[LeadKind]int{}
		for _, l := range leadsOf(c, s.asked) {
			given[l.Kind]++
			plan, unmet := s.lead(c, l, leadID(c, l.Kind, given[l.Kind]))
			switch {
			case unmet == nil:
				out.Leads = append(out.Leads, plan)
			case l.byDefault: // nobody asked for it: the job stands without
				out.Advice = append(out.Advice, Advice{Code: "lead_left_out", At: c.device.ID, Figures: []electrical.Figure{electrical.Word("lead_kind", l.Kind)}})
			default:
				return unmet
			}
		}
	}
	for i := range out.Circuits {
		if out.Circuits[i].Relay == nil {
			continue
		}
		for k := range plans {
			if plans[k].device.ID == out.Circuits[i].ID {
				plan, unmet := s.coilLead(&plans[k], out.Circuits[i].Relay)
				if unmet != nil {
					return unmet
				}
				out.Leads = append(out.Leads, plan)
			}
		}
	}
	return nil
}

// leadID names a device's leads of a kind; the second entry of the kind and those
// after it are numbered.
func leadID(c *circuitPlan, kind LeadKind, entry int) string {
	id := c.device.ID + "/" + string(kind)
	if entry > 1 {
		return fmt.Sprintf("%s/%d", id, entry)
	}
	return id
}

// leadsOf gives the leads of a device: by kind those asked for, else the defaults
// of an amplifier that has not turned them off.
func leadsOf(c *circuitPlan, asked []Lead) []Lead {
	var out []Lead
	for _, kind := range LeadKinds() {
		own := false
		for _, l := range asked {
			if l.Kind == kind && (l.DeviceID == c.device.ID || l.DeviceID == c.device.asked) {
				out, own = append(out, l), true
			}
		}
		if !own && c.device.Kind == electrical.Amplifier && !c.device.NoLeads {
			out = append(out, defaultLead(c, kind))
		}
	}
	return out
}

// channelsOf is how many speakers an amplifier drives where only that is known.
func channelsOf(d *Device) int { return max(1, d.Load.Audio.Channels) }

// defaultLead: a speaker pair for each channel, within the zone for one channel and
// to the zone with the controls for more; one trigger; a signal lead for every two
// channels.
func defaultLead(c *circuitPlan, kind LeadKind) Lead {
	l := Lead{DeviceID: c.device.ID, Kind: kind, Count: 1, byDefault: true}
	switch kind {
	case SpeakerLead:
		if l.Count = channelsOf(&c.device); l.Count == 1 {
			l.ToZone = c.zone.ID
		}
	case SignalLead:
		l.Count = (channelsOf(&c.device) + 1) / 2
	}
	return l
}

// controls gives the zone with the driver's controls; the device's own where the
// vehicle names none.
func (s *solver) controls(c *circuitPlan) *catalog.Zone {
	for i := range s.vehicle.Zones {
		z := &s.vehicle.Zones[i]
		if _, ok := s.routes.shortest(c.zone.ID, z.ID); ok && z.Controls {
			return z
		}
	}
	return c.zone
}

// leadPath is the way of a lead from the device to a zone.
func (s *solver) leadPath(from, to *catalog.Zone, l *Lead) path {
	a := s.allowances
	allowance := 1 + quantity.Metres(a.Route)/100
	var p path
	p.routes, _ = s.routes.shortest(from.ID, to.ID) // validated
	p.add(sectionIn(from), from.Reach*allowance+a.LoopPerEnd)
	for _, i := range p.routes {
		p.add(section{environment: s.vehicle.Routes[i].Environment}, s.vehicle.Routes[i].Length*allowance)
	}
	p.add(sectionIn(to), a.LoopPerEnd)
	if l.HasLength {
		p.scale(l.Length)
	}
	return p
}

func (s *solver) lead(c *circuitPlan, l Lead, id string) (LeadPlan, *Unmet) {
	to := s.controls(c)
	if l.ToZone != "" {
		to = s.routes.zone(l.ToZone)
	}
	out := LeadPlan{Lead: l.Kind, Count: max(1, l.Count)}
	out.ID, out.Kind, out.DeviceIDs, out.Label = id, LeadCircuit, []string{c.device.ID}, labelOf(&c.device)
	way := s.leadPath(c.zone, to, &l)
	out.Routes = way.routes
	switch l.Kind {
	case SpeakerLead:
		return s.speaker(c, l, way, to, out)
	case TriggerLead:
		return s.trigger(c, way, c.zone, to, out, Point{AtDeviceTrigger, c.device.ID}, Point{AtControls, to.ID})
	}
	return s.signal(c, way, out)
}

// speaker sizes a speaker pair: the cheapest cable whose loop keeps within 5 % of
// the load's impedance and that carries the current √(P/Z).
func (s *solver) speaker(c *circuitPlan, l Lead, way path, to *catalog.Zone, out LeadPlan) (LeadPlan, *Unmet) {
	z := l.Impedance
	if z == 0 {
		z = speakerImpedance
	}
	power := l.Power
	if power == 0 {
		power = ratedOutput(c) / quantity.Watts(channelsOf(&c.device))
	}
	current := quantity.Amps(math.Sqrt(float64(power) / float64(z)))
	limit := quantity.Ohms(float64(speakerLoop) / 100 * float64(z))
	type found struct {
		pair pair
		wire wire
		r    quantity.Ohms
		ends [2]End
		nano int64
	}
	var best *found
	for _, p := range s.pairs {
		n := c.need
		n.load, n.bodyShare, n.bodyRest = current, 0, 0
		w, ok := n.wireIn(p.feed.Conductor, &way)
		loop := 2 * quantity.Ohms(float64(w.perMetre)*float64(way.length))
		if !ok || catalog.Thinner(p.feed.Size, speakerSize) || loop > limit || w.ampacity < current {
			continue
		}
		var t tally
		amp, ok := s.end(p.feed, catalog.Landing{Kind: catalog.OnSetScrew}, c.zone.Environment, false, AtDevicePositive, &t)
		if !ok {
			continue
		}
		far, ok := s.end(p.feed, catalog.Landing{Kind: catalog.OnFlyingLead}, to.Environment, false, AtSpeaker, &t)
		if !ok {
			continue
		}
		one := &found{pair: p, wire: w, r: loop, ends: [2]End{{catalog.Landing{Kind: catalog.OnSetScrew}, amp}, {catalog.Landing{Kind: catalog.OnFlyingLead}, far}}}
		one.nano = p.feed.LengthNano(cutMillimetres(way.length)) + p.back.LengthNano(cutMillimetres(way.length)) + 2*(amp.Nano+far.Nano)
		if best == nil || one.nano < best.nano {
			best = one
		}
	}
	if best == nil {
		return out, &Unmet{Constraint: "speaker_lead", At: c.device.ID, Figures: []electrical.Figure{electrical.Num("length_m", way.length, electrical.UnitM),
			electrical.Num("impedance_ohm", z, electrical.UnitOhm), electrical.Num("current_a", current, electrical.UnitA)}}
	}
	out.From, out.To, out.Length = Point{AtDeviceSpeaker, c.device.ID}, Point{AtSpeaker, to.ID}, way.length
	out.LoopShare = quantity.Percent(best.r / z * 100)
	reason := electrical.Because("lead.speaker", "common practice, no source", electrical.SizeFigure("conductor", best.pair.feed.Size),
		electrical.Num("loop_percent", out.LoopShare, electrical.UnitPercent), electrical.Num("limit_percent", speakerLoop, electrical.UnitPercent),
		electrical.Num("impedance_ohm", z, electrical.UnitOhm), electrical.Num("length_m", way.length, electrical.UnitM))
	for i := range out.Count {
		for k, cable := range []*catalog.Conductor{best.pair.feed, best.pair.back} {
			r := Run{ID: numbered(out.ID, 2*i+k+1), From: out.From, To: out.To, Polarity: Feed, Length: way.length, Conductor: cable,
				Current: current, Ampacity: best.wire.ampacity, Resistance: best.r / 2, Drop: current.Through(best.r / 2), Temperature: best.wire.temperature,
				Ends: best.ends, Environment: best.wire.environment}
			if k == 1 {
				r.Polarity = Return
			}
			if i == 0 && k == 0 {
				r.Reasons = []electrical.Reason{reason}
			}
			out.Runs = append(out.Runs, r)
		}
	}
	out.Reasons = []electrical.Reason{reason}
	out.Work = s.layLead(&way, best.pair.feed.Size, out.Count)
	return out, nil
}

// ratedOutput is what an amplifier puts out: its rms watts, else what its draw
// makes at its class's efficiency.
func ratedOutput(c *circuitPlan) quantity.Watts {
	a := &c.device.Load.Audio
	if a.RMS > 0 {
		return a.RMS
	}
	draw := c.need.demand.Design.At(c.need.source.Running)
	return quantity.Watts(float64(draw) * electrical.AmplifierEfficiency(a.Class))
}

// layLead is the labour of laying leads: pulled together, labelled each.
func (s *solver) layLead(way *path, size quantity.Size, count int) []catalog.Work {
	var work []catalog.Work
	op, ok := s.operation(catalog.TaskPull, size)
	if !ok {
		return nil
	}
	for _, section := range way.sections {
		work = append(work, s.cat.Shop.WorkOf(op, cutMillimetres(section.length), section.environment))
	}
	return s.addWork(work, catalog.TaskLabel, count, electrical.Cabin)
}

// trigger plans a thin lead behind a small fuse: an amplifier's turn-on lead or a
// relay's coil lead. It is cut near its far end for the holder. The thinnest cable
// whose ends can be made is taken.
func (s *solver) trigger(c *circuitPlan, way path, from, to *catalog.Zone, out LeadPlan, start, end Point) (LeadPlan, *Unmet) {
	landing := catalog.Landing{Kind: catalog.OnFlyingLead}
	for _, cable := range s.triggerCables() {
		var t tally
		near, ok := s.end(cable, landing, from.Environment, false, start.Kind, &t)
		far, also := s.end(cable, landing, to.Environment, false, end.Kind, &t)
		with, holder := s.leadProtection(c, cable, to, &t)
		if !ok || !also || with == nil {
			continue
		}
		reason := electrical.Because("lead.trigger", "common practice, no source", electrical.SizeFigure("conductor", cable.Size), electrical.Num("fuse_a", leadFuse, electrical.UnitA))
		out.Reasons = []electrical.Reason{reason}
		out.Load, out.Peak = max(out.Load, turnOn), max(out.Peak, turnOn)
		out.Protection = Overcurrent{Fuse: with.fuse, Holder: with.holder, Zone: to.ID, Reasons: out.Reasons}
		out.From, out.To, out.Length = start, end, way.length
		fuse, tail := Point{AtFuseHolder, out.ID}, min(s.allowances.LoopPerEnd, way.length/2)
		run := func(id string, from, to Point, l quantity.Metres, ends [2]End) Run {
			return Run{ID: id, From: from, To: to, Polarity: Feed, Length: l, Conductor: cable, Current: out.Load, Resistance: cable.Resistance(l, coldCable),
				Ends: ends, Environment: electrical.Cabin, Reasons: out.Reasons}
		}
		for i := range out.Count {
			out.Runs = append(out.Runs, run(numbered(out.ID, i+1), start, fuse, way.length-tail, [2]End{{landing, near}, holder}))
		}
		out.Runs = append(out.Runs, run(out.ID+"/source", fuse, end, tail, [2]End{holder, {landing, far}}))
		out.Work = s.layLead(&way, cable.Size, out.Count)
		if w, ok := s.mountWork(to.ID, with.fuse.Family); ok {
			out.Work = append(out.Work, w)
		}
		return out, nil
	}
	return out, &Unmet{Constraint: "trigger_lead", At: c.device.ID, Figures: []electrical.Figure{electrical.Num("fuse_a", leadFuse, electrical.UnitA)}}
}

// triggerCables gives the cables that a thin lead may be made of, thinnest first,
// then cheapest: 20 AWG and thicker, tinned on boats, never copper-clad.
func (s *solver) triggerCables() []*catalog.Conductor {
	var out []*catalog.Conductor
	for i := range s.cat.Conductors {
		x := &s.cat.Conductors[i]
		boat := s.vehicle.Category == electrical.Boat
		if x.Material != electrical.CopperClad && !catalog.Thinner(x.Size, triggerSize) && (!boat || x.Material == electrical.TinnedCopper) {
			out = append(out, x)
		}
	}
	sort.SliceStable(out, func(i, j int) bool {
		if a, b := out[i].Size.Area(), out[j].Size.Area(); a != b {
			return a < b
		}
		return out[i].UnitNano < out[j].UnitNano
	})
	return out
}

// leadProtection gives the cheapest 3 A fuse with a holder that takes the lead, and
// the lead's end at that holder; nil where there is none.
func (s *solver) leadProtection(c *circuitPlan, cable *catalog.Conductor, where *catalog.Zone, t *tally) (best *protection, at End) {
	least := int64(math.MaxInt64)
	for i := range s.protections {
		p := &s.protections[i]
		switch {
		case p.fuse.Rating != leadFuse, p.holder.OnPost(), electrical.NeedsSealing(where.Environment) && !p.holder.Sealed, p.fuse.Voltage < c.need.source.Highest:
			continue
		case where.Vapour && !p.fuse.IgnitionProtected && !p.holder.IgnitionProtected:
			continue
		}
		end, ok := s.end(cable, p.holder.Landing, where.Environment, false, AtFuseHolder, t)
		if nano := p.fuse.UnitNano + p.holder.UnitNano + 2*end.Nano; ok && nano < least {
			best, at, least = p, End{p.holder.Landing, end}, nano
		}
	}
	return best, at
}

// signal plans signal leads, sold by length or ready made.
func (s *solver) signal(c *circuitPlan, way path, out LeadPlan) (LeadPlan, *Unmet) {
	stock := s.cat.SundriesFor(catalog.UseSignal)
	if len(stock) == 0 {
		return out, &Unmet{Constraint: "signal_lead", At: c.device.ID}
	}
	cable := stock[0]
	milli := int64(out.Count) * 1000
	if cable.SoldBy == catalog.ByMetre || cable.SoldBy == catalog.ByFoot {
		milli = int64(out.Count) * cutMillimetres(way.length)
	}
	out.Sundries = []Material{{cable, milli}}
	out.Work = s.layLead(&way, triggerSize, out.Count)
	out.Reasons = []electrical.Reason{electrical.Because("lead.signal", "common practice, no source", electrical.Num("leads", out.Count, electrical.UnitCount), electrical.Num("length_m", way.length, electrical.UnitM))}
	return out, nil
}

// coilLead plans the lead from the switch at the controls to a relay's coil.
func (s *solver) coilLead(c *circuitPlan, relay *RelayUse) (LeadPlan, *Unmet) {
	out := LeadPlan{Lead: TriggerLead, Count: 1}
	out.Load, out.Peak = relay.Part.Coil, relay.Part.Coil
	out.ID, out.Kind, out.DeviceIDs, out.Label = c.device.ID+"/coil", LeadCircuit, []string{c.device.ID}, labelOf(&c.device)
	from, to := s.routes.zone(relay.Zone), s.controls(c)
	way := s.leadPath(from, to, &Lead{})
	out.Routes = way.routes
	plan, unmet := s.trigger(c, way, from, to, out, Point{AtRelayCoil, c.device.ID}, Point{AtSwitch, to.ID})
	if unmet == nil {
		plan.Work = s.addWork(plan.Work, catalog.TaskSwitch, 1, to.Environment)
	}
	return plan, unmet
}
