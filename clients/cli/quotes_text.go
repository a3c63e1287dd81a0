package cli

import (
	"fmt"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"google.golang.org/protobuf/types/known/timestamppb"
)

// momentForm is how the time of a deed is shown.
const momentForm = dateForm + " 15:04"

// receipt lays out what a change made of a quote: enough to tell the customer and
// to find it again.
func receipt(p *page.Page, q *lugbookv1.Quote, otherwise *time.Location) {
	p.Text(0, "Quote "+q.GetNumber())
	quoteRows(p, q, zoneOf(q, otherwise))
	design := q.GetDesign()
	if found := listed(counting(len(design.GetConflicts()), "conflict"), counting(len(design.GetSafetyNotes()), "caution")); found != "" {
		p.Item(0, "to read", headLabel, found+"; they stand on the quote")
	}
}

// counting gives a number of things, or nothing for none.
func counting(n int, what string) string {
	switch n {
	case 0:
		return ""
	case 1:
		return "1 " + what
	}
	return fmt.Sprintf("%d %ss", n, what)
}

// standing says where a stored quote stands.
func standing(q *lugbookv1.Quote) string {
	if q.GetNumber() == "" {
		return ""
	}
	return listed(word(q.GetState()), fmt.Sprintf("revision %d", q.GetRevision()))
}

// zoneOf gives the time zone that the dates of a quote are in: the shop's, as the
// quote says, or else the given one.
func zoneOf(q *lugbookv1.Quote, otherwise *time.Location) *time.Location {
	if zone, err := time.LoadLocation(q.GetTimeZone()); err == nil && q.GetTimeZone() != "" {
		return zone
	}
	return otherwise
}

// dateText gives the date of a time, or nothing for none.
func dateText(t *timestamppb.Timestamp, zone *time.Location) string {
	if t == nil {
		return ""
	}
	return t.AsTime().In(zone).Format(dateForm)
}

// history lays out what was done to a quote.
func history(p *page.Page, events []*lugbookv1.QuoteEvent, zone *time.Location) {
	if len(events) == 0 {
		return
	}
	p.Heading("History")
	t := page.Table{Columns: []page.Column{{Title: "when"}, {Title: "what"}, {Title: "revision", Right: true}, {Title: "by", Wraps: true}, {Title: "reason", Wraps: true}}}
	for _, e := range events {
		when := e.GetTime().AsTime().In(zone).Format(momentForm)
		t.Rows = append(t.Rows, []string{when, word(e.GetDeed()), fmt.Sprint(e.GetRevision()), firstOf(e.GetStaff(), e.GetCaller()), e.GetReason()})
	}
	p.Table(t)
}

// changes lays out which lines differ between two quotes of one job, with what
// each makes in money. The sums of a line are before discount and tax.
func changes(p *page.Page, list []*lugbookv1.LineChange, currency string) {
	if len(list) == 0 {
		p.Blank()
		p.Text(0, "No line is different.")
		return
	}
	p.Heading(listed("Lines that differ", currency))
	t := page.Table{Full: true, Columns: []page.Column{
		{Title: "change"}, {Title: "what", Wraps: true}, {Title: "before", Right: true}, {Title: "after", Right: true}, {Title: "more", Right: true},
	}}
	for _, c := range list {
		line := c.GetAfter()
		if line == nil {
			line = c.GetBefore()
		}
		t.Rows = append(t.Rows, []string{
			changeWord(c.GetKind()), lineText(line) + labelled("; %", rateChange(c)),
			c.GetBefore().GetAmount().GetAmount(), c.GetAfter().GetAmount().GetAmount(), c.GetDifference().GetAmount(),
		})
	}
	p.Table(t)
}

// changeWord says what became of a line.
func changeWord(k lugbookv1.LineChangeKind) string {
	switch k {
	case lugbookv1.LineChangeKind_LINE_CHANGE_KIND_ADDED:
		return "new"
	case lugbookv1.LineChangeKind_LINE_CHANGE_KIND_DROPPED:
		return "gone"
	}
	return word(k)
}

// rateChange says how quantity and price of a line differ; of a line that is new
// or gone, what they are.
func rateChange(c *lugbookv1.LineChange) string {
	before, after := c.GetBefore(), c.GetAfter()
	if before == nil || after == nil {
		line := firstLine(before, after)
		return listedBy(" at ", amountOf(line), line.GetUnitPrice().GetAmount())
	}
	quantity, price := "", ""
	if was, is := amountOf(before), amountOf(after); was != is {
		quantity = was + " → " + is
	}
	if was, is := before.GetUnitPrice().GetAmount(), after.GetUnitPrice().GetAmount(); was != is {
		price = "each " + was + " → " + is
	}
	return listed(quantity, price)
}

// firstLine gives the line that is there.
func firstLine(a, b *lugbookv1.Line) *lugbookv1.Line {
	if a != nil {
		return a
	}
	return b
}

// amountOf gives quantity and unit of a line.
func amountOf(l *lugbookv1.Line) string { return plain(l.GetQuantity()) + labelled(" %", l.GetUnit()) }

// reservations lays out what was set aside, and before it what is missing, which
// has to be ordered.
func reservations(p *page.Page, list []*lugbookv1.Reservation) {
	missing := page.Table{Columns: []page.Column{{Title: "missing", Right: true}, {Title: "unit"}, {Title: "what", Wraps: true}}}
	aside := page.Table{Columns: []page.Column{{Title: "qty", Right: true}, {Title: "unit"}, {Title: "what", Wraps: true}, {Title: "stock"}}}
	counted := 0
	for _, r := range list {
		what := r.GetDescription() + labelled(" (%)", r.GetSku())
		stock := "there"
		switch {
		case r.Missing == nil:
			stock = "not counted"
		case r.GetMissing() > 0:
			stock = plain(r.GetMissing()) + " missing"
			missing.Rows = append(missing.Rows, []string{plain(r.GetMissing()), r.GetUnit(), what})
		}
		if r.Missing != nil {
			counted++
		}
		aside.Rows = append(aside.Rows, []string{plain(r.GetQuantity()), r.GetUnit(), what, stock})
	}
	if len(missing.Rows) > 0 {
		p.Heading("To order: more is set aside than is there")
		p.Table(missing)
	}
	if len(aside.Rows) == 0 {
		return
	}
	p.Heading("Set aside")
	if counted == 0 { // one sentence says it for all
		p.Text(0, "The stock of these parts is not counted: see for yourself what is there.")
		aside.Columns = aside.Columns[:3]
	}
	p.Table(aside)
}
