package cli

import (
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// reasons writes why each circuit and lead is as it is, one line each. What goes
// for several circuits alike is said once, with their numbers.
func reasons(p *page.Page, o *outline) {
	texts, circuits := make([][]string, len(o.entries)), map[string][]string{}
	var order []string
	for i, e := range o.entries {
		texts[i] = reasonTexts(circuitReasons(e.circuit)...)
		for _, text := range texts[i] {
			if circuits[text] == nil {
				order = append(order, text)
			}
			circuits[text] = append(circuits[text], e.number)
		}
	}
	headed := false
	write := func(title string, texts []string) {
		if len(texts) == 0 {
			return
		}
		if !headed {
			p.Heading("Reasons")
			headed = true
		}
		p.Text(0, title)
		for _, text := range texts {
			p.Item(indent, "-", bulletLabel, text)
		}
	}
	shared := func(text string) bool { return len(circuits[text]) > 1 }
	for i, e := range o.entries {
		write(e.title(), where(texts[i], func(text string) bool { return !shared(text) }))
	}
	several := where(order, shared)
	for i, text := range several {
		several[i] = strings.Join(circuits[text], ", ") + ": " + text
	}
	write("Several circuits alike", several)
	if straps := o.quote.GetDesign().GetGroundStraps(); straps != nil {
		write(strapsTitle, reasonTexts(straps.GetReasons()))
	}
	for _, l := range o.quote.GetDesign().GetLeads() {
		write(o.leadName(l), reasonTexts(l.GetReasons()))
	}
}

// circuitReasons gives the reasons of a circuit and of all that is in it.
func circuitReasons(c *lugbookv1.Circuit) [][]*lugbookv1.Reason {
	lists := [][]*lugbookv1.Reason{c.GetReasons(), c.GetProtection().GetReasons(), c.GetFarProtection().GetReasons(), c.GetRelay().GetReasons()}
	for _, r := range c.GetRuns() {
		lists = append(lists, r.GetReasons())
		for _, e := range r.GetEnds() {
			lists = append(lists, e.GetReasons())
		}
	}
	return lists
}

// where gives the texts that are to be kept.
func where(texts []string, keep func(string) bool) []string {
	var kept []string
	for _, text := range texts {
		if keep(text) {
			kept = append(kept, text)
		}
	}
	return kept
}
