package electrical

import "example.com/lugbook/api/quantity"

// ChargingHabits is what is assumed of a category's charging where nobody states it.
type ChargingHabits struct {
	Rated                  quantity.Amps // output of the source; 0 = none
	IdleShare, CruiseShare float64       // of Rated
	Standing               quantity.Amps // the vehicle's own load, engine running
	Reserve                quantity.Amps // to be left over at cruising speed
}

// chargingHabits: common practice, no source. Of a range the unfavourable end
// stands: the least output, the largest load; a motorcycle is taken as a small one, a
// boat as an outboard. The motorcycle's reserve is a charging system maker's.
var chargingHabits = map[Category]ChargingHabits{
	Motorcycle: {Rated: 25, IdleShare: 0.4, CruiseShare: 0.9, Standing: 14, Reserve: 4},
	Car:        {Rated: 120, IdleShare: 0.4, CruiseShare: 0.8, Standing: 50},
	Van:        {Rated: 150, IdleShare: 0.4, CruiseShare: 0.8, Standing: 60},
	Truck:      {Rated: 150, IdleShare: 0.4, CruiseShare: 0.8, Standing: 60},
	SideBySide: {Rated: 40, IdleShare: 0.4, CruiseShare: 0.85, Standing: 20},
	Boat:       {Rated: 17, IdleShare: 0.3, CruiseShare: 0.8, Standing: 10},
}

// ChargingHabitsOf gives what is assumed of a category's charging; nothing of a
// trailer or a vehicle that is none of the kinds. A converter that charges from a
// traction battery gives its rating at any speed, shares of 1.
func ChargingHabitsOf(c Category) ChargingHabits { return chargingHabits[c] }

// Usable shares of a battery's capacity with the engine off (common practice, no
// source); the rest of a starting battery is kept for starting.
const (
	usableLead     = 0.5
	usableLithium  = 0.8
	usableStarting = 0.3
)

// UsableShare gives the share of a battery's capacity that equipment may take with
// the engine off: 0.5 of lead-acid, 0.8 of lithium, and never more than 0.3 of a
// battery that starts the engine too.
func UsableShare(c Chemistry, starts bool) float64 {
	switch {
	case starts:
		return usableStarting
	case c == Lithium:
		return usableLithium
	default:
		return usableLead
	}
}

// Charging is what charges a vehicle's batteries, what it and the equipment draw,
// and the battery that serves with the engine off. Loads are averages over the time
// in use, as Duty.Average gives them.
type Charging struct {
	Rated                  quantity.Amps // output of the source; 0 = nothing charges
	IdleShare, CruiseShare float64       // of Rated, 0 … 1
	Standing               quantity.Amps // the vehicle's own load, engine running
	Running                quantity.Amps // of the equipment used with the engine running
	Reserve                quantity.Amps // to be left over at cruising speed

	Resting   quantity.Amps     // of the equipment used with the engine off
	Capacity  quantity.AmpHours // of the battery that serves it; 0 = not known
	Chemistry Chemistry
	Starts    bool    // that battery starts the engine too
	Usable    float64 // share of Capacity it may take, 0 = UsableShare, which bounds it where it starts
}

// Balance is the charging balance at one engine speed.
type Balance struct {
	Output  quantity.Amps
	Load    quantity.Amps // the vehicle's own and the equipment's
	Surplus quantity.Amps // Output less Load; negative: the battery is drained
	Short   quantity.Amps // what is missing to the reserve; 0 = nothing
}

// ChargingBalance is the charging balance of a vehicle, and how long its battery
// lasts with the engine off.
type ChargingBalance struct {
	Idle, Cruise Balance
	// Needed is the rated output that would leave the reserve at cruising speed; 0
	// where the source's own does, or gives nothing at any rating.
	Needed quantity.Amps
	// UsableAh is what the equipment may take with the engine off, KeptAh the rest.
	UsableAh, KeptAh quantity.AmpHours
	// Hours until UsableAh is gone at the average load. Lead-acid gives less where it
	// is emptied much faster than in twenty hours.
	Hours    float64
	HasHours bool // something is used with the engine off, and the capacity is known
	// Pass tells that cruising leaves the reserve; idling is reported only.
	Pass    bool
	Reasons []Reason
}

