package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// Charging is what a vehicle charges against what its equipment takes.
type Charging struct {
	electrical.ChargingBalance
	Average quantity.Amps // of all equipment, engine running
	Loads   []AverageLoad
}

// AverageLoad is what a device takes on average while it is in use.
type AverageLoad struct {
	DeviceID, Label string
	Full, Average   quantity.Amps
	Resting         bool // it is used with the engine off, too
}

// charging sets what the vehicle charges against the job's equipment. Links carry
// what they charge on to a battery and so take no part; a converter counts as what it
// takes in for the devices behind it. With the engine off the battery counts that lasts
// the shortest.
func (s *solver) charging(plans []circuitPlan) Charging {
	var out Charging
	resting := map[*catalog.Battery]quantity.Amps{}
	for i := range plans {
		c := &plans[i]
		if c.device.link != "" || feeds(plans, &c.device) {
			continue
		}
		l := AverageLoad{DeviceID: c.device.ID, Label: labelOf(&c.device), Full: c.need.demand.Design, Resting: usedResting(c)}
		from := c
		if c.origin.isConverter() {
			from = planOf(plans, c.origin.ID)
			l.Full = throughConverter(from, l.Full)
		}
		l.Average = energyDuty(&c.device).Average(l.Full)
		out.Loads = append(out.Loads, l)
		out.Average += l.Average
		if l.Resting {
			resting[from.origin.battery] += l.Average
		}
	}
	source := s.chargingSource(out.Average)
	out.ChargingBalance = source.Balance()
	for i := range s.vehicle.Batteries {
		b := &s.vehicle.Batteries[i]
		at := source
		at.Resting, at.Capacity, at.Chemistry, at.Starts = resting[b], bankOf(s.vehicle, b).Capacity, b.Chemistry, b.Role != catalog.House
		if one := at.Balance(); one.HasHours && (!out.HasHours || one.Hours < out.Hours) {
			out.ChargingBalance = one
		}
	}
	return out
}

// chargingSource gives what charges the vehicle, with what is usual for its kind
// where nobody states it.
func (s *solver) chargingSource(running quantity.Amps) electrical.Charging {
	v, usual := s.vehicle, electrical.ChargingHabitsOf(s.vehicle.Category)
	out := electrical.Charging{Rated: v.Charging.Rated, IdleShare: v.Charging.IdleShare, CruiseShare: v.Charging.CruiseShare, Standing: v.StandingLoad, Running: running, Reserve: usual.Reserve}
	if !v.HasStanding {
		out.Standing = usual.Standing
	}
	switch v.Charging.Kind {
	case catalog.NoCharging:
		out.Rated = 0
		return out
	case catalog.DCDC: // its rating at any speed
		usual.IdleShare, usual.CruiseShare = 1, 1
	}
	if out.Rated == 0 {
		out.Rated = usual.Rated
	}
	if out.IdleShare == 0 {
		out.IdleShare = usual.IdleShare
	}
	if out.CruiseShare == 0 {
		out.CruiseShare = usual.CruiseShare
	}
	return out
}

// energyDuty gives the duty by which a device counts: its own where stated.
func energyDuty(d *Device) electrical.Duty {
	if d.Duty.Kind != "" {
		return d.Duty
	}
	return electrical.EnergyDuty(d.Kind, d.Load.Audio.Channels)
}

// usedResting tells that a device is used with the engine off.
func usedResting(c *circuitPlan) bool {
	if c.device.UsedEngineOff != nil {
		return *c.device.UsedEngineOff
	}
	return electrical.HabitsOf(c.device.Kind, c.need.category).UsedEngineOff
}
