package catalog

import (
	"fmt"

	"example.com/lugbook/api/quantity"
)

func (d *reading) terminal(r *row) {
	t := another(&d.catalog.Terminals)
	d.part(r, KindTerminal, &t.Part)
	t.Form, t.Takes, t.Stud = word(r, "form", Forms()), r.needSpan(), r.stud("stud")
	t.Hole = quantity.Millimetres(r.numberOr("hole_mm", spanDiameter, 0))
	t.TabWidth = quantity.Millimetres(r.numberOr("tab_mm", above(0, 20, "mm"), 0))
	t.BarrelInner = quantity.Millimetres(r.number("barrel_inner_mm", spanDiameter))
	t.BarrelOuter = quantity.Millimetres(r.number("barrel_outer_mm", spanDiameter))
	t.BarrelLength = quantity.Millimetres(r.number("barrel_length_mm", spanDiameter))
	t.Construction = word(r, "construction", Constructions())
	t.Insulated, t.Tinned = r.yes("insulated"), r.yes("tinned")
	r.byPiece(&t.Part)
	if t.BarrelOuter > 0 && t.BarrelInner >= t.BarrelOuter {
		r.wrong("barrel_inner_mm", "the barrel has no wall", "less than barrel_outer_mm")
	}
	r.tongue(t)
}

// tongue checks the columns of a terminal's far end, which depend on its form.
func (r *row) tongue(t *Terminal) {
	if t.Form == "" {
		return
	}
	for _, c := range [...]struct {
		name string
		need bool
	}{{"stud", t.Form == Ring}, {"hole_mm", t.Form == Ring}, {"tab_mm", t.Form == PushOn}} {
		name := c.name
		switch _, stated := r.has(name); {
		case c.need && !stated:
			r.empty(name, fmt.Sprintf("stated for a %s", t.Form))
		case !c.need && stated:
			r.wrong(name, fmt.Sprintf("a %s has none", t.Form), "empty")
		}
	}
	if t.Form == Ring && t.Stud != "" && t.Hole > 0 && !t.Stud.Admits(t.Hole) {
		d, _ := t.Stud.Diameter()
		r.wrong("hole_mm", fmt.Sprintf("a hole of %s mm does not sit on a %s stud", plain(float64(t.Hole)), t.Stud),
			from(float64(d+holePlayMin), float64(looseHole(d)), "mm").String())
	}
}

func (d *reading) tool(r *row) {
	t := Tool{
		Part:  Part{SKU: r.code("sku"), Kind: KindTool, Description: r.text("description"), PackQty: 1},
		Forms: words(r, "forms", Forms()), Takes: r.needSpan(), Sort: word(r, "sort", ToolSorts()),
		Dies: r.optional("dies"), Repeat: r.yes("repeatable"),
	}
	if _, ok := r.has("forms"); !ok {
		r.empty("forms", list(Forms())+" (separated by spaces)")
	}
	d.catalog.Tools = append(d.catalog.Tools, t)
}
