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
	if len(r.GetFigures()) > 0 {
		p.Heading("Figures")
		table := page.Table{Columns: []page.Column{{Wraps: true}, {Right: true}}}
		for _, f := range r.GetFigures() {
			table.Rows = append(table.Rows, []string{figureLabel(f), figureValue(f, units)})
		}
		p.Table(table)
	}
	bullets(p, "Conflicts", conflictTexts(r.GetConflicts()))
	bullets(p, "Assumptions", r.GetAssumptions())
	bullets(p, "Reasons", reasonTexts(r.GetReasons(), r.GetFuse().GetReasons()))
	cautions(p, r.GetSafetyNotes())
}
