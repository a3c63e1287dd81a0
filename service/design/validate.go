package design

import (
	"fmt"
	"math"
	"strings"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// Bounds of the input. Each is far outside any vehicle job; what lies beyond is a
// slip of the unit or the finger.
const (
	maxDevices  = 1000
	maxQuantity = 100
	maxLeads    = 32
	maxGrowth   = 200
	maxWatts    = 30000
	maxLength   = 100 // m
	maxSeconds  = 24 * 3600
	maxZones    = 200
	maxRoutes   = 1000
	maxBatts    = 20
	maxIDLength = 64
)

// checker collects violations.
type checker struct {
	found Violations
}

func (c *checker) add(field, code string, figures ...electrical.Figure) {
	c.found = append(c.found, Violation{Field: field, Code: code, Figures: figures})
}

// within asks for low ≤ v ≤ high; NaN fails.
func (c *checker) within(field string, v, low, high float64, unit electrical.Unit) {
	if !(v >= low && v <= high) {
		c.add(field, "range", electrical.Num("given", v, unit), electrical.Num("low", low, unit), electrical.Num("high", high, unit))
	}
}

// optional asks the same of a figure that may be 0 for "not stated".
func (c *checker) optional(field string, v, low, high float64, unit electrical.Unit) {
	if v != 0 {
		c.within(field, v, low, high, unit)
	}
}

// known asks for one of the allowed words.
func known[T ~string](c *checker, field string, word T, allowed []T) {
	for _, a := range allowed {
		if a == word {
			return
		}
	}
	if word == "" {
		c.add(field, "required", electrical.Name("allowed", list(allowed)))
		return
	}
	c.add(field, "unknown_word", electrical.Name("given", string(word)), electrical.Name("allowed", list(allowed)))
}

func list[T ~string](words []T) string {
	out := ""
	for i, w := range words {
		if i > 0 {
			out += ", "
		}
		out += string(w)
	}
	return out
}

// Validate gives every fault of a vehicle and a system, as fields of the
// contract's messages. The designer has candidates for every category.
func (d *Designer) Validate(v *catalog.Vehicle, system System) Violations {
	var c checker
	c.vehicle(v)
	vehicleSound := len(c.found) == 0
	c.system(v, system, d.cat)
	if vehicleSound && len(c.found) == 0 {
		c.reachable(v, system)
	}
	return c.found
}

func (c *checker) id(field, id string, seen map[string]bool) {
	switch {
	case id == "":
		c.add(field, "required")
	case len(id) > maxIDLength || strings.ContainsFunc(id, notInID):
		c.add(field, "id", electrical.Num("high", maxIDLength, electrical.UnitCount))
	case seen[id]:
		c.add(field, "duplicate", electrical.Name("given", id))
	}
	seen[id] = true
}

// pieces enters the ids that the pieces of one entry get, so that no other device
// shares them.
func (c *checker) pieces(field string, d *Device, seen map[string]bool) {
	if d.Kind == electrical.Light || d.Quantity > maxQuantity {
		return
	}
	for i := 1; i <= d.Quantity && d.Quantity > 1; i++ {
		id := numbered(d.ID, i)
		if seen[id] {
			c.add(field, "duplicate", electrical.Name("given", id))
			return
		}
		seen[id] = true
	}
}

// vehicle asks what the catalog asks of its own vehicles, and that none is so
// large that it must be a mistake.
func (c *checker) vehicle(v *catalog.Vehicle) {
	c.count("vehicle.zones", len(v.Zones), 1, maxZones)
	c.count("vehicle.batteries", len(v.Batteries), 1, maxBatts)
	c.count("vehicle.routes", len(v.Routes), 0, maxRoutes)
	if len(c.found) > 0 {
		return
	}
	for _, fault := range v.Check() {
		c.add("vehicle."+fault.Path, "as_stated", electrical.Name("problem", fault.Problem), electrical.Name("allowed", fault.Allowed))
	}
	for i := range v.Batteries {
		b := &v.Batteries[i]
		if b.Capacity == 0 && b.ColdCranking == 0 && b.Internal == 0 && b.ShortCircuit == 0 {
			c.add(fmt.Sprintf("vehicle.batteries[%d].capacity_ah", i), "battery_unstated")
		}
	}
}

// notInID tells the characters that no id may hold; the same as a vehicle's own.
func notInID(r rune) bool {
	return (r < 'a' || r > 'z') && (r < '0' || r > '9') && r != '-' && r != '_'
}

func (c *checker) count(field string, n, low, high int) {
	if n < low || n > high {
		c.add(field, "count", electrical.Num("given", n, electrical.UnitCount), electrical.Num("low", low, electrical.UnitCount), electrical.Num("high", high, electrical.UnitCount))
	}
}

func (c *checker) stud(field string, s catalog.Stud) {
	if s != "" {
		known(c, field, s, catalog.Studs())
	}
}

func (c *checker) knownZone(field, zone string, zones map[string]bool) {
	if zone == "" {
		c.add(field, "required")
	} else if !zones[zone] {
		c.add(field, "unknown_zone", electrical.Name("given", zone), electrical.Name("allowed", list(sortedKeys(zones))))
	}
}

func (c *checker) system(v *catalog.Vehicle, s System, cat *catalog.Catalog) {
	least := 1
	if len(s.Links) > 0 {
		least = 0 // a link alone is a job
	}
	c.count("system.devices", len(s.Devices), least, maxDevices)
	if s.Layout != "" {
		known(c, "system.layout", s.Layout, LayoutChoices())
	}
	c.within("system.growth_percent", float64(s.Growth), 0, maxGrowth, electrical.UnitPercent)
	zones, batteries := map[string]bool{}, map[string]bool{}
	for i := range v.Zones {
		zones[v.Zones[i].ID] = true
	}
	for i := range v.Batteries {
		batteries[v.Batteries[i].ID] = true
	}
	if n := circuitCount(s.Devices); len(s.Devices) <= maxDevices && n > maxDevices {
		c.count("system.devices", n, least, maxDevices)
	}
	ids, devices := map[string]bool{}, make([]Device, len(s.Devices))
	for i := range s.Devices {
		at := fmt.Sprintf("system.devices[%d]", i)
		d, _, ok := withEquipment(s.Devices[i], cat)
		devices[i] = d
		if !ok {
			c.add(at+".equipment_sku", "unknown_equipment", electrical.Name("given", d.EquipmentSKU))
		}
		c.id(at+".id", d.ID, ids)
		c.pieces(at+".id", &d, ids)
		c.knownZone(at+".zone", d.Zone, zones)
		if ok {
			c.device(at, &d)
		}
	}
	c.converters(devices, batteries)
	c.leastVolts(v, devices)
	c.leads(s.Leads, ids, zones)
	c.links(s.Links, cat, ids, batteries, zones)
}

// circuitCount gives how many circuits the devices become once quantities are
// counted out.
func circuitCount(devices []Device) int {
	n := 0
	for i := range devices {
		if d := &devices[i]; d.Kind == electrical.Light || d.Quantity < 1 {
			n++
		} else {
			n += min(d.Quantity, maxQuantity)
		}
	}
	return n
}

func (c *checker) device(at string, d *Device) {
	known(c, at+".kind", d.Kind, electrical.DeviceKinds())
	c.count(at+".quantity", d.Quantity, 0, maxQuantity)
	c.load(at, d)
	c.usage(at, d)
	c.optional(at+".maker.fuse_a", float64(d.Maker.Fuse), 0.5, 1000, electrical.UnitA)
	c.landing(at+".maker.positive", d.Maker.Positive)
	c.landing(at+".maker.negative", d.Maker.Negative)
	least, largest := d.Maker.ConductorMin, d.Maker.TerminalMax
	if !least.IsZero() && !largest.IsZero() && catalog.Thinner(largest, least) {
		c.add(at+".maker.conductor_min", "maker_sizes_cross", electrical.SizeFigure("least", least), electrical.SizeFigure("largest", largest))
	}
}

func (c *checker) landing(at string, l catalog.Landing) {
	if l.Kind == "" {
		return
	}
	known(c, at+".kind", l.Kind, catalog.LandingKinds())
	c.stud(at+".stud", l.Stud)
}

func (c *checker) load(at string, d *Device) {
	switch n := ratings(d.Load); {
	case n == 0:
		c.add(at, "no_rating")
		return
	case n > 1:
		c.add(at, "two_ratings")
		return
	}
	c.optional(at+".current_a", float64(d.Load.Current), float64(electrical.MinCurrent), float64(electrical.MaxCurrent), electrical.UnitA)
	c.optional(at+".input_power_w", float64(d.Load.Input), 0.1, maxWatts, electrical.UnitW)
	c.optional(at+".output_power_w", float64(d.Load.Output), 0.1, maxWatts, electrical.UnitW)
	c.optional(at+".efficiency", d.Load.Efficiency, 0.05, 1, electrical.UnitFactor)
	a := d.Load.Audio
	if a != (electrical.Audio{}) {
		if !a.Stated() {
			c.add(at+".audio", "audio_unstated")
		}
		c.optional(at+".audio.rms_w", float64(a.RMS), 1, maxWatts, electrical.UnitW)
		c.optional(at+".audio.onboard_fuse_a", float64(a.OnboardFuse), 1, 1000, electrical.UnitA)
		c.optional(at+".audio.efficiency", a.Efficiency, 0.05, 1, electrical.UnitFactor)
		c.count(at+".audio.channels", a.Channels, 0, 32)
	}
	if d.Load.Behaviour != "" {
		known(c, at+".behaviour", d.Load.Behaviour, electrical.Behaviours())
	}
}

// leastVolts asks that the least volts of a device lie near what feeds it.
func (c *checker) leastVolts(v *catalog.Vehicle, devices []Device) {
	nominal := map[string]quantity.Volts{}
	for i := range devices {
		if devices[i].Converter.Given() {
			nominal[devices[i].ID] = devices[i].Converter.Nominal
		}
	}
	for i := range devices {
		of, ok := nominal[devices[i].FedFrom]
		if !ok {
			of = v.Nominal
		}
		c.optional(fmt.Sprintf("system.devices[%d].min_v", i), float64(devices[i].MinVolts), float64(of)*0.5, float64(of)*1.05, electrical.UnitV)
	}
}

func (c *checker) usage(at string, d *Device) {
	if d.Nominal != 0 && d.Nominal != 12 && d.Nominal != 24 && d.Nominal != 48 {
		c.add(at+".nominal_v", "nominal", electrical.Num("given", d.Nominal, electrical.UnitV))
	}
	if d.HasMaxDrop {
		c.within(at+".max_drop_percent", float64(d.MaxDrop), 0.5, 10, electrical.UnitPercent)
	}
	if d.DropClass != "" {
		known(c, at+".drop_class", d.DropClass, electrical.DropClasses())
	}
	if d.HasMeasured {
		c.within(at+".measured_length_m", float64(d.Measured), 0.1, maxLength, electrical.UnitM)
	}
	if d.Surge != (electrical.Surge{}) {
		c.within(at+".surge.current_a", float64(d.Surge.Current), 0.01, 5000, electrical.UnitA)
		c.within(at+".surge.seconds", d.Surge.Duration.Seconds(), 0.001, 600, electrical.UnitS)
	}
	if d.Duty.Kind != "" {
		known(c, at+".duty.kind", d.Duty.Kind, electrical.DutyKinds())
	}
	if d.Duty.Kind == electrical.Intermittent {
		c.within(at+".duty.on_s", d.Duty.On.Seconds(), 0.01, maxSeconds, electrical.UnitS)
		c.within(at+".duty.off_s", d.Duty.Off.Seconds(), 0, maxSeconds, electrical.UnitS)
	}
}

// reachable asks for a way from each device's battery to its zone.
func (c *checker) reachable(v *catalog.Vehicle, s System) {
	r := newRoutes(v)
	// A device is reached from the battery or the converter that feeds it.
	zoneOf := map[string]string{}
	for i := range s.Devices {
		zoneOf[s.Devices[i].ID] = s.Devices[i].Zone
	}
	for i, l := range s.Leads {
		if _, ok := r.shortest(zoneOf[l.DeviceID], l.ToZone); l.ToZone != "" && !ok {
			c.add(fmt.Sprintf("system.leads[%d].to_zone", i), "no_route", electrical.Name("from", zoneOf[l.DeviceID]), electrical.Name("to", l.ToZone))
		}
	}
	for i := range s.Links {
		l := &s.Links[i]
		from := l.From
		if l.Kind != catalog.ShoreCharger && l.Kind != catalog.Solar {
			from = batteryOf(v, l.From).Zone
		}
		if _, ok := r.shortest(from, batteryOf(v, l.To).Zone); !ok {
			c.add(fmt.Sprintf("system.links[%d].to", i), "no_route", electrical.Name("from", from), electrical.Name("to", batteryOf(v, l.To).Zone))
		}
	}
	for i := range s.Devices {
		from, ok := zoneOf[s.Devices[i].FedFrom]
		if !ok {
			from = batteryOf(v, s.Devices[i].FedFrom).Zone
		}
		if _, ok := r.shortest(from, s.Devices[i].Zone); !ok {
			c.add(fmt.Sprintf("system.devices[%d].zone", i), "no_route", electrical.Name("from", from), electrical.Name("to", s.Devices[i].Zone))
		}
	}
}

// Seconds turns a stated number of seconds into a duration; a number that is no
// number, or beyond a year, gives the bound, which validation then refuses.
func Seconds(s float64) time.Duration {
	const year = 365 * 24 * 3600
	if math.IsNaN(s) || s > year {
		return year * time.Second
	}
	return time.Duration(max(s, -1) * float64(time.Second))
}

// Milliohms turns a stated number of milliohms into a resistance.
func Milliohms(m float64) quantity.Ohms { return quantity.Ohms(m) * quantity.Milliohm }

// leads asks that each lead belongs to a device and leads to a zone.
func (c *checker) leads(asked []Lead, devices, zones map[string]bool) {
	c.count("system.leads", len(asked), 0, maxDevices)
	for i := range asked {
		l, at := &asked[i], fmt.Sprintf("system.leads[%d]", i)
		if !devices[l.DeviceID] || l.DeviceID == "" {
			c.add(at+".device_id", "unknown_device", electrical.Name("given", l.DeviceID), electrical.Name("allowed", list(sortedKeys(devices))))
		}
		known(c, at+".kind", l.Kind, LeadKinds())
		c.count(at+".count", l.Count, 0, maxLeads)
		if l.HasLength {
			c.within(at+".length_m", float64(l.Length), 0.1, maxLength, electrical.UnitM)
		}
		c.optional(at+".impedance_ohm", float64(l.Impedance), 0.5, 32, electrical.UnitOhm)
		c.optional(at+".power_w", float64(l.Power), 0.1, 10000, electrical.UnitW)
		if l.ToZone != "" {
			c.knownZone(at+".to_zone", l.ToZone, zones)
		}
	}
}
