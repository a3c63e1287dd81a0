package catalog

import (
	"fmt"
	"math"
	"strings"

	"example.com/lugbook/service/electrical"
)

// Violation is one thing wrong in a vehicle.
type Violation struct {
	Path    string // of the field in the contract's words: "routes[2].length_m"
	Problem string
	Allowed string // what would be right; empty where the problem says it
}

// Spans of a vehicle's figures: those of the contract.
var (
	spanCapacity    = from(0, 10_000, "Ah")
	spanCranking    = from(0, 10_000, "A")
	spanInternal    = from(0, 1000, "mΩ")
	spanShort       = from(0, 100_000, "A")
	spanBatteries   = from(1, 64, "batteries")
	spanStanding    = from(0, 500, "A")
	spanCharger     = from(0, 2000, "A")
	spanShare       = from(0, 1, "")
	spanAmbient     = from(-40, 150, "°C")
	spanReach       = from(0, 20, "m")
	spanRoute       = above(0, 100, "m")
	spanGrommets    = from(0, 20, "grommets")
	spanBundled     = from(0, 200, "conductors")
	spanLink        = above(0, 1000, "A")
	runningFactor   = 1.25 // the highest charging voltage over nominal
	maxID           = 64
	allowedID       = fmt.Sprintf("lower-case letters, digits, hyphens and underscores, 1 to %d", maxID)
	allowedNominals = "12, 24, 48"
)

// violations collects what is wrong in one vehicle.
type violations []Violation

func (vs *violations) add(path, problem, allowed string) {
	*vs = append(*vs, Violation{path, problem, allowed})
}

// span refuses a figure outside its span, NaN included.
func (vs *violations) span(path string, value float64, b bounds) {
	if !b.admits(value) {
		vs.add(path, fmt.Sprintf("%v is out of range", value), b.String())
	}
}

// known refuses a word that is not in the list; empty words are told apart by
// the callers.
func known[T ~string](vs *violations, path string, word T, words []T) {
	if _, ok := oneOf(string(word), words); !ok {
		vs.add(path, unknownWord("word", string(word), words), list(words))
	}
}

// id refuses an id of the wrong shape and one that is there twice.
func (vs *violations) id(path, id string, seen map[string]bool) {
	switch {
	case id == "":
		vs.add(path, "the id is missing", allowedID)
	case !isID(id):
		vs.add(path, quote(id)+" is no id", allowedID)
	case seen[id]:
		vs.add(path, quote(id)+" is there twice", "")
	}
	seen[id] = true
}

func isID(id string) bool {
	return len(id) <= maxID && !strings.ContainsFunc(id, func(c rune) bool {
		return (c < 'a' || c > 'z') && (c < '0' || c > '9') && c != '-' && c != '_'
	})
}

// Check tells everything that is wrong in a vehicle: figures outside their span
// (NaN and infinities too), ids, and names of zones and batteries that are not
// there. It expects SetDefaults to have run. Nil when all is well.
func (v *Vehicle) Check() []Violation {
	var vs violations
	vs.id("id", v.ID, map[string]bool{})
	known(&vs, "category", v.Category, electrical.Categories())
	known(&vs, "body", v.Body, Bodies())
	if v.Fuel != "" {
		known(&vs, "fuel", v.Fuel, Fuels())
	}
	if v.Nominal != 12 && v.Nominal != 24 && v.Nominal != 48 {
		vs.add("nominal_v", fmt.Sprintf("%v V is no system voltage", float64(v.Nominal)), allowedNominals)
	}
	vs.span("standing_load_a", float64(v.StandingLoad), spanStanding)
	if v.OutboardOnly && v.Category != electrical.Boat {
		vs.add("outboard_only", fmt.Sprintf("a %s has no outboard motor", v.Category), "only for a boat")
	}
	zones := v.checkZones(&vs)
	batteries := v.checkBatteries(&vs, zones)
	v.checkCharging(&vs)
	v.checkLinks(&vs, zones, batteries)
	v.checkRoutes(&vs, zones)
	return vs
}

func (v *Vehicle) checkZones(vs *violations) map[string]bool {
	ids := make(map[string]bool, len(v.Zones))
	if len(v.Zones) == 0 {
		vs.add("zones", "the vehicle has no zone", "at least one")
	}
	for i, z := range v.Zones {
		path := fmt.Sprintf("zones[%d].", i)
		vs.id(path+"id", z.ID, ids)
		known(vs, path+"environment", z.Environment, electrical.Environments())
		if z.HasAmbient {
			vs.span(path+"ambient_c", float64(z.Ambient), spanAmbient)
		}
		vs.span(path+"reach_m", float64(z.Reach), spanReach)
		if z.GroundStud != "" {
			known(vs, path+"ground_stud", z.GroundStud, Studs())
		}
	}
	return ids
}

