package design

import (
	"math"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// need is all that is known of a circuit before parts are chosen: what must hold,
// whichever parts are taken.
type need struct {
	defaults  *electrical.Defaults
	category  electrical.Category
	nominal   quantity.Volts
	source    electrical.SourceVolts
	demand    electrical.Demand
	duty      electrical.Duty
	surge     electrical.Surge
	load      quantity.Amps // heats conductor and fuse: equivalent continuous
	peak      quantity.Amps // for drop, engine running
	restPeak  quantity.Amps // for drop, engine off
	hot       quantity.Amps // the most a constant-power load can draw, for heating
	fuseFloor quantity.Amps // amplifier's own fuses, 0 = none
	makerFuse quantity.Amps // 0 = none
	// fuseCeiling bounds the rating where the maker's own cannot be had, 0 = none.
	fuseCeiling quantity.Amps

	dropClass      electrical.DropClass
	conductorLimit quantity.Percent
	totalLimit     quantity.Percent
	minVolts       quantity.Volts // the device's own, 0 = none
	restVolts      quantity.Volts // source with the engine off
	restLimit      quantity.Volts // the device's lowest then; 0 = not judged

	feed, back path
	chassis    bool
	chassisR   quantity.Ohms
	// bodyShare is what the job's other body returns put through the body.
	bodyShare, bodyRest quantity.Amps // engine running, engine off
	bank                electrical.Bank
	tail                quantity.Metres // battery to fuse, at most
	holderAt            section         // where the fuse sits
	sealed              bool            // the holder must be sealed
	ignition            bool            // the fuse must be ignition-protected
	relay               bool            // the load is switched by a relay
	unplaced            bool            // a bare run: neither vehicle nor bank is known
	placement           electrical.Placement
	thinnest            quantity.Size
	thinReason          electrical.Reason
	reasons             []electrical.Reason
}

// shortTime tells that the load is a short-time one.
func (n *need) shortTime() bool { return n.duty.ShortTime() }

// lowestRunning gives the lowest volts the device may get, engine running.
func (n *need) lowestRunning() quantity.Volts {
	return max(n.source.Running-n.totalLimit.Of(n.nominal), n.minVolts)
}

// lowest gives the lowest volts the device may get under any condition that is
// judged.
func (n *need) lowest() quantity.Volts {
	if n.restLimit > 0 {
		return min(n.lowestRunning(), n.restLimit)
	}
	return n.lowestRunning()
}

// wire is one conductor in the circuit's surroundings.
type wire struct {
	ampacity    quantity.Amps
	temperature quantity.Celsius // under load
	ambient     quantity.Celsius // of the governing section
	environment electrical.Environment
	perMetre    quantity.Ohms // at temperature
}

// wireIn gives how a conductor fares along a path; false where its insulation
// cannot be used there or it is thinner than the tables.
func (n *need) wireIn(c electrical.Conductor, p *path) (wire, bool) {
	bundled := 0
	if p.bundled > 0 {
		bundled = p.bundled + n.ownConductors()
	}
	w := wire{ampacity: quantity.Amps(math.Inf(1))}
	for _, s := range p.governing(n.defaults.GoverningSection) {
		around := n.defaults.SurroundingsOf(s.environment, bundled)
		if s.hasAmbient {
			around = electrical.Surroundings{Ambient: s.ambient, HasAmbient: true, Bundled: bundled}
		}
		iz, err := electrical.Ampacity(c, around)
		if err != nil {
			return wire{}, false
		}
		if iz < w.ampacity || iz == w.ampacity && around.Temperature() > w.ambient { // of equal ones the hottest
			w.ampacity, w.ambient, w.environment = iz, around.Temperature(), s.environment
		}
	}
	w.temperature = electrical.Temperature(w.ambient, c.Rating, n.load, w.ampacity)
	w.perMetre = c.ResistancePerMetre(w.temperature)
	return w, true
}

// ownConductors counts the circuit's own loaded conductors along the feed.
func (n *need) ownConductors() int {
	if n.chassis {
		return 1
	}
	return 2
}

// wires is feed and return of one candidate conductor.
type wires struct {
	conductor  electrical.Conductor
	feed, back wire
	// resistance of feed and return conductors together.
	resistance quantity.Ohms
	drop       quantity.Volts // in the conductors at peak
}

func (n *need) wiresOf(c electrical.Conductor) (wires, bool) {
	feed, ok := n.wireIn(c, &n.feed)
	if !ok {
		return wires{}, false
	}
	back, ok := n.wireIn(c, &n.back)
	if !ok {
		return wires{}, false
	}
	w := wires{conductor: c, feed: feed, back: back}
	w.resistance = quantity.Ohms(float64(feed.perMetre)*float64(n.feed.length) + float64(back.perMetre)*float64(n.back.length))
	w.drop = n.peak.Through(w.resistance)
	return w, true
}

// ampacity is the lower of feed and return.
func (w *wires) ampacity() quantity.Amps { return min(w.feed.ampacity, w.back.ampacity) }

// fuseBound is the largest fuse that the wires may have. Only a short-time motor in
// a vehicle that is known may go above the ampacity: there a dead short at the far
// end is shown to be cleared, as for every fuse.
func (n *need) fuseBound(w *wires) quantity.Amps {
	if n.shortTime() && !n.unplaced {
		return w.ampacity() * quantity.Amps(electrical.FuseOverAmpacity(n.category))
	}
	return w.ampacity()
}

// protects tells whether a fuse protects the wires from overload: it is within their
// ampacity, or within a short-time motor's bound.
func (n *need) protects(w *wires, fuse *catalog.Fuse) bool { return fuse.Rating <= n.fuseBound(w) }

// carries tells whether the wires bear the load's heat.
func (n *need) carries(w *wires) bool {
	if n.load > w.ampacity() || n.hot > w.ampacity() {
		return false
	}
	if !n.shortTime() {
		return true
	}
	for _, side := range []wire{w.feed, w.back} {
		if electrical.ShortTimePeak(w.conductor, side.ambient, n.duty, n.peak, side.ampacity) > w.conductor.Rating {
			return false
		}
	}
	return true
}

// requiredRating is the least rating by load alone: max(own fuses, load / 0.8).
func (n *need) requiredRating() quantity.Amps {
	if n.makerFuse > 0 {
		return n.makerFuse
	}
	if n.shortTime() {
		// Never below the working current, although a slow fuse would carry it.
		return n.peak
	}
	return max(n.fuseFloor, n.load/quantity.Amps(n.defaults.LoadShare))
}

// belowMaker gives the need with the maker's fuse as a ceiling instead of a demand.
func (n need) belowMaker() need {
	n.fuseCeiling, n.makerFuse = n.makerFuse, 0
	return n
}

// fuseSuits tells whether a fuse serves the load: it carries it,
// bears its start, and is the maker's where the maker states one.
func (n *need) fuseSuits(fuse *catalog.Fuse) bool {
	f, rating := fuse.Family, fuse.Rating
	if n.makerFuse > 0 {
		return rating == n.makerFuse
	}
	if n.fuseCeiling > 0 && rating > n.fuseCeiling {
		return false
	}
	ambient := n.holderAmbient()
	if rating < n.fuseFloor || n.load > electrical.CarryLimit(f, rating, ambient, n.defaults.LoadShare) {
		return false
	}
	if n.hot > electrical.BearLimit(f, rating, ambient) {
		return false
	}
	if n.shortTime() && (rating < n.peak || !fuse.Curve.BearsShortTime(rating, n.peak, n.duty.On.Seconds())) {
		return false
	}
	return fuse.Curve.BearsSurge(rating, n.surge)
}

func (n *need) holderAmbient() quantity.Celsius {
	if n.holderAt.hasAmbient {
		return n.holderAt.ambient
	}
	return n.defaults.HolderAmbient(n.holderAt.environment)
}

// dropSlack absorbs the rounding of float arithmetic where a drop meets its limit
// exactly, a hundred thousand times below any meter's resolution.
const dropSlack quantity.Volts = 1e-9

// conductorDropHolds tells that the conductors alone keep their limit.
func (n *need) conductorDropHolds(w *wires) bool {
	return w.drop <= n.conductorLimit.Of(n.nominal)+dropSlack
}

// totalResistance is conductors, joints, fuse, holder and chassis together.
func (n *need) totalResistance(w *wires, joints, fuse quantity.Ohms) quantity.Ohms {
	return w.resistance + joints + fuse + n.chassisR
}

// totalDrop is what is lost in the whole circuit at peak, and in the body by what
// the job's other body returns put through it.
func (n *need) totalDrop(r quantity.Ohms) quantity.Volts {
	return n.peak.Through(r) + n.bodyShare.Through(n.chassisR)
}

// restDrop is the same with the engine off.
func (n *need) restDrop(r quantity.Ohms) quantity.Volts {
	return n.restPeak.Through(r) + n.bodyRest.Through(n.chassisR)
}

// totalDropHolds tells that the whole circuit keeps its limits, engine running.
func (n *need) totalDropHolds(drop quantity.Volts) bool {
	return drop <= n.totalLimit.Of(n.nominal)+dropSlack && n.source.Running-drop >= n.minVolts-dropSlack
}

// restHolds tells that the device gets enough with the engine off through the
// circuit's resistance.
func (n *need) restHolds(r quantity.Ohms) bool {
	return n.restLimit == 0 || n.restVolts-n.restDrop(r) >= n.restLimit-dropSlack
}

// voltageHolds tells that the fuse is rated for the system's volts.
func (n *need) voltageHolds(fuse *catalog.Fuse) bool { return fuse.Voltage >= n.source.Highest }

// interrupts tells whether a fuse clears the fault behind it, with what it must
// clear; tail is the cable between battery and fuse.
func (n *need) interrupts(fuse *catalog.Fuse, figures electrical.FamilyFigures, w *wires, tail quantity.Metres) (electrical.Interruption, bool) {
	cable := w.conductor.Resistance(tail, coldCable)
	r := cable + figures.Contacts + electrical.ColdFuseResistance(figures, fuse.Rating)
	need := n.bank.RequiredInterrupting(n.restVolts, r)
	if n.bank.AcceptsRoadFamilies(fuse.Family, n.category) {
		return need, true
	}
	return need, fuse.InterruptingAt(n.source.Highest) >= need.Required
}

// coldCable is the conductor temperature at which a fault is strongest.
const coldCable quantity.Celsius = 20

// tailTo gives the cable between battery and a holder; none where it sits on the post.
func (n *need) tailTo(h *catalog.Holder) quantity.Metres {
	if h.OnPost() {
		return 0
	}
	return n.tail
}
