package catalog

import (
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"

	"go.yaml.in/yaml/v3"
)

// vehiclesFile is the file of vehicles.
const vehiclesFile = "vehicles.yaml"

// The keys of a vehicle: the contract's field names.
var (
	vehicleKeys = []string{"id", "label", "category", "nominal_v", "batteries", "charging", "standing_load_a", "zones", "routes",
		"fuel", "links", "battery_sensor", "body", "outboard_only"}
	batteryKeys = []string{"id", "chemistry", "capacity_ah", "cold_cranking_a", "internal_resistance_mohm", "short_circuit_a",
		"zone", "stud", "count", "role"}
	chargingKeys = []string{"kind", "rated_a", "idle_share", "cruise_share", "running_v"}
	linkKeys     = []string{"id", "from", "to", "kind", "rated_a"}
	zoneKeys     = []string{"id", "label", "environment", "ambient_c", "chassis_ground", "ground_stud", "vapour_hazard",
		"restraint_connectors", "reach_m", "removable", "controls"}
	routeKeys = []string{"from", "to", "length_m", "environment", "grommets", "bundled_with", "access_operations"}
)

// vehicles reads the whole file of vehicles.
func (d *reading) vehicles(doc *document, root *yaml.Node) {
	top := doc.fields(root, "", "vehicles")
	if _, ok := top.has("vehicles"); !ok {
		top.missing("vehicles", "a list of vehicles")
		return
	}
	seen := map[string]int{}
	for _, f := range top.each("vehicles", vehicleKeys...) {
		if f.at.Kind != yaml.MappingNode {
			continue // reported as that
		}
		v := f.vehicle()
		v.SetDefaults()
		f.violations(v.Check())
		if line, twice := seen[v.ID]; twice && v.ID != "" {
			f.fault(f.node(f.join("id")), fmt.Sprintf("vehicle %s is there twice, first on line %d", quote(v.ID), line), "")
		} else {
			seen[v.ID] = f.node(f.join("id")).Line
		}
		d.access(f, v)
		d.catalog.Vehicles = append(d.catalog.Vehicles, v)
	}
}

// violations reports what Vehicle.Check found, each at its place in the file. A
// value that could not even be read has its fault already.
func (f fields) violations(found []Violation) {
	for _, v := range found {
		if n := f.node(f.join(v.Path)); !f.unread[n] {
			f.report.fault(Fault{File: f.file, Line: n.Line, Column: n.Column, Problem: v.Path + ": " + v.Problem, Allowed: v.Allowed})
		}
	}
}

// access checks the operations that open a vehicle's routes against labour.csv.
func (d *reading) access(f fields, v Vehicle) {
	var codes []string
	for _, o := range d.catalog.Operations {
		if o.Task == TaskAccess {
			codes = append(codes, o.Code)
		}
	}
	for i, r := range v.Routes {
		for j, code := range r.Access {
			if _, ok := oneOf(code, codes); ok {
				continue
			}
			path := fmt.Sprintf("routes[%d].access_operations", i)
			n := f.node(f.join(path))
			if j < len(n.Content) {
				n = n.Content[j]
			}
			f.fault(n, path+": "+unknownWord("access operation", code, codes), fmt.Sprintf("a code of %s whose task is %s", labourFile, TaskAccess))
		}
	}
}

func (f fields) vehicle() Vehicle {
	v := Vehicle{
		ID: f.text("id"), Label: f.text("label"), Category: electrical.Category(f.text("category")),
		Nominal: quantity.Volts(f.value("nominal_v", anyNumber)), StandingLoad: quantity.Amps(f.value("standing_load_a", anyNumber)), HasStanding: f.values["standing_load_a"] != nil,
		Fuel: Fuel(f.text("fuel")), Sensor: f.yes("battery_sensor"), Body: Body(f.text("body")), OutboardOnly: f.yes("outboard_only"),
	}
	if c, ok := f.sub("charging", chargingKeys...); ok {
		v.Charging = Charging{
			Kind: ChargingKind(c.text("kind")), Rated: quantity.Amps(c.value("rated_a", anyNumber)),
			IdleShare: c.value("idle_share", anyNumber), CruiseShare: c.value("cruise_share", anyNumber),
			RunningV: quantity.Volts(c.value("running_v", anyNumber)),
		}
	}
	for _, b := range f.each("batteries", batteryKeys...) {
		v.Batteries = append(v.Batteries, b.battery())
	}
	for _, l := range f.each("links", linkKeys...) {
		v.Links = append(v.Links, Link{
			ID: l.text("id"), From: l.text("from"), To: l.text("to"), Kind: LinkKind(l.text("kind")),
			Rated: quantity.Amps(l.value("rated_a", anyNumber)),
		})
	}
	for _, z := range f.each("zones", zoneKeys...) {
		v.Zones = append(v.Zones, z.zone())
	}
	for _, r := range f.each("routes", routeKeys...) {
		v.Routes = append(v.Routes, Route{
			From: r.text("from"), To: r.text("to"), Length: quantity.Metres(r.value("length_m", anyNumber)),
			Environment: electrical.Environment(r.text("environment")),
			Grommets:    r.whole("grommets", spanGrommets, GrommetsUnstated), BundledWith: r.whole("bundled_with", spanBundled, 0),
			Access: r.texts("access_operations"),
		})
	}
	return v
}

func (f fields) battery() Battery {
	return Battery{
		ID: f.text("id"), Chemistry: electrical.Chemistry(f.text("chemistry")),
		Capacity:     quantity.AmpHours(f.value("capacity_ah", anyNumber)),
		ColdCranking: quantity.Amps(f.value("cold_cranking_a", anyNumber)),
		Internal:     quantity.Ohms(f.value("internal_resistance_mohm", anyNumber)) * quantity.Milliohm,
		ShortCircuit: quantity.Amps(f.value("short_circuit_a", anyNumber)),
		Zone:         f.text("zone"), Stud: Stud(f.text("stud")),
		Count: f.whole("count", spanBatteries, 1), Role: Role(f.text("role")),
	}
}

func (f fields) zone() Zone {
	z := Zone{
		ID: f.text("id"), Label: f.text("label"), Environment: electrical.Environment(f.text("environment")),
		ChassisGround: f.yes("chassis_ground"), GroundStud: Stud(f.text("ground_stud")),
		Vapour: f.yes("vapour_hazard"), Restraints: f.yes("restraint_connectors"), Removable: f.yes("removable"), Controls: f.yes("controls"),
	}
	ambient, hasAmbient := f.number("ambient_c", anyNumber)
	reach, hasReach := f.number("reach_m", anyNumber)
	z.Ambient, z.HasAmbient = quantity.Celsius(ambient), hasAmbient
	z.Reach, z.HasReach = quantity.Metres(reach), hasReach
	return z
}
