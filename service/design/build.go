package design

import (
	"errors"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// circuitPlan is one circuit to be chosen: its need, and who it is.
type circuitPlan struct {
	device    Device
	equipment *catalog.Equipment
	origin    *origin
	far       *catalog.Battery // the battery at the far end of a link, else nil
	zone      *catalog.Zone
	need      need // in force for a feed of its own
	made      need // with the maker's fuse, where need had to go below it
	// makerBinding is the constraint that kept the maker's fuse from a feed of its own.
	makerBinding string
	positive     catalog.Landing
	negative     catalog.Landing
}

// makerLargest is the largest conductor that the device's terminals take by the
// maker's word.
func makerLargest(d *Device) quantity.Size { return d.Maker.TerminalMax }

// plan works out what a device's circuit must hold to. The input is valid.
func (s *solver) plan(d Device, equipment *catalog.Equipment) (circuitPlan, *Unmet) {
	v, from := s.vehicle, s.originOf(d.FedFrom)
	if d.Nominal != 0 && d.Nominal != from.nominal {
		return circuitPlan{}, otherVoltage(&d, from)
	}
	c := circuitPlan{device: d, equipment: equipment, origin: from, zone: s.routes.zone(d.Zone)}
	if d.farBattery != "" {
		c.far = batteryOf(v, d.farBattery)
	}
	n := &c.need
	*n = need{defaults: &s.cat.Shop.Defaults, category: v.Category, nominal: from.nominal, bank: from.bank, source: from.source, restVolts: from.resting, surge: d.Surge, makerFuse: d.Maker.Fuse}
	n.limits(&d)
	if unmet := n.draw(&d); unmet != nil {
		return circuitPlan{}, unmet
	}
	c.positive = landingOf(d.Maker.Positive, d.Kind, n.load, makerLargest(&d))
	c.negative = landingOf(d.Maker.Negative, d.Kind, n.load, makerLargest(&d))
	s.place(&c)
	return c, nil
}

// otherVoltage refuses a device for another voltage than what would feed it gives: a
// 12 V load on one battery of a 24 V pair leaves the two unequally charged.
func otherVoltage(d *Device, from *origin) *Unmet {
	own, system := electrical.Num("nominal_v", d.Nominal, electrical.UnitV), electrical.Num("system_v", from.nominal, electrical.UnitV)
	return &Unmet{Constraint: "other_voltage", At: d.ID, Figures: []electrical.Figure{own, system},
		Nearest: []electrical.Reason{electrical.Because("nearest.converter", "common practice, no source", own, system)}}
}

func batteryOf(v *catalog.Vehicle, id string) *catalog.Battery {
	for i := range v.Batteries {
		if v.Batteries[i].ID == id {
			return &v.Batteries[i]
		}
	}
	return &v.Batteries[0]
}

// limits sets the drop limits and the volts the device must get.
func (n *need) limits(d *Device) {
	habits := electrical.HabitsOf(d.Kind, n.category)
	n.dropClass = d.DropClass
	if n.dropClass == "" {
		n.dropClass = habits.Drop
	}
	n.conductorLimit = n.defaults.DropLimit(n.dropClass)
	if d.HasMaxDrop {
		n.conductorLimit = d.MaxDrop
	}
	n.totalLimit = n.conductorLimit + n.defaults.DropTotalExtra
	n.minVolts = d.MinVolts
	n.restLimit = n.restLimitOf(d, habits)
}

// restLimitOf gives the lowest volts with the engine off: the device's own
// minimum, else 10 % of nominal under the source for critical and motor devices;
// 0 where it is not judged because the device is not used then.
func (n *need) restLimitOf(d *Device, habits electrical.Habits) quantity.Volts {
	used := habits.UsedEngineOff
	if d.UsedEngineOff != nil {
		used = *d.UsedEngineOff
	}
	switch {
	case !used:
		return 0
	case d.MinVolts > 0:
		return d.MinVolts
	case habits.MinVolts12 > 0:
		return habits.MinVolts12 * n.nominal / 12
	case n.dropClass == electrical.General:
		return 0
	}
	return n.restVolts - n.defaults.DropEngineOff.Of(n.nominal)
}

// draw sets the currents: design, heating, peak and the most at low volts.
func (n *need) draw(d *Device) *Unmet {
	lowest := n.lowest()
	demand, err := electrical.DemandOf(d.Load, electrical.LoadContext{Kind: d.Kind, Nominal: n.nominal, Source: n.source, Lowest: lowest})
	if err != nil {
		code := "load"
		if errors.Is(err, electrical.ErrLoad) {
			code = "load_range"
		}
		return &Unmet{Constraint: code, At: d.ID, Figures: []electrical.Figure{
			electrical.Num("low_a", electrical.MinCurrent, electrical.UnitA), electrical.Num("high_a", electrical.MaxCurrent, electrical.UnitA)}}
	}
	n.demand = demand
	n.reasons = demand.Reasons
	n.duty = d.Duty
	if n.duty.Kind == "" {
		n.duty = electrical.HabitsOf(d.Kind, n.category).Duty
	}
	n.fuseFloor = d.Load.Audio.OnboardFuse
	n.peak, n.restPeak = n.drawn(d, demand.Design)
	n.load = n.duty.Heating(demand.Design)
	n.hot = n.load
	if demand.Behaviour == electrical.ConstantPower && !n.shortTime() {
		n.hot = max(n.load, demand.Power.Drawing(lowest))
	}
	if n.shortTime() {
		n.reasons = append(n.reasons, electrical.Because("load.short_time", "common practice, no source",
			electrical.Num("current_a", n.peak, electrical.UnitA), electrical.Num("on_s", n.duty.On.Seconds(), electrical.UnitS),
			electrical.Num("off_s", n.duty.Off.Seconds(), electrical.UnitS), electrical.Num("heating_a", n.load, electrical.UnitA)))
	}
	return nil
}

// drawn gives the currents that the drop is judged at, engine running and off. A
// constant-power load whose watts are stated draws, in each condition, the current
// at the lowest volts permitted then: the drop holds at that current exactly if
// the real operating point is above those volts. Watts of output are rated at
// nominal volts, so their current is never taken below that.
func (n *need) drawn(d *Device, design quantity.Amps) (running, rest quantity.Amps) {
	byWatts := d.Load.Input > 0 || d.Load.Output > 0 || d.Load.Audio.RMS > 0
	if n.demand.Behaviour != electrical.ConstantPower || !byWatts || n.shortTime() {
		return design, design
	}
	least := quantity.Amps(0)
	if d.Load.Output > 0 {
		least = design
	}
	running = max(least, n.demand.Power.Drawing(n.lowestRunning()))
	rest = max(running, design)
	if n.restLimit > 0 {
		rest = max(least, n.demand.Power.Drawing(n.restLimit))
	}
	return running, rest
}

// place sets the ways of feed and return, and where the fuse sits.
func (s *solver) place(c *circuitPlan) {
	n, v, a := &c.need, s.vehicle, s.allowances
	n.relay = c.device.Switched && n.demand.Design > electrical.RelayAbove || c.device.link == catalog.SplitRelay
	n.feed, _ = s.routes.feedPath(a, c.origin.Zone, &c.device) // validated
	if n.relay {
		n.feed.add(sectionIn(s.routes.zone(c.origin.Zone)), s.relayLoops())
	}
	n.chassis = s.chassis[c.device.ID]
	if n.chassis {
		n.chassisR = chassisOhms(n.defaults, v)
		n.back.add(sectionIn(c.zone), a.ReturnTail)
	} else {
		n.back = n.feed
	}
	at := s.routes.zone(c.origin.Zone)
	n.holderAt = sectionIn(at)
	n.placement = c.origin.placement(n.defaults, v, at.Environment)
	n.tail = min(n.placement.Limit, n.feed.length/2)
	n.sealed = electrical.NeedsSealing(at.Environment)
	n.ignition = at.Vapour
	n.thinnest, n.thinReason = electrical.MinimumSize(v.Category, n.worstEnvironment())
}

// worstEnvironment gives any harsh environment on the way, else the cabin.
func (n *need) worstEnvironment() electrical.Environment {
	for _, s := range append(n.feed.governing(n.defaults.GoverningSection), n.back.governing(n.defaults.GoverningSection)...) {
		if s.environment != electrical.Cabin {
			return s.environment
		}
	}
	return electrical.Cabin
}
