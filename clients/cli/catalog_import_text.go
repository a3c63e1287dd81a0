package cli

import (
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// shownMoves is how many price moves are shown unless all are wanted: a screenful.
const shownMoves = 20

// importPage lays out what an import changed, or would change.
func importPage(p *page.Page, r *lugbookv1.ImportCatalogResponse, all bool) {
	revision := shortRevision(r.GetCatalogRevision())
	switch {
	case r.GetUnchanged():
		p.Text(0, "This very catalog is in force already; nothing was changed. Revision "+revision+".")
		return
	case r.GetDryRun():
		p.Text(0, fmt.Sprintf("Dry run: revision %s would replace %s; %d parts.", revision, shortRevision(r.GetPreviousRevision()), r.GetPartCount()))
	default:
		p.Text(0, fmt.Sprintf("In force now: revision %s, in place of %s; %d parts.", revision, shortRevision(r.GetPreviousRevision()), r.GetPartCount()))
	}
	p.Blank()
	changesOf(p, "parts", r.GetParts(), all)
	changesOf(p, "labour", r.GetOperations(), all)
	changesOf(p, "vehicles", r.GetVehicles(), all)
	if r.GetShopChanged() {
		p.Text(0, "The shop's own rules change.")
	}
	pricesPage(p, r, all)
	if len(r.GetNewlyUncovered()) > 0 {
		p.Heading("No longer covered")
		for _, f := range r.GetNewlyUncovered() {
			p.Text(0, f.GetText())
			if len(f.GetStops()) > 0 {
				p.Text(2, "stops work at: "+few(f.GetStops()))
			}
		}
	}
	if len(r.GetSlips()) > 0 {
		p.Blank()
	}
	for _, f := range r.GetSlips() {
		p.Text(0, "advice: "+faultLine(f))
	}
}

// changesOf lists what is added, changed and withdrawn of one kind.
func changesOf(p *page.Page, what string, c *lugbookv1.CatalogChanges, all bool) {
	for _, part := range []struct {
		deed  string
		names []string
		count int32
	}{{"added", c.GetAdded(), c.GetAddedCount()}, {"changed", c.GetChanged(), c.GetChangedCount()}, {"withdrawn", c.GetWithdrawn(), c.GetWithdrawnCount()}} {
		if part.count == 0 {
			continue
		}
		list := few(part.names)
		if all {
			list = strings.Join(part.names, ", ")
		}
		p.Text(0, fmt.Sprintf("%s %s: %d", what, part.deed, part.count))
		p.Text(2, list)
	}
}

// pricesPage shows how prices move, those that move furthest first.
func pricesPage(p *page.Page, r *lugbookv1.ImportCatalogResponse, all bool) {
	moves := r.GetPrices()
	if len(moves) == 0 {
		return
	}
	if !all {
		moves = moves[:min(len(moves), shownMoves)]
	}
	p.Heading(fmt.Sprintf("Prices that move: %d", r.GetPriceCount()))
	t := page.Table{Columns: []page.Column{{Title: "part"}, {Title: "what", Wraps: true}, {Title: "before", Right: true}, {Title: "after", Right: true}, {Title: "change", Right: true}}}
	for _, m := range moves {
		change := ""
		if m.Percent != nil {
			change = fmt.Sprintf("%+.1f %%", m.GetPercent())
		}
		t.Rows = append(t.Rows, []string{m.GetSku(), m.GetDescription(), moneyText(m.GetBefore()), moneyText(m.GetAfter()), change})
	}
	p.Table(t)
	if rest := int(r.GetPriceCount()) - len(moves); rest > 0 {
		p.Text(0, fmt.Sprintf("and %d more; --all shows up to 1000", rest))
	}
}

// shownDigits is how much of a catalog's revision is shown, as much as a person
// compares.
const shownDigits = 12

func shortRevision(revision string) string { return revision[:min(len(revision), shownDigits)] }
