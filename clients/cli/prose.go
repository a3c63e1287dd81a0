package cli

import (
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
)

// Indents and label widths of the text form, in columns.
const (
	indent      = 3  // of what belongs to a line above it
	headLabel   = 11 // labels at the head of a quote
	detailLabel = 11 // labels of a circuit's or an end's particulars
	bulletLabel = 1
)

// bullets writes a section with one point for each text, unless there is none.
func bullets(p *page.Page, title string, texts []string) {
	if len(texts) == 0 {
		return
	}
	p.Heading(title)
	for _, text := range texts {
		p.Item(0, "-", bulletLabel, text)
	}
}

// cautions writes the safety notes. They come last, so that they stand on the
// screen when everything else has scrolled away, and each begins with its mark.
func cautions(p *page.Page, notes []*lugbookv1.SafetyNote) {
	if len(notes) == 0 {
		return
	}
	p.Heading("Cautions: read before work begins")
	for _, n := range notes {
		p.Blank()
		p.Item(0, "!!", 2, severityText(n.GetSeverity())+": "+n.GetText())
		if n.GetBecause() != "" {
			p.Text(4, "why: "+n.GetBecause())
		}
	}
}

// severityText gives the signal word of a caution.
func severityText(s lugbookv1.Severity) string {
	switch s {
	case lugbookv1.Severity_SEVERITY_DANGER:
		return "DANGER"
	case lugbookv1.Severity_SEVERITY_ADVICE:
		return "NOTE"
	}
	return "CAUTION"
}

// reasonTexts gives each reason as one sentence with its source, and none twice.
func reasonTexts(lists ...[]*lugbookv1.Reason) []string {
	var texts []string
	seen := map[string]bool{}
	for _, list := range lists {
		for _, r := range list {
			text := r.GetText()
			if text == "" {
				text = strings.TrimSpace(r.GetRule() + " " + figureList(r.GetFigures(), lugbookv1.UnitSystem_UNIT_SYSTEM_UNSPECIFIED))
			}
			text += labelled(" [%]", r.GetSource())
			if !seen[text] {
				seen[text] = true
				texts = append(texts, text)
			}
		}
	}
	return texts
}

// conflictTexts gives the sentences of conflicts of a single run.
func conflictTexts(conflicts []*lugbookv1.Conflict) []string {
	texts := make([]string, len(conflicts))
	for i, c := range conflicts {
		texts[i] = c.GetText()
	}
	return texts
}

// voltageText gives a voltage check in one line; at is where it is judged.
func voltageText(v *lugbookv1.VoltageCheck, at string) string {
	verdict := "within limits"
	if !v.GetPass() {
		verdict = "NOT WITHIN LIMITS"
	}
	text := volts(v.GetDeviceV()) + " of " + volts(v.GetSourceV()) + " at " + at + ": " +
		volts(v.GetDropV()) + " lost, " + percent(v.GetDropPercent()) + labelledLimit(v.GetLimitPercent())
	if v.GetConductorLimitPercent() > 0 {
		text += "; " + volts(v.GetConductorDropV()) + " of it in the cables" + labelledLimit(v.GetConductorLimitPercent())
	}
	return text + "; " + verdict
}

// labelledLimit gives a limit behind a value; 0 is none.
func labelledLimit(limit float64) string {
	if limit == 0 {
		return ""
	}
	return " (limit " + percent(limit) + ")"
}

// fuseText gives an overcurrent device with its holder and its place.
func fuseText(f *lugbookv1.OvercurrentDevice, units lugbookv1.UnitSystem) string {
	distance := ""
	if f.GetDistanceM() > 0 { // 0 is right on the post, as the place says
		distance = length(f.GetDistanceM(), units) + " of cable from the source"
	}
	name := firstOf(f.GetDescription(), strings.TrimSpace(amps(f.GetRatingA())+" "+word(f.GetFamily())))
	return listedBy("; ", name, f.GetHolderDescription(), f.GetAt(), distance)
}

// firstOf gives the first text that is not empty.
func firstOf(texts ...string) string {
	for _, t := range texts {
		if t != "" {
			return t
		}
	}
	return ""
}
