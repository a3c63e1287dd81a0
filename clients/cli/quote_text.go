package cli

import (
	"fmt"
	"strings"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// dateForm is how dates are shown: unmistakable on both sides of the ocean.
const dateForm = "2 Jan 2006"

// quotePage lays out a quote: what it is for, what is built, what it costs, why,
// and the cautions last.
func quotePage(p *page.Page, q *lugbookv1.Quote, zone *time.Location, cost bool) {
	quoteHead(p, q, zone)
	circuits(p, q)
	blocksAndLeads(p, q)
	money(p, q, cost)
	options(p, q.GetOptions())
	bullets(p, "Conflicts with the makers' figures", conflictTexts(q.GetDesign().GetConflicts()))
	bullets(p, "Advice", adviceTexts(q.GetDesign().GetAdvice()))
	charging(p, q.GetDesign().GetCharging())
	quoteReasons(p, q.GetDesign())
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
	row := func(label, text string) {
		if text != "" {
			p.Item(0, label, headLabel, text)
		}
	}
	c, v := q.GetCustomer(), q.GetVehicle()
	row("customer", listed(c.GetName(), c.GetPhone(), c.GetEmail(), c.GetReference()))
	row("vehicle", listed(firstOf(v.GetLabel(), v.GetId()), volts(v.GetNominalV())))
	if q.GetValidUntil() != nil {
		row("valid until", q.GetValidUntil().AsTime().In(zone).Format(dateForm))
	}
	row("total", moneyText(q.GetTotals().GetTotal()))
	if n := len(q.GetDesign().GetSafetyNotes()); n > 0 {
		row("cautions", fmt.Sprintf("%d, at the end: read them before work begins", n))
	}
}

// circuits writes every circuit from fuse to ground.
func circuits(p *page.Page, q *lugbookv1.Quote) {
	list := q.GetDesign().GetCircuits()
	if len(list) == 0 {
		return
	}
	p.Heading("Circuits")
	units := q.GetUnitSystem()
	for i, c := range list {
		p.Blank()
		p.Ends(fmt.Sprintf("%d. %s", i+1, circuitName(c)), loadText(c))
		row := func(label, text string) {
			if text != "" {
				p.Item(indent, label, detailLabel, text)
			}
		}
		if c.GetProtection() != nil {
			row("fuse", fuseText(c.GetProtection(), units))
		}
		if c.GetFarProtection() != nil {
			row("far fuse", fuseText(c.GetFarProtection(), units))
		}
		if r := c.GetRelay(); r != nil {
			row("relay", listed(r.GetSku(), r.GetAt(), labelled("coil fused at %", amps(r.GetCoilFuseA()))))
		}
		for _, run := range c.GetRuns() {
			runText(p, run, units)
		}
		if c.GetRunning() != nil {
			row("running", voltageText(c.GetRunning()))
		}
		if c.GetEngineOff() != nil {
			row("engine off", voltageText(c.GetEngineOff()))
		}
		if c.GetShortCircuit() != nil {
			row("short", shortText(c.GetShortCircuit()))
		}
		row("selective", c.GetSelectivity().GetText())
	}
}

// circuitName says what a circuit feeds.
func circuitName(c *lugbookv1.Circuit) string {
	return firstOf(c.GetLabel(), strings.Join(c.GetDeviceIds(), ", "), c.GetId())
}

// loadText gives what a circuit carries; the peak where it differs.
func loadText(c *lugbookv1.Circuit) string {
	text := "load " + amps(c.GetLoadA())
	if peak := amps(c.GetPeakA()); c.GetPeakA() > 0 && peak != amps(c.GetLoadA()) {
		text += ", peak " + peak
	}
	return text
}

// runText writes one run and its two ends, which say where it goes.
func runText(p *page.Page, r *lugbookv1.Run, units lugbookv1.UnitSystem) {
	text := listed(length(r.GetLengthM(), units), conductorText(r.GetConductor()), r.GetColour())
	if len(r.GetEnds()) == 0 {
		text = listed(text, r.GetFrom()+" to "+r.GetTo())
	}
	text += "; drops " + volts(r.GetDropV()) + ", carries up to " + amps(r.GetAmpacityA())
	p.Item(indent, firstOf(word(r.GetPolarity()), "run"), detailLabel, text)
	for i, e := range r.GetEnds() {
		at := firstOf(e.GetAt(), []string{r.GetFrom(), r.GetTo()}[min(i, 1)], word(e.GetLanding().GetKind()))
		p.Item(2*indent, "at", detailLabel-indent, at+labelled(": %", endText(e)))
	}
}

// endText gives how an end is terminated.
func endText(e *lugbookv1.End) string {
	strip, sleeve := "", firstOf(e.GetSleeve(), e.GetSleeveSku())
	if e.GetStripMm() > 0 {
		strip = "strip " + millis(e.GetStripMm())
	}
	if sleeve != "" && e.GetSleeveCutMm() > 0 {
		sleeve += ", cut " + millis(e.GetSleeveCutMm())
	}
	return listedBy("; ", firstOf(e.GetTerminal(), e.GetTerminalSku()), word(e.GetMethod()), strip, sleeve)
}

// shortText gives what a short circuit at the far end does.
func shortText(s *lugbookv1.ShortCircuitCheck) string {
	opens, withstands := "the fuse is not shown to open", "the cable bears it"
	if s.OpensWithinS != nil {
		opens = "the fuse opens within " + seconds(s.GetOpensWithinS())
	}
	if s.ConductorWithstandsS != nil {
		withstands = "the cable bears it for " + seconds(s.GetConductorWithstandsS())
	}
	verdict := "safe"
	if !s.GetPass() {
		verdict = "NOT SAFE"
	}
	return fmt.Sprintf("%s at the far end: %s, %s; %s", amps(s.GetFarEndA()), opens, withstands, verdict)
}

// blocksAndLeads writes what a system has beside its circuits.
func blocksAndLeads(p *page.Page, q *lugbookv1.Quote) {
	if blocks := q.GetDesign().GetBlocks(); len(blocks) > 0 {
		p.Heading("Distribution blocks")
		for _, b := range blocks {
			p.Item(0, "-", bulletLabel, fmt.Sprintf("%s in %s, %d ways used", b.GetSku(), b.GetZone(), b.GetWaysUsed()))
		}
	}
	if leads := q.GetDesign().GetLeads(); len(leads) > 0 {
		p.Heading("Leads")
		for _, l := range leads {
			text := fmt.Sprintf("%d × %s, %s", max(l.GetCount(), 1), length(l.GetLengthM(), q.GetUnitSystem()), conductorText(l.GetConductor()))
			if l.LoopSharePercent != nil {
				text += ", " + percent(l.GetLoopSharePercent()) + " of the speaker's impedance"
			}
			p.Item(0, "-", bulletLabel, firstOf(l.GetLabel(), l.GetDeviceId()+" "+word(l.GetKind()))+": "+text)
		}
	}
}

// options writes the other ways to do the job.
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

// adviceTexts gives the sentences of advice.
func adviceTexts(list []*lugbookv1.Advice) []string {
	texts := make([]string, len(list))
	for i, a := range list {
		texts[i] = labelled("%: ", a.GetAt()) + a.GetText()
	}
	return texts
}

// charging writes what charging leaves.
func charging(p *page.Page, c *lugbookv1.ChargingBalance) {
	if c == nil {
		return
	}
	p.Heading("Charging")
	verdict := "enough"
	if !c.GetPass() {
		verdict = "NOT ENOUGH"
	}
	text := fmt.Sprintf("average load %s; left over at idle %s, cruising %s: %s",
		amps(c.GetAverageLoadA()), amps(c.GetIdleSurplusA()), amps(c.GetCruiseSurplusA()), verdict)
	if c.EngineOffHours != nil {
		text += fmt.Sprintf("; %s hours with the engine off", plain(c.GetEngineOffHours()))
	}
	p.Item(0, "-", bulletLabel, text)
	for _, r := range reasonTexts(map[string]bool{}, c.GetReasons()) {
		p.Item(0, "-", bulletLabel, r)
	}
}

// quoteReasons writes why each circuit is as it is, one line each.
func quoteReasons(p *page.Page, d *lugbookv1.Design) {
	headed := false
	for i, c := range d.GetCircuits() {
		lists := [][]*lugbookv1.Reason{c.GetReasons(), c.GetProtection().GetReasons(), c.GetFarProtection().GetReasons(), c.GetRelay().GetReasons()}
		for _, r := range c.GetRuns() {
			lists = append(lists, r.GetReasons())
			for _, e := range r.GetEnds() {
				lists = append(lists, e.GetReasons())
			}
		}
		texts := reasonTexts(map[string]bool{}, lists...)
		if len(texts) == 0 {
			continue
		}
		if !headed {
			p.Heading("Reasons")
			headed = true
		}
		p.Text(0, fmt.Sprintf("%d. %s", i+1, circuitName(c)))
		for _, text := range texts {
			p.Item(indent, "-", bulletLabel, text)
		}
	}
}