func (v *Vehicle) checkBatteries(vs *violations, zones map[string]bool) map[string]bool {
	ids := make(map[string]bool, len(v.Batteries))
	if len(v.Batteries) == 0 {
		vs.add("batteries", "the vehicle has no battery", "at least one")
	}
	for i, b := range v.Batteries {
		path := fmt.Sprintf("batteries[%d].", i)
		vs.id(path+"id", b.ID, ids)
		known(vs, path+"chemistry", b.Chemistry, electrical.Chemistries())
		known(vs, path+"role", b.Role, Roles())
		vs.span(path+"capacity_ah", float64(b.Capacity), spanCapacity)
		vs.span(path+"cold_cranking_a", float64(b.ColdCranking), spanCranking)
		vs.span(path+"internal_resistance_mohm", b.Internal.Milliohms(), spanInternal)
		vs.span(path+"short_circuit_a", float64(b.ShortCircuit), spanShort)
		vs.span(path+"count", float64(b.Count), spanBatteries)
		if b.Stud != "" {
			known(vs, path+"stud", b.Stud, Studs())
		}
		vs.refer(path+"zone", "zone", b.Zone, zones, zoneIDs(v.Zones))
	}
	return ids
}

func (v *Vehicle) checkCharging(vs *violations) {
	c := v.Charging
	known(vs, "charging.kind", c.Kind, ChargingKinds())
	vs.span("charging.rated_a", float64(c.Rated), spanCharger)
	vs.span("charging.idle_share", c.IdleShare, spanShare)
	vs.span("charging.cruise_share", c.CruiseShare, spanShare)
	if c.RunningV != 0 && (math.IsNaN(float64(c.RunningV)) || v.Nominal > 0) {
		vs.span("charging.running_v", float64(c.RunningV), from(float64(v.Nominal), float64(v.Nominal)*runningFactor, "V"))
	}
}

func (v *Vehicle) checkLinks(vs *violations, zones, batteries map[string]bool) {
	ids := make(map[string]bool, len(v.Links))
	var names []string
	for _, b := range v.Batteries {
		names = append(names, b.ID)
	}
	for i, l := range v.Links {
		path := fmt.Sprintf("links[%d].", i)
		vs.id(path+"id", l.ID, ids)
		known(vs, path+"kind", l.Kind, LinkKinds())
		vs.span(path+"rated_a", float64(l.Rated), spanLink)
		vs.refer(path+"to", "battery", l.To, batteries, names)
		if l.Kind == ShoreCharger || l.Kind == Solar {
			vs.refer(path+"from", "zone", l.From, zones, zoneIDs(v.Zones))
			continue
		}
		vs.refer(path+"from", "battery", l.From, batteries, names)
		if l.From == l.To && l.From != "" {
			vs.add(path+"to", "the link ends at the battery it starts from", "another battery")
		}
	}
}

func (v *Vehicle) checkRoutes(vs *violations, zones map[string]bool) {
	for i, r := range v.Routes {
		path := fmt.Sprintf("routes[%d].", i)
		vs.refer(path+"from", "zone", r.From, zones, zoneIDs(v.Zones))
		vs.refer(path+"to", "zone", r.To, zones, zoneIDs(v.Zones))
		if r.From == r.To && r.From != "" {
			vs.add(path+"to", "the route ends in the zone it starts from", "another zone")
		}
		vs.span(path+"length_m", float64(r.Length), spanRoute)
		known(vs, path+"environment", r.Environment, electrical.Environments())
		vs.span(path+"grommets", float64(r.Grommets), spanGrommets)
		vs.span(path+"bundled_with", float64(r.BundledWith), spanBundled)
	}
}

// refer refuses the name of a zone or battery that is not there.
func (vs *violations) refer(path, what, name string, ids map[string]bool, names []string) {
	switch {
	case name == "":
		vs.add(path, "no "+what+" is named", list(names))
	case !ids[name]:
		vs.add(path, unknownWord(what, name, names), list(names))
	}
}

func zoneIDs(zones []Zone) []string {
	ids := make([]string, len(zones))
	for i, z := range zones {
		ids[i] = z.ID
	}
	return ids
}