// sourceCharging names what the balance rests on.
const sourceCharging = "common practice, no source"

// Balance gives the charging balance.
//
//	surplus = rated · share − standing − running
//	hours   = usable share · capacity / resting
//
// Example: 45 A at 0.9 less 16 A and 15 A: 9.5 A at cruising, where 4 A are asked.
func (c Charging) Balance() ChargingBalance {
	b := ChargingBalance{Idle: c.at(c.IdleShare, 0), Cruise: c.at(c.CruiseShare, c.Reserve)}
	b.Pass = b.Cruise.Short == 0
	if !b.Pass && c.Rated > 0 && c.CruiseShare > 0 {
		b.Needed = (b.Cruise.Load + c.Reserve) / quantity.Amps(c.CruiseShare)
	}
	b.UsableAh = c.Capacity * quantity.AmpHours(c.usable())
	b.KeptAh = c.Capacity - b.UsableAh
	if c.Capacity > 0 && c.Resting > 0 {
		b.HasHours, b.Hours = true, float64(b.UsableAh)/float64(c.Resting)
	}
	b.Reasons = c.because(&b)
	return b
}

func (c Charging) at(share float64, reserve quantity.Amps) Balance {
	b := Balance{Output: c.Rated * quantity.Amps(share), Load: c.Standing + c.Running}
	b.Surplus = b.Output - b.Load
	b.Short = max(0, reserve-b.Surplus)
	return b
}

// usable gives the share of the capacity that may be taken. A stated share never
// takes what starting needs.
func (c Charging) usable() float64 {
	usual := UsableShare(c.Chemistry, c.Starts)
	switch {
	case !(c.Usable > 0):
		return usual
	case c.Starts:
		return min(c.Usable, usual)
	default:
		return min(c.Usable, 1)
	}
}

func (c Charging) because(b *ChargingBalance) []Reason {
	out := []Reason{c.becauseCruise(b)}
	if b.Needed > 0 {
		out = append(out, Because("charging.change", sourceCharging, Num("short_a", b.Cruise.Short, UnitA), Num("needed_a", b.Needed, UnitA)))
	}
	output, load := Num("output_a", b.Idle.Output, UnitA), Num("load_a", b.Idle.Load, UnitA)
	if b.Idle.Short > 0 {
		out = append(out, Because("charging.idle_drains", sourceCharging, output, load, Num("drain_a", b.Idle.Short, UnitA)))
	} else {
		out = append(out, Because("charging.idle", sourceCharging, output, load, Num("surplus_a", b.Idle.Surplus, UnitA)))
	}
	if b.HasHours {
		out = append(out, Because("charging.engine_off", sourceCharging, Num("load_a", c.Resting, UnitA),
			Num("hours", b.Hours, UnitH), Num("usable_ah", b.UsableAh, UnitAh), Num("capacity_ah", c.Capacity, UnitAh)))
	}
	return out
}

func (c Charging) becauseCruise(b *ChargingBalance) Reason {
	output, load := Num("output_a", b.Cruise.Output, UnitA), Num("load_a", b.Cruise.Load, UnitA)
	surplus, reserve := Num("surplus_a", b.Cruise.Surplus, UnitA), Num("reserve_a", c.Reserve, UnitA)
	switch {
	case b.Pass:
		return Because("charging.cruise", sourceCharging, output, load, surplus)
	case b.Cruise.Surplus < 0:
		return Because("charging.cruise_drains", sourceCharging, output, load, Num("drain_a", -b.Cruise.Surplus, UnitA))
	default:
		return Because("charging.cruise_short", sourceCharging, output, load, surplus, reserve)
	}
}
