package coverage

import (
	"cmp"
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// Severity tells whether a finding stops work.
type Severity string

// The severities.
const (
	// Advice is allowed and probably a slip, or worth knowing.
	Advice Severity = "advice"
	// Fault stops work that the catalog itself invites.
	Fault Severity = "fault"
)

// Finding is one thing that a catalog lacks or that goes with nothing in it.
type Finding struct {
	Severity Severity
	// Code names the sentence in the wording.
	Code    string
	Figures []electrical.Figure
	// Parts is the SKUs that it is about, sorted.
	Parts []string
	// Stops is where work would stop, sorted: the SKU of a part, or a vehicle's id
	// with that of its battery or zone after a slash.
	Stops []string
}

// Conductor is what goes with one stocked conductor.
type Conductor struct {
	SKU  string
	Size quantity.Size
	// Studs is those for which some ring takes the conductor, thinnest first.
	Studs []catalog.Stud
	// Ferrules, PushOns and Butts count the terminals that take it, Sleeves the
	// adhesive-lined ones that pass and grip it, Holders and Blocks those on which
	// it may land.
	Ferrules, PushOns, Butts, Sleeves, Holders, Blocks int
	// Tools is the SKUs of those that crimp some terminal on it, sorted.
	Tools []string
	// Labour is the tasks by size for which the shop has a time.
	Labour []catalog.Task
}

// Report is what Check found.
type Report struct {
	// Findings stand with faults first, then by code and parts.
	Findings []Finding
	// Conductors stand by SKU.
	Conductors []Conductor
}

// Check looks through a catalog.
func Check(cat *catalog.Catalog) *Report {
	c := &checker{cat: cat, planner: termination.NewPlanner(cat.Choice()), gaps: map[string]*gap{}}
	c.groupConductors()
	c.collectPlaces()
	c.collectOffers()
	for _, g := range c.groups {
		c.ends(g)
		c.bare(g)
	}
	c.fuses()
	c.curves()
	r := &Report{Conductors: c.conductors()}
	for _, g := range c.gaps {
		r.Findings = append(r.Findings, g.found())
	}
	slices.SortFunc(r.Findings, func(a, b Finding) int {
		if order := cmp.Or(cmp.Compare(b.Severity, a.Severity), cmp.Compare(a.Code, b.Code), slices.Compare(a.Parts, b.Parts)); order != 0 {
			return order
		}
		return cmp.Compare(key(a.Code, a.Figures), key(b.Code, b.Figures))
	})
	return r
}
