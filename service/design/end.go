package design

import (
	"errors"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// EndQuestion asks how to make one end of a cable of the catalog, named by its
// SKU or by its size.
type EndQuestion struct {
	SKU         string
	Size        quantity.Size
	Material    electrical.Material // empty takes the category's own
	Landing     catalog.Landing
	Category    electrical.Category
	Environment electrical.Environment
}

// End plans one end. Malformed questions give Violations, an end that the catalog
// has no parts for *Unmet.
func (d *Designer) End(q EndQuestion) (termination.Plan, error) {
	var c checker
	known(&c, "category", q.Category, electrical.Categories())
	known(&c, "environment", q.Environment, electrical.Environments())
	known(&c, "landing.kind", q.Landing.Kind, catalog.LandingKinds())
	if q.Landing.Kind == catalog.OnStud || q.Landing.Kind == catalog.OnChassis {
		known(&c, "landing.stud", q.Landing.Stud, catalog.Studs())
	} else {
		c.stud("landing.stud", q.Landing.Stud)
	}
	if q.SKU == "" && q.Size.IsZero() {
		c.add("conductor", "required")
	}
	if len(c.found) > 0 {
		return termination.Plan{}, c.found
	}
	cable, ok := d.cable(&q)
	if !ok {
		return termination.Plan{}, &Unmet{Constraint: "conductor_not_stocked", At: "end", Figures: []electrical.Figure{electrical.SizeFigure("conductor", q.Size)}}
	}
	plan, err := d.planner.Plan(termination.Joint{Landing: q.Landing, Conductor: cable, Category: q.Category, Environment: q.Environment})
	var unfit *termination.Unfit
	if errors.As(err, &unfit) {
		return termination.Plan{}, &Unmet{Constraint: unfit.Constraint, At: "end", Figures: unfit.Figures}
	}
	return plan, err
}

// cable finds the cable meant: by SKU, else the first of the size among those
// that the category allows, else among all.
func (d *Designer) cable(q *EndQuestion) (*catalog.Conductor, bool) {
	if q.SKU != "" {
		entry, _ := d.cat.Entry(q.SKU)
		c, ok := entry.(*catalog.Conductor)
		return c, ok
	}
	for _, p := range d.candidates[q.Category].pairs {
		if p.feed.Size == q.Size && (q.Material == "" || p.feed.Material == q.Material) {
			return p.feed, true
		}
	}
	for i := range d.cat.Conductors {
		if c := &d.cat.Conductors[i]; c.Size == q.Size && (q.Material == "" || c.Material == q.Material) {
			return c, true
		}
	}
	return nil, false
}

// EndNotes gives the cautions that go with making one end.
func EndNotes(plan *termination.Plan) []Note {
	reason, _ := because("every_job")
	wanted := map[string]bool{"battery_ground_first": true, "shrink_heat": plan.Sleeve != nil, "defer": true}
	if plan.Soldered() {
		wanted["fumes"], wanted["hot_work"] = true, true
	}
	var notes []Note
	for _, rule := range cautions {
		if wanted[rule.code] {
			notes = append(notes, Note{Code: rule.code, Severity: rule.severity, Because: reason})
		}
	}
	return notes
}
