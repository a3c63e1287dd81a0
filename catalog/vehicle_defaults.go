package catalog

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// GrommetsUnstated marks a route whose panels nobody counted; SetDefaults
// replaces it.
const GrommetsUnstated = -1

// defaultReach is the run inside a zone where nobody measured it.
const defaultReach quantity.Metres = 1

// SetDefaults fills in what the statement of a vehicle may leave out, as the
// contract says for each field. What goes by category and belongs to the shop's
// or the rules' figures (charging output and shares, running volts) stays 0, and
// the fuel stays empty, which the rules take as petrol.
func (v *Vehicle) SetDefaults() {
	fill(&v.Label, v.ID)
	fill(&v.Nominal, 12)
	fill(&v.Body, NoBody)
	fill(&v.Charging.Kind, v.defaultCharging())
	for i := range v.Batteries {
		b := &v.Batteries[i]
		fill(&b.Chemistry, electrical.Flooded)
		fill(&b.Role, Both)
		fill(&b.Count, 1)
	}
	environments := make(map[string]electrical.Environment, len(v.Zones))
	for i := range v.Zones {
		z := &v.Zones[i]
		fill(&z.Label, z.ID)
		fill(&z.Environment, electrical.Cabin)
		if !z.HasReach {
			z.Reach = defaultReach
		}
		environments[z.ID] = z.Environment
	}
	for i := range v.Routes {
		r := &v.Routes[i]
		a, b := environments[r.From], environments[r.To]
		fill(&r.Environment, worse(a, b))
		if r.Grommets == GrommetsUnstated {
			r.Grommets = panels(a, b)
		}
	}
}

// fill sets a value that is not stated.
func fill[T comparable](value *T, fallback T) {
	if *value == *new(T) {
		*value = fallback
	}
}

func (v *Vehicle) defaultCharging() ChargingKind {
	switch {
	case v.Category == electrical.Trailer, v.Fuel == NoFuel:
		return NoCharging
	case v.Fuel == Electric:
		return DCDC
	case v.Category == electrical.Motorcycle:
		return Stator
	default:
		return Alternator
	}
}

// severity ranks the environments by what they do to cable: heat first, then
// weather and water.
var severity = map[electrical.Environment]int{
	electrical.Cabin: 1, electrical.WetLocker: 2, electrical.Exposed: 3, electrical.Underbody: 4, electrical.EngineSpace: 5,
}

// worse gives the more severe of two environments; cabin where neither is known.
func worse(a, b electrical.Environment) electrical.Environment {
	if severity[b] > severity[a] {
		a = b
	}
	if severity[a] == 0 {
		return electrical.Cabin
	}
	return a
}

// panels gives the panels a route passes where nobody counted them: one on the
// way out of an engine space.
func panels(a, b electrical.Environment) int {
	if (a == electrical.EngineSpace) != (b == electrical.EngineSpace) {
		return 1
	}
	return 0
}
