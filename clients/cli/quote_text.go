package cli

import (
	"fmt"
	"strconv"
	"strings"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// dateForm is how dates are shown: unmistakable on both sides of the ocean.
const dateForm = "2 Jan 2006"

// quotePage lays out a quote: what it is for, what is built, what it costs, why,
// and the cautions last. Where it names no time zone, its dates are in the given one.
func quotePage(p *page.Page, q *lugbookv1.Quote, otherwise *time.Location, cost bool) {
	quoteHead(p, q, zoneOf(q, otherwise))
	quoteBody(p, q, cost)
}

// quoteBody writes all of a quote that follows its head.
func quoteBody(p *page.Page, q *lugbookv1.Quote, cost bool) {
	o := newOutline(q)
	shortParts(p, q)
	circuits(p, o)
	looseBlocks(p, o)
	groundStraps(p, o)
	leads(p, o)
	money(p, o, cost)
	options(p, q.GetOptions())
	alternatives(p, q.GetDesign().GetAlternatives())
	bullets(p, "Conflicts with the makers' figures", o.conflictTexts())
	bullets(p, "Advice", o.adviceTexts())
	charging(p, q.GetDesign().GetCharging())
	reasons(p, o)
	bullets(p, "Notes", q.GetNotes())
	bullets(p, "Assumptions", q.GetAssumptions())
	bullets(p, "Not included", q.GetExclusions())
	cautions(p, q.GetDesign().GetSafetyNotes())
}

// quoteHead writes who quotes what for whom until when.
func quoteHead(p *page.Page, q *lugbookv1.Quote, zone *time.Location) {
	title := "Quote " + q.GetNumber()
	if q.GetNumber() == "" {
		title = "Quote, preview"
	}
	p.Ends(q.GetShop().GetName(), title)
	for line := range strings.Lines(q.GetShop().GetAddress()) {
		p.Text(0, line)
	}
	if q.GetShop().GetPhone() != "" {
		p.Text(0, q.GetShop().GetPhone())
	}
	for _, line := range q.GetShop().GetLegalLines() {
		p.Text(0, line)
	}
	p.Blank()
	quoteRows(p, q, zone)
	if n := len(q.GetDesign().GetSafetyNotes()); n > 0 {
		p.Item(0, "cautions", headLabel, fmt.Sprintf("%d, at the end: read them before work begins", n))
	}
}

// quoteRows writes for whom the quote is, where it stands and what it comes to.
func quoteRows(p *page.Page, q *lugbookv1.Quote, zone *time.Location) {
	row := func(label, text string) {
		if text != "" {
			p.Item(0, label, headLabel, text)
		}
	}
	c, v := q.GetCustomer(), q.GetVehicle()
	row("state", standing(q))
	row("customer", listed(c.GetName(), c.GetPhone(), c.GetEmail(), c.GetReference()))
	row("vehicle", listed(firstOf(v.GetLabel(), v.GetId()), volts(v.GetNominalV())))
	row("made", dateText(q.GetCreateTime(), zone))
	row("valid until", dateText(q.GetValidUntil(), zone))
	row("total", listedBy("; ", moneyText(q.GetTotals().GetTotal()), rangeText(q.GetTotals())))
}

// shortParts writes what of the quote was not there when it was made, and what would do
// instead.
func shortParts(p *page.Page, q *lugbookv1.Quote) {
	var texts []string
	for _, s := range q.GetShortages() {
		texts = append(texts, s.GetText())
	}
	if way := q.GetStockedWay(); way != nil {
		texts = append(texts, way.GetText())
	}
	bullets(p, "Short of stock", texts)
}

// looseBlocks writes the blocks that no circuit of the design feeds; the others
// stand under their trunk.
func looseBlocks(p *page.Page, o *outline) {
	fed := map[string]bool{}
	for _, e := range o.entries {
		fed[e.circuit.GetId()] = true
	}
	var texts []string
	for _, b := range o.quote.GetDesign().GetBlocks() {
		if !fed[b.GetFedBy()] {
			texts = append(texts, o.blockText(b))
		}
	}
	bullets(p, "Distribution blocks", texts)
}

// groundStraps writes the straps that the body gets.
func groundStraps(p *page.Page, o *outline) {
	straps := o.quote.GetDesign().GetGroundStraps()
	if len(straps.GetRuns()) == 0 {
		return
	}
	p.Heading(strapsTitle)
	for _, run := range straps.GetRuns() {
		runText(p, indent, "strap", run, o.quote.GetUnitSystem())
	}
}

// leads writes the speaker, trigger and signal leads.
func leads(p *page.Page, o *outline) {
	var texts []string
	for _, l := range o.quote.GetDesign().GetLeads() {
		texts = append(texts, o.leadName(l)+": "+o.leadText(l))
	}
	bullets(p, "Leads", texts)
}

// leadText gives what a lead is made of and where it goes. One that is bought as
// it is has no conductor.
func (o *outline) leadText(l *lugbookv1.LeadPlan) string {
	conductor := conductorText(l.GetConductor())
	if conductor == "" {
		conductor = o.part(l.GetSku())
	}
	size := ""
	if l.GetLengthM() > 0 {
		size = length(l.GetLengthM(), o.quote.GetUnitSystem())
	}
	path := ""
	if l.GetFrom() != "" && l.GetTo() != "" {
		path = "from " + o.called(l.GetFrom()) + " to " + o.called(l.GetTo())
	}
	share := ""
	if l.LoopSharePercent != nil {
		share = "adds " + percent(l.GetLoopSharePercent()) + " to the speaker's impedance"
	}
	return listedBy("; ", fmt.Sprintf("%d × %s", max(l.GetCount(), 1), listed(size, conductor)), path, share)
}

// options writes the choices that the customer has.
func options(p *page.Page, list []*lugbookv1.Option) {
	if len(list) == 0 {
		return
	}
	p.Heading("Options")
	for _, o := range list {
		label := o.GetLabel()
		if o.GetChosen() {
			label += " (this quote)"
		}
		p.Ends("-  "+label, moneyText(o.GetTotal()))
		for _, d := range o.GetDifferences() {
			p.Text(indent, d)
		}
	}
}

// alternatives writes the layouts that were looked at and not taken.
func alternatives(p *page.Page, list []*lugbookv1.LayoutAlternative) {
	if len(list) == 0 {
		return
	}
	p.Heading("Other ways, turned down")
	for _, a := range list {
		p.Ends("-  "+firstOf(a.GetLabel(), "another layout"), labelled("% before tax", moneyText(a.GetTotalBeforeTax())))
		for _, d := range a.GetDifferences() {
			p.Text(indent, d)
		}
		switch {
		case a.GetWhyNot() != "":
			p.Text(indent, "why not: "+a.GetWhyNot())
		case !a.GetValid():
			p.Text(indent, "why not: it would not meet the rules")
		}
	}
}

// adviceTexts gives the sentences of advice.
func (o *outline) adviceTexts() []string {
	var texts []string
	for _, a := range o.quote.GetDesign().GetAdvice() {
		texts = append(texts, labelled("%: ", o.called(a.GetAt()))+a.GetText())
	}
	return texts
}

// conflictTexts gives the sentences of conflicts.
func (o *outline) conflictTexts() []string {
	var texts []string
	for _, c := range o.quote.GetDesign().GetConflicts() {
		texts = append(texts, labelled("%: ", o.called(c.GetDeviceId()))+c.GetText())
	}
	return texts
}

// balanceText gives the balance in one line.
func balanceText(c *lugbookv1.ChargingBalance) string {
	verdict := "enough"
	if !c.GetPass() {
		verdict = "NOT ENOUGH"
	}
	text := fmt.Sprintf("left over when cruising %s: %s; at idle %s", amps(c.GetCruiseSurplusA()), verdict, amps(c.GetIdleSurplusA()))
	if c.EngineOffHours != nil {
		text += fmt.Sprintf("; %s hours with the engine off", strconv.FormatFloat(c.GetEngineOffHours(), 'f', 1, 64))
	}
	return text + "; the equipment draws " + amps(c.GetAverageLoadA()) + " on average"
}

// charging writes what charging leaves.
func charging(p *page.Page, c *lugbookv1.ChargingBalance) {
	if c == nil {
		return
	}
	p.Heading("Charging")
	p.Item(0, "-", bulletLabel, balanceText(c))
	for _, r := range reasonTexts(c.GetReasons()) {
		p.Item(0, "-", bulletLabel, r)
	}
}
