package termination

import (
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// Joint is one end to be made.
type Joint struct {
	Landing     catalog.Landing
	Conductor   *catalog.Conductor
	Category    electrical.Category
	Environment electrical.Environment
	// Battery tells that the landing is a battery post or stud.
	Battery bool
}

// Method is how an end is made.
type Method string

// The methods of new work.
const (
	Crimp          Method = "crimp"
	CrimpAndSolder Method = "crimp_and_solder"
	SolderedSplice Method = "soldered_splice"
	FerruleEnd     Method = "ferrule"
	PushOnEnd      Method = "push_on"
)

// Step is one step of the procedure, a code that the wording renders.
type Step struct {
	Code    string
	Figures []electrical.Figure
}

// Plan is how to make one end.
type Plan struct {
	Method    Method
	Terminal  *catalog.Terminal // nil for a soldered splice
	Sleeve    *catalog.Sleeve   // nil where none belongs (ferrules)
	SleeveCut quantity.Millimetres
	Strip     quantity.Millimetres
	Tool      *catalog.Tool    // nil for a soldered splice
	Pull      quantity.Newtons // of a sample; 0 = no figure applies
	Steps     []Step
	Work      []catalog.Work
	Reasons   []electrical.Reason
	// Resistance is barrel and contact together.
	Resistance quantity.Ohms
	// Nano is what the end costs: parts and unrounded labour, in billionths of
	// the currency unit.
	Nano int64
}

// Soldered tells that solder is part of the end.
func (p *Plan) Soldered() bool { return p.Method == CrimpAndSolder || p.Method == SolderedSplice }

// Unfit tells that an end cannot be made from the catalog, and what binds.
type Unfit struct {
	Constraint string // "landing.largest", "terminal", "sleeve", "tool", "labour"
	Figures    []electrical.Figure
}

func (u *Unfit) Error() string {
	return fmt.Sprintf("no way to make this end: %s", u.Constraint)
}

func unfit(constraint string, figures ...electrical.Figure) *Unfit {
	return &Unfit{Constraint: constraint, Figures: figures}
}

// onStud tells that the landing wants a ring.
func onStud(l catalog.Landing) bool {
	switch l.Kind {
	case catalog.OnStud, catalog.OnChassis:
		return true
	case catalog.OnHolder, catalog.OnBlock:
		return l.Stud != ""
	}
	return false
}

func isSplice(l catalog.Landing) bool {
	return l.Kind == catalog.OnSplice || l.Kind == catalog.OnFlyingLead
}
