package catalog

import (
	"cmp"
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// curvesFile is the file of opening times that makers state for their fuses.
const curvesFile = "curves.csv"

var curvesColumns = []column{must("sku"), must("percent"), may("opening_min_s"), may("opening_max_s"), must("source")}

// What a gate's cells may hold; CheckGates says how gates go together.
var (
	spanGate    = from(100, 10_000, "% of the rating")
	spanOpening = above(0, 1_000_000, "s")
)

// gateRow is one row of the file: a gate, and where its cells stand.
type gateRow struct {
	sku    string
	gate   electrical.Gate
	source string
	line   int
	column map[string]int
}

func (d *reading) gate(r *row) {
	g := gateRow{sku: r.text("sku"), source: r.text("source"), line: r.source.line(0), column: map[string]int{}}
	g.gate.Percent = quantity.Percent(r.number("percent", spanGate))
	g.gate.Min, g.gate.Max = r.numberOr("opening_min_s", spanOpening, 0), r.numberOr("opening_max_s", spanOpening, 0)
	for name, field := range r.place.fields {
		g.column[name] = field + 1
	}
	d.gates[g.sku] = append(d.gates[g.sku], g)
}

// curves gives every fuse its opening band: by its maker's own gates where the shop
// has them, else its family's.
func (d *reading) curves(rep *report) {
	for i := range d.catalog.Fuses {
		f := &d.catalog.Fuses[i]
		f.Curve = electrical.CurveOf(f.Family, f.Rating)
		if rows := d.gates[f.SKU]; len(rows) > 0 {
			ownCurve(f, rows, rep)
			delete(d.gates, f.SKU)
		}
	}
	for sku, rows := range d.gates {
		rep.fault(Fault{File: curvesFile, Line: rows[0].line, Column: rows[0].column["sku"], Problem: "sku: no fuse has the number " + quote(sku), Allowed: "the number of a fuse in fuses.csv"})
	}
}

// ownCurve reads a part's gates: the lowest may be one without times, at and below
// which it stays closed.
func ownCurve(f *Fuse, rows []gateRow, rep *report) {
	slices.SortStableFunc(rows, func(a, b gateRow) int { return cmp.Compare(a.gate.Percent, b.gate.Percent) })
	noOpen, first := quantity.Percent(100), rows[0]
	if first.gate.Min == 0 && first.gate.Max == 0 {
		noOpen, rows = first.gate.Percent, rows[1:]
	}
	gates := make([]electrical.Gate, len(rows))
	for i, r := range rows {
		gates[i] = r.gate
	}
	faults := electrical.CheckGates(noOpen, gates)
	for _, fault := range faults {
		at := first
		if fault.Gate >= 0 {
			at = rows[fault.Gate]
		}
		column := fault.Column
		if _, ok := at.column[column]; !ok {
			column = "percent"
		}
		rep.fault(Fault{File: curvesFile, Line: at.line, Column: at.column[column], Problem: column + ": " + plain(fault.Value) + " does not go with the other gates of " + f.SKU, Allowed: fault.Allowed})
	}
	if len(faults) > 0 {
		return
	}
	f.Curve, _ = electrical.NewCurve(noOpen, gates) // just checked
	f.CurveSource = first.source
}
