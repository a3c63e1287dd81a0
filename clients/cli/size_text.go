package cli

import (
	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// sizePage lays out a sized run.
func sizePage(p *page.Page, r *lugbookv1.SizeRunResponse, units lugbookv1.UnitSystem) {
	row := func(label, text string) {
		if text != "" {
			p.Item(0, label, detailLabel, text)
		}
	}
	row("conductor", conductorText(r.GetConductor()))
	if r.GetFuse() != nil {
		row("fuse", fuseText(r.GetFuse(), units))
	}
	if r.GetRunning() != nil {
		row("voltage", voltageText(r.GetRunning(), "the device"))
	}
	figureTable(p, r.GetFigures(), units)
	bullets(p, "Conflicts", conflictTexts(r.GetConflicts()))
	bullets(p, "Assumptions", r.GetAssumptions())
	bullets(p, "Reasons", reasonTexts(r.GetReasons(), r.GetFuse().GetReasons()))
	cautions(p, r.GetSafetyNotes())
}

// figureTable writes figures, one a line.
func figureTable(p *page.Page, list []*lugbookv1.Figure, units lugbookv1.UnitSystem) {
	if len(list) == 0 {
		return
	}
	p.Heading("Figures")
	table := page.Table{Columns: []page.Column{{Wraps: true}, {Right: true}}}
	for _, f := range list {
		table.Rows = append(table.Rows, []string{figureLabel(f), figureValue(f, units)})
	}
	p.Table(table)
}
