package design

import (
	"errors"
	"math"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// choice is one complete way to build a circuit.
type choice struct {
	pair  pair
	wires wires
	with  protection
	ends  circuitEnds
	relay switching
	far   farEnds
	drop  quantity.Volts // total, engine running
	total quantity.Ohms  // of the whole circuit
	// interruption is what the fuse must clear.
	interruption electrical.Interruption
	short        electrical.FarEndVerdict
	nano         int64
}

// better orders choices: cost, then drop, then SKU.
func (c *choice) better(o *choice) bool {
	switch {
	case c.nano != o.nano:
		return c.nano < o.nano
	case c.drop != o.drop:
		return c.drop < o.drop
	case c.pair.feed.SKU != o.pair.feed.SKU:
		return c.pair.feed.SKU < o.pair.feed.SKU
	case c.pair.back.SKU != o.pair.back.SKU:
		return c.pair.back.SKU < o.pair.back.SKU
	case c.with.fuse.SKU != o.with.fuse.SKU:
		return c.with.fuse.SKU < o.with.fuse.SKU
	case c.with.holder.SKU != o.with.holder.SKU:
		return c.with.holder.SKU < o.with.holder.SKU
	}
	return c.far.sku() < o.far.sku()
}

// circuitEnds is every end of a single feed.
type circuitEnds struct {
	source                  *termination.Plan // battery to holder; nil where the fuse sits on the post
	holderIn, holderOut     *termination.Plan // holderIn nil likewise
	devicePlus, deviceMinus termination.Plan
	back                    termination.Plan // chassis point or battery negative
}

// joints is the resistance of all ends together.
func (e *circuitEnds) joints() quantity.Ohms {
	sum := e.devicePlus.Resistance + e.deviceMinus.Resistance + e.back.Resistance + e.holderOut.Resistance
	if e.source != nil {
		return sum + e.source.Resistance + e.holderIn.Resistance
	}
	return sum + electrical.BatteryClamp
}

func (e *circuitEnds) nano() int64 {
	sum := e.devicePlus.Nano + e.deviceMinus.Nano + e.back.Nano + e.holderOut.Nano
	if e.source != nil {
		sum += e.source.Nano + e.holderIn.Nano
	}
	return sum
}

// tally counts why candidates fell, so that a job that cannot be met can say
// which constraint binds.
type tally struct {
	seen map[string]int
	// unfit is the last end that could not be made, with its place.
	unfit   *termination.Unfit
	unfitAt PointKind
}

func (t *tally) count(constraint string) {
	if t.seen == nil {
		t.seen = map[string]int{}
	}
	t.seen[constraint]++
}

// Constraint codes, in the order in which a candidate meets them.
const (
	bindMinimum       = "minimum_size"
	bindMakerSize     = "maker_conductor"
	bindAmbient       = "ambient"
	bindAmpacity      = "ampacity"
	bindConductorDrop = "drop_conductors"
	bindEnd           = "termination"
	bindFuseRating    = "fuse_rating"
	bindFuseAmpacity  = "fuse_above_ampacity"
	bindVoltage       = "fuse_voltage"
	bindPost          = "post_stud"
	bindSealing       = "holder_sealing"
	bindIgnition      = "ignition_protection"
	bindInterrupting  = "interrupting"
	bindRelay         = "relay"
	bindFarFuse       = "far_fuse"
	bindTotalDrop     = "drop_total"
	bindRestVolts     = "engine_off_volts"
	bindShort         = "short_circuit"
)

// choose gives the cheapest valid choice of a circuit; nil, with the tally of
// what stood in the way, where there is none.
func (s *solver) choose(c *circuitPlan) (*choice, *tally) {
	t := &tally{}
	var best *choice
	for _, p := range s.pairs {
		for _, found := range s.tryPair(c, p, t) {
			if best == nil || found.better(best) {
				best = found
			}
		}
	}
	return best, t
}

// tryPair gives the valid choices on one pair of cables: those with the smallest
// rating that serves.
func (s *solver) tryPair(c *circuitPlan, p pair, t *tally) []*choice {
	n := &c.need
	size := p.feed.Size
	if catalog.Thinner(size, n.thinnest) {
		t.count(bindMinimum)
		return nil
	}
	if least := c.device.Maker.ConductorMin; !least.IsZero() && catalog.Thinner(size, least) {
		t.count(bindMakerSize)
		return nil
	}
	w, ok := n.wiresOf(p.feed.Conductor)
	if !ok {
		t.count(bindAmbient)
		return nil
	}
	if !n.carries(&w) {
		t.count(bindAmpacity)
		return nil
	}
	if !n.conductorDropHolds(&w) {
		t.count(bindConductorDrop)
		return nil
	}
	ends, ok := s.deviceEnds(c, p, t)
	if !ok {
		return nil
	}
	base := s.layNano(&n.feed, &n.back, p, n.chassis)
	var out []*choice
	for _, with := range s.protections {
		if len(out) > 0 && with.fuse.Rating > out[0].with.fuse.Rating {
			break
		}
		if found := s.tryProtection(c, p, w, ends, with, t); found != nil {
			found.nano += base
			out = append(out, found)
		}
	}
	return out
}

// tryProtection judges one fuse in one holder on a pair of cables.
func (s *solver) tryProtection(c *circuitPlan, p pair, w wires, ends circuitEnds, with protection, t *tally) *choice {
	n := &c.need
	switch {
	case !n.fuseSuits(with.fuse):
		t.count(bindFuseRating)
		return nil
	case !n.protects(&w, with.fuse):
		t.count(bindFuseAmpacity)
		return nil
	case !n.voltageHolds(with.fuse):
		t.count(bindVoltage)
		return nil
	case !c.origin.seats(with.holder):
		t.count(bindPost)
		return nil
	case n.sealed && !with.holder.Sealed:
		t.count(bindSealing)
		return nil
	case n.ignition && !with.fuse.IgnitionProtected && !with.holder.IgnitionProtected:
		t.count(bindIgnition)
		return nil
	}
	interruption, ok := n.interrupts(with.fuse, with.figures, &w, n.tailTo(with.holder))
	if !ok {
		t.count(bindInterrupting)
		return nil
	}
	if !s.holderEnds(c, p, with.holder, &ends, t) {
		return nil
	}
	fuse := electrical.FuseResistance(with.figures, with.fuse.Rating, max(n.peak, n.load)) + with.figures.Contacts
	relays := s.switchings(c, p.feed, with.fuse.Rating, s.routes.zone(c.origin.Zone), t)
	if len(relays) == 0 {
		t.count(bindRelay)
		return nil
	}
	var best *choice
	for _, far := range s.farFuses(c, p, &w, with.fuse, t) {
		try := &choice{pair: p, wires: w, with: with, ends: ends, far: far, interruption: interruption}
		if far.onPost() {
			try.ends.devicePlus = far.end
		}
		if found := s.tryRelays(c, try, relays, fuse, t); found != nil && (best == nil || found.better(best)) {
			best = found
		}
	}
	return best
}

// tryRelays completes a choice with the first relay, that is the cheapest, with which
// it keeps the limits; nil where there is none. fuse is the resistance of the fuse and
// its contacts.
func (s *solver) tryRelays(c *circuitPlan, b *choice, relays []switching, fuse quantity.Ohms, t *tally) *choice {
	n, p, w, with, ends := &c.need, b.pair, &b.wires, b.with, &b.ends
	base := b.far.nano + ends.nano() + with.fuse.UnitNano + with.holder.UnitNano + s.mountNano(c.origin.Zone, with.fuse.Family) + s.bootNano(p.feed, ends.source != nil)
	for _, relay := range relays {
		r := n.totalResistance(w, ends.joints()+relay.r+b.far.r, fuse)
		drop := n.totalDrop(r)
		switch {
		case !n.totalDropHolds(drop):
			t.count(bindTotalDrop)
		case !n.restHolds(r):
			t.count(bindRestVolts)
		default:
			short, cleared := s.shortOf(c, w, with, r-w.resistance, ends.soldered())
			if cleared {
				b.relay, b.drop, b.total, b.short, b.nano = relay, drop, r, short, base+relay.nano
				return b
			}
			t.count(bindShort)
		}
	}
	return nil
}

// shortOf judges a dead short at the far end of a circuit; of a link also one at the
// near end, fed by the battery at the far end through the fuse there.
func (s *solver) shortOf(c *circuitPlan, w *wires, with protection, besides quantity.Ohms, soldered bool) (electrical.FarEndVerdict, bool) {
	short := c.need.deadShort(w, with.fuse, besides, soldered)
	if !short.Cleared || !c.joinsBatteries() {
		return short, short.Cleared
	}
	far := s.farNeed(c)
	other := far.deadShort(w, with.fuse, besides, soldered)
	return short, other.Cleared
}

// deviceEnds plans the ends that do not depend on the holder.
func (s *solver) deviceEnds(c *circuitPlan, p pair, t *tally) (circuitEnds, bool) {
	var e circuitEnds
	var ok bool
	at := c.zone.Environment
	if e.devicePlus, ok = s.end(p.feed, c.positive, at, false, AtDevicePositive, t); !ok {
		return e, false
	}
	if e.deviceMinus, ok = s.end(p.back, c.negative, at, false, AtDeviceNegative, t); !ok {
		return e, false
	}
	landing, kind, where := s.returnLanding(c)
	e.back, ok = s.end(p.back, landing, where, kind == AtBatteryNegative, kind, t)
	return e, ok
}

// returnLanding gives where the return ends: the chassis point of the zone, or the
// negative of the battery or converter that feeds it, or, where a sensor sits on that post, the chassis
// side of the sensor.
func (s *solver) returnLanding(c *circuitPlan) (catalog.Landing, PointKind, electrical.Environment) {
	if c.need.chassis {
		return groundLanding(c.zone), AtChassis, c.zone.Environment
	}
	where := s.routes.zone(c.origin.Zone).Environment
	if s.sensorAt(c.origin) {
		return c.origin.negative, AtSensor, where
	}
	return c.origin.negative, c.origin.minus().Kind, where
}

// groundLanding gives the ground point of a zone.
func groundLanding(z *catalog.Zone) catalog.Landing {
	stud := z.GroundStud
	if stud == "" {
		stud = usualGroundStud
	}
	return catalog.Landing{Kind: catalog.OnChassis, Stud: stud}
}

// usualBatteryStud is a battery's stud where the vehicle states none (common
// practice, no source).
const usualBatteryStud catalog.Stud = "M8"

func batteryStud(b *catalog.Battery) catalog.Stud {
	if b.Stud == "" {
		return usualBatteryStud
	}
	return b.Stud
}

// sitsAt tells whether a holder can sit at a battery: one for the post must go over
// the stud of that post.
func sitsAt(h *catalog.Holder, b *catalog.Battery) bool {
	return !h.OnPost() || batteryStud(b).Admits(h.PostHole)
}

// holderEnds plans the ends at the battery and the holder.
func (s *solver) holderEnds(c *circuitPlan, p pair, h *catalog.Holder, e *circuitEnds, t *tally) bool {
	where := s.routes.zone(c.origin.Zone).Environment
	out, ok := s.end(p.feed, h.Landing, where, false, AtFuseHolder, t)
	if !ok {
		return false
	}
	e.holderOut = &out
	e.source, e.holderIn = nil, nil
	if h.OnPost() {
		return true
	}
	source, ok := s.end(p.feed, c.origin.positive, where, !c.origin.isConverter(), c.origin.plus().Kind, t)
	if !ok {
		return false
	}
	e.source, e.holderIn = &source, &out
	return true
}

func (s *solver) end(cable *catalog.Conductor, l catalog.Landing, e electrical.Environment, battery bool, at PointKind, t *tally) (termination.Plan, bool) {
	plan, err := s.planner.Plan(termination.Joint{Landing: l, Conductor: cable, Category: s.vehicle.Category, Environment: e, Battery: battery})
	if err != nil {
		var unfit *termination.Unfit
		if errors.As(err, &unfit) {
			t.unfit, t.unfitAt = unfit, at
		}
		t.count(bindEnd)
		return termination.Plan{}, false
	}
	return plan, true
}

// cutMillimetres gives a length to cut in whole millimetres, rounded up.
func cutMillimetres(l quantity.Metres) int64 {
	const rounding = 1e-6
	return int64(math.Ceil(float64(l)*1000 - rounding))
}

// layNano is the price of laying a pair of cables: the cables themselves, sundries
// and labour.
func (s *solver) layNano(feed, back *path, p pair, alone bool) int64 {
	sum := p.feed.LengthNano(cutMillimetres(feed.length)) + p.back.LengthNano(cutMillimetres(back.length))
	return sum + s.workNano(s.layWork(feed, p.feed.Size)) + materialNano(s.laySundries(feed, p, alone, false))
}

// mountWork is the labour of mounting a holder of a family in a zone.
func (s *solver) mountWork(zone string, f electrical.Family) (catalog.Work, bool) {
	task := catalog.TaskBoltHolder
	switch f {
	case electrical.Blade, electrical.Mini, electrical.Micro, electrical.Maxi, electrical.Glass:
		task = catalog.TaskBladeHolder
	}
	op, ok := s.operation(task, quantity.Size{})
	if !ok {
		return catalog.Work{}, false
	}
	return s.cat.Shop.WorkOf(op, 1000, s.routes.zone(zone).Environment), true
}

func (s *solver) mountNano(zone string, f electrical.Family) int64 {
	w, ok := s.mountWork(zone, f)
	if !ok {
		return 0
	}
	return s.cat.Shop.LabourNano(w.MilliMinutes)
}

// bootNano is the price of the cover of a battery terminal, which the cable goes
// into.
func (s *solver) bootNano(cable *catalog.Conductor, boot bool) int64 {
	if cover := s.smallest(catalog.UseBoot, cable.OuterDiameter); cover != nil && boot {
		return cover.UnitNano
	}
	return 0
}
