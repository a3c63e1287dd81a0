package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// origin is what circuits are fed from: a battery of the vehicle, or the output of
// a converter that the job puts in.
type origin struct {
	ID, Zone string
	// battery is the battery; nil for a converter.
	battery *catalog.Battery
	nominal quantity.Volts
	source  electrical.SourceVolts
	resting quantity.Volts // with the engine off
	bank    electrical.Bank
	// positive and negative are what it offers a terminal.
	positive, negative catalog.Landing
}

// originsOf gives what can feed the devices: the vehicle's batteries, then the
// converters among the devices, each with its equipment filled in.
func originsOf(v *catalog.Vehicle, devices []Device, cat *catalog.Catalog) []*origin {
	var out []*origin
	for i := range v.Batteries {
		out = append(out, batteryOrigin(v, &v.Batteries[i], &cat.Shop.Defaults))
	}
	for i := range devices {
		d, _, _ := withEquipment(devices[i], cat) // validated
		if d.Converter.Given() {
			out = append(out, converterOrigin(&d, &cat.Shop.Defaults))
		}
	}
	return out
}

func batteryOrigin(v *catalog.Vehicle, b *catalog.Battery, defaults *electrical.Defaults) *origin {
	o := &origin{ID: b.ID, Zone: b.Zone, battery: b, nominal: v.Nominal, bank: bankOf(v, b), positive: postLanding(b), negative: postLanding(b)}
	o.source, _ = defaults.SourceAt(v.Nominal) // validated
	if v.Charging.RunningV > 0 {
		o.source.Running = v.Charging.RunningV
	}
	o.resting = o.source.RestVolts(b.Chemistry)
	return o
}

// isConverter tells that it is a converter's output.
func (o *origin) isConverter() bool { return o.battery == nil }

// plus and minus are the points that circuits begin and end at.
func (o *origin) plus() Point {
	if o.isConverter() {
		return Point{AtConverterPositive, o.ID}
	}
	return Point{AtBatteryPositive, o.ID}
}

func (o *origin) minus() Point {
	if o.isConverter() {
		return Point{AtConverterNegative, o.ID}
	}
	return Point{AtBatteryNegative, o.ID}
}

// seats tells whether a holder can sit there: one for a battery's post must go over
// the stud of that post.
func (o *origin) seats(h *catalog.Holder) bool {
	return !h.OnPost() || !o.isConverter() && sitsAt(h, o.battery)
}

// terminals is how many terminals each side of it should bear at most.
func (o *origin) terminals(stud int) int {
	if o.positive.Kind == catalog.OnStud {
		return stud
	}
	return 1
}

// placement is how far from it the first fuse may sit.
func (o *origin) placement(defaults *electrical.Defaults, v *catalog.Vehicle, where electrical.Environment) electrical.Placement {
	if o.isConverter() {
		return defaults.PlacementAtConverter(v.Category, v.OutboardOnly)
	}
	return defaults.PlacementOf(v.Category, o.battery.Chemistry, where, v.OutboardOnly)
}

// originOf gives the origin of an id; empty means the vehicle's first battery.
func (s *solver) originOf(id string) *origin {
	for _, o := range s.origins {
		if o.ID == id {
			return o
		}
	}
	return s.origins[0]
}

// sensorAt tells whether the vehicle's sensor sits on the negative of an origin.
func (s *solver) sensorAt(o *origin) bool {
	return !o.isConverter() && s.vehicle.SensorAt(o.battery)
}

// mayUseBody tells whether a circuit may return over the body. What a converter
// feeds never does: the output of an isolated one has no connection to the body.
func (s *solver) mayUseBody(c *circuitPlan) bool {
	return !c.origin.isConverter() && chassisAllowed(s.vehicle, c.zone, &c.device)
}
