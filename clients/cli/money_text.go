package cli

import (
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// wholeJob heads the lines that belong to no circuit.
const wholeJob = "WHOLE JOB"

// money writes the lines by section, and the sums.
func money(p *page.Page, o *outline, cost bool) {
	q := o.quote
	sections := []struct {
		title string
		of    lugbookv1.LineSection
	}{
		{"Parts", lugbookv1.LineSection_LINE_SECTION_PARTS},
		{"Labour", lugbookv1.LineSection_LINE_SECTION_LABOUR},
		{"Supplies", lugbookv1.LineSection_LINE_SECTION_SUPPLIES},
		{"Charges", lugbookv1.LineSection_LINE_SECTION_CHARGES},
	}
	for _, section := range sections {
		var lines []*lugbookv1.Line
		for _, l := range q.GetLines() {
			if l.GetSection() == section.of {
				lines = append(lines, l)
			}
		}
		if len(lines) > 0 {
			p.Heading(listed(section.title, q.GetCurrencyCode()))
			p.Table(lineTable(o, lines, cost))
		}
	}
	if q.GetTotals() != nil {
		totals(p, q, cost)
	}
}

// lineTable makes the table of a section, its lines under the name of their
// circuit where there are several.
func lineTable(o *outline, lines []*lugbookv1.Line, cost bool) page.Table {
	t := page.Table{Full: true, Columns: []page.Column{
		{Title: "qty", Right: true}, {Title: "unit"}, {Title: "what", Wraps: true}, {Title: "each", Right: true}, {Title: "amount", Right: true},
	}}
	if cost {
		t.Columns = append(t.Columns, page.Column{Title: "cost", Right: true}, page.Column{Title: "margin", Right: true})
	}
	groups := byCircuit(o, lines)
	for _, g := range groups {
		if len(groups) > 1 {
			t.Rows = append(t.Rows, []string{"", "", g.title})
		}
		for _, l := range g.lines {
			row := []string{plain(l.GetQuantity()), l.GetUnit(), lineText(l), l.GetUnitPrice().GetAmount(), l.GetAmount().GetAmount()}
			if cost {
				row = append(row, l.GetCost().GetAmount(), l.GetMargin().GetAmount())
			}
			t.Rows = append(t.Rows, row)
		}
	}
	return t
}

// lineText gives what a line is, with its number and what the counter has to
// know of its stock.
func lineText(l *lugbookv1.Line) string {
	text := l.GetDescription() + labelled(" (%)", l.GetSku())
	if l.GetSubstituteSku() != "" {
		text += "; " + plain(l.GetOnHand()) + " on hand, " + l.GetSubstituteSku() + " would do as well"
	}
	return text
}

// lineGroup is the lines of one circuit, or of one purpose.
type lineGroup struct {
	title string
	lines []*lugbookv1.Line
}

// byCircuit divides lines by circuit, in the order in which circuits are shown,
// and puts those of the whole job last.
func byCircuit(o *outline, lines []*lugbookv1.Line) []lineGroup {
	byID := map[string][]*lugbookv1.Line{}
	for _, l := range lines {
		byID[l.GetCircuitId()] = append(byID[l.GetCircuitId()], l)
	}
	var groups []lineGroup
	take := func(id, title string) {
		if len(byID[id]) > 0 {
			groups = append(groups, lineGroup{strings.ToUpper(title), byID[id]})
			delete(byID, id)
		}
	}
	for _, e := range o.entries {
		take(e.circuit.GetId(), e.title())
	}
	whole := byID[""]
	delete(byID, "")
	for _, l := range lines { // leads, and what the design does not name
		take(l.GetCircuitId(), o.called(l.GetCircuitId()))
	}
	return append(groups, byPurpose(whole)...)
}

// byPurpose divides the lines of the whole job: those that several lines have one
// reason for, as spares are, stand under that reason after the others.
func byPurpose(lines []*lugbookv1.Line) []lineGroup {
	byWhy := map[string][]*lugbookv1.Line{}
	for _, l := range lines {
		byWhy[l.GetWhy()] = append(byWhy[l.GetWhy()], l)
	}
	rest := lineGroup{title: wholeJob}
	var groups []lineGroup
	for _, l := range lines {
		alike := byWhy[l.GetWhy()]
		switch {
		case l.GetWhy() == "" || len(alike) == 1:
			rest.lines = append(rest.lines, l)
		case alike[0] == l:
			groups = append(groups, lineGroup{l.GetWhy(), alike})
		}
	}
	if len(rest.lines) > 0 {
		groups = append([]lineGroup{rest}, groups...)
	}
	return groups
}

// totals writes the sums.
func totals(p *page.Page, q *lugbookv1.Quote, cost bool) {
	t := q.GetTotals()
	p.Heading(listed("Totals", q.GetCurrencyCode()))
	table := page.Table{Full: true, Columns: []page.Column{{Wraps: true}, {Right: true}}}
	row := func(label string, m *lugbookv1.Money) {
		if m != nil && !isZero(m) {
			table.Rows = append(table.Rows, []string{label, m.GetAmount()})
		}
	}
	row("parts", t.GetParts())
	row("labour", t.GetLabour())
	row("supplies", t.GetSupplies())
	row("charges", t.GetCharges())
	row("discount, taken off", t.GetDiscount())
	for _, tax := range t.GetTaxes() {
		label := fmt.Sprintf("%s %s%% on %s", tax.GetLabel(), tax.GetRatePercent(), tax.GetBase().GetAmount())
		if tax.GetIncluded() {
			label += ", included in the prices"
		}
		table.Rows = append(table.Rows, []string{label, tax.GetAmount().GetAmount()})
	}
	table.Rows = append(table.Rows, []string{"TOTAL", t.GetTotal().GetAmount()})
	row("at least, once every length is measured", t.GetTotalLow())
	row("at most, once every length is measured", t.GetTotalHigh())
	row("never more than, whatever turns up", t.GetNotToExceed())
	row("of the lines, proper termination", t.GetProperTermination())
	row("of the total, due on ordering", t.GetDeposit())
	if cost {
		row("cost", t.Cost)
		row("margin", t.Margin)
	}
	p.Table(table)
}

// rangeText says what the total may come to while lengths are not measured.
func rangeText(t *lugbookv1.Totals) string {
	if t.GetTotalLow() == nil || t.GetTotalHigh() == nil {
		return ""
	}
	return "from " + t.GetTotalLow().GetAmount() + " to " + moneyText(t.GetTotalHigh()) + " once every length is measured"
}

// isZero tells that an amount is nothing, by its digits.
func isZero(m *lugbookv1.Money) bool { return strings.Trim(m.GetAmount(), "0.-") == "" }

// moneyText gives an amount with its currency, as exact as it was sent.
func moneyText(m *lugbookv1.Money) string {
	return strings.TrimSpace(m.GetAmount() + " " + m.GetCurrencyCode())
}
