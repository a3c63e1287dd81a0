package coverage

// NewGaps gives the faults of a report that another did not have, whatever parts they
// are about: what a new catalog no longer covers.
func NewGaps(before, after *Report) []Finding {
	known := map[string]bool{}
	for i := range before.Findings {
		known[key(before.Findings[i].Code, before.Findings[i].Figures)] = true
	}
	var fresh []Finding
	for _, f := range after.Findings {
		if f.Severity == Fault && !known[key(f.Code, f.Figures)] {
			fresh = append(fresh, f)
		}
	}
	return fresh
}
