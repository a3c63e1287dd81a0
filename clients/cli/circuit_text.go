package cli

import (
	"fmt"
	"slices"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// circuits writes every circuit from fuse to ground, branches under their trunk.
func circuits(p *page.Page, o *outline) {
	if len(o.entries) == 0 {
		return
	}
	p.Heading("Circuits")
	for _, e := range o.entries {
		p.Blank()
		circuit(p, o, e)
	}
}

// circuit writes one circuit.
func circuit(p *page.Page, o *outline, e entry) {
	c, units := e.circuit, o.quote.GetUnitSystem()
	margin := e.depth * indent
	p.Ends(strings.Repeat(" ", margin)+e.title(), loadText(c))
	margin += indent
	row := func(label, text string) {
		if text != "" {
			p.Item(margin, label, detailLabel, text)
		}
	}
	row("fed from", o.source(e))
	if c.GetProtection() != nil {
		row("fuse", fuseText(o.withoutBlock(c), units))
	}
	if c.GetFarProtection() != nil {
		row("far fuse", fuseText(c.GetFarProtection(), units))
	}
	if r := c.GetRelay(); r != nil {
		coil := ""
		if r.GetCoilFuseA() > 0 {
			coil = "coil fused at " + amps(r.GetCoilFuseA())
		}
		row("relay", listedBy("; ", o.part(r.GetSku()), r.GetAt(), coil))
	}
	for _, run := range c.GetRuns() {
		runText(p, margin, word(run.GetPolarity()), run, units)
	}
	for _, b := range o.blocks(c.GetId()) {
		row("block", o.blockText(b))
	}
	if c.GetRunning() != nil {
		row("running", voltageText(c.GetRunning(), measuredAt(e)))
	}
	if c.GetEngineOff() != nil {
		row("engine off", voltageText(c.GetEngineOff(), measuredAt(e)))
	}
	if c.GetShortCircuit() != nil {
		row("short", shortText(c.GetShortCircuit()))
	}
	row("selective", c.GetSelectivity().GetText())
}

// source says what feeds a circuit: its trunk, its converter, or its battery where
// there are several to choose from.
func (o *outline) source(e entry) string {
	id, batteries := e.circuit.GetFedFrom(), o.quote.GetVehicle().GetBatteries()
	switch {
	case e.feeder != "":
		return e.feeder
	case !slices.ContainsFunc(batteries, func(b *lugbookv1.Battery) bool { return b.GetId() == id }):
		return o.names[id]
	case len(batteries) < 2:
		return ""
	}
	return labelled("battery %", id)
}

// withoutBlock gives the fuse of a circuit, without its holder where that is a
// way of the block that the trunk names already.
func (o *outline) withoutBlock(c *lugbookv1.Circuit) *lugbookv1.OvercurrentDevice {
	f := c.GetProtection()
	for _, b := range o.blocks(c.GetFedFrom()) {
		if b.GetSku() == f.GetHolderSku() && f.GetAt() != "" {
			return &lugbookv1.OvercurrentDevice{
				Family: f.GetFamily(), RatingA: f.GetRatingA(), Description: f.GetDescription(), At: "in the " + f.GetAt(), DistanceM: f.DistanceM,
			}
		}
	}
	return f
}

// blockText gives a block or bus, its place and how full it is.
func (o *outline) blockText(b *lugbookv1.Block) string {
	ways := "1 way used"
	if b.GetWaysUsed() != 1 {
		ways = fmt.Sprintf("%d ways used", b.GetWaysUsed())
	}
	return listedBy("; ", o.part(b.GetSku()), o.called(b.GetZone()), ways)
}

// measuredAt says where the voltage of a circuit is judged: at its block for a
// trunk, else at the device.
func measuredAt(e entry) string {
	if !e.trunk {
		return "the device"
	}
	if nodes := e.circuit.GetNodes(); len(nodes) > 0 && nodes[0].GetAt() != "" {
		return nodes[0].GetAt()
	}
	return "the block"
}

// loadText gives what a circuit carries; the peak where it differs.
func loadText(c *lugbookv1.Circuit) string {
	text := "load " + amps(c.GetLoadA())
	if peak := amps(c.GetPeakA()); c.GetPeakA() > 0 && peak != amps(c.GetLoadA()) {
		text += ", peak " + peak
	}
	return text
}

// runText writes one run and its two ends, which say where it goes. The run's
// label describes the cable.
func runText(p *page.Page, margin int, label string, r *lugbookv1.Run, units lugbookv1.UnitSystem) {
	text := listed(length(r.GetLengthM(), units), firstOf(r.GetLabel(), listed(conductorText(r.GetConductor()), r.GetColour())))
	if len(r.GetEnds()) == 0 {
		text = listed(text, r.GetFrom()+" to "+r.GetTo())
	}
	text += "; drops " + volts(r.GetDropV()) + ", carries up to " + amps(r.GetAmpacityA())
	p.Item(margin, firstOf(label, "run"), detailLabel, text)
	for i, e := range r.GetEnds() {
		at := firstOf(e.GetAt(), []string{r.GetFrom(), r.GetTo()}[min(i, 1)], word(e.GetLanding().GetKind()))
		p.Item(margin+indent, "at", detailLabel-indent, at+labelled(": %", endText(e)))
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
