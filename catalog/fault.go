package catalog

import (
	"cmp"
	"fmt"
	"slices"
	"strings"
)

// Fault is one thing wrong in a catalog folder, said so that the person who
// keeps the spreadsheet can find and mend it.
type Fault struct {
	File string // name within the folder
	// Line is counted from 1, as an editor does. 0 means the file as a whole.
	Line int
	// Column is, in a CSV file, the spreadsheet column counted from 1 (not the
	// byte): 3 is what a spreadsheet calls C. In a YAML file it is the character
	// counted from 1. 0 means the line as a whole.
	Column  int
	Problem string
	Allowed string // what would be right; empty where the problem says it
}

// Error gives the fault as one line: file:line:column: what is wrong; allowed: ….
func (f Fault) Error() string {
	var b strings.Builder
	b.WriteString(f.File)
	if f.Line > 0 {
		fmt.Fprintf(&b, ":%d", f.Line)
		if f.Column > 0 {
			fmt.Fprintf(&b, ":%d", f.Column)
		}
	}
	b.WriteString(": ")
	b.WriteString(f.Problem)
	if f.Allowed != "" {
		b.WriteString("; allowed: ")
		b.WriteString(f.Allowed)
	}
	return b.String()
}

// Faults is everything wrong in a catalog folder, by file, line and column. It
// is the error that Read returns; errors.As finds it.
type Faults []Fault

// Error gives one line per fault.
func (fs Faults) Error() string {
	lines := make([]string, len(fs))
	for i, f := range fs {
		lines[i] = f.Error()
	}
	return strings.Join(lines, "\n")
}

func (fs Faults) sort() {
	slices.SortStableFunc(fs, func(a, b Fault) int {
		return cmp.Or(strings.Compare(a.File, b.File), cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// maxFaults is how many faults are kept of one folder: more than anybody mends
// in one go, and a bound on memory when a file is something else altogether.
const maxFaults = 1000

// report collects what is found while a folder is read.
type report struct {
	faults  Faults
	advice  Faults
	dropped int
}

func (r *report) fault(f Fault) {
	if len(r.faults) >= maxFaults {
		r.dropped++
		return
	}
	r.faults = append(r.faults, f)
}

func (r *report) advise(f Fault) {
	if len(r.advice) < maxFaults {
		r.advice = append(r.advice, f)
	}
}

// add takes over what another report collected.
func (r *report) add(other *report) {
	for _, f := range other.faults {
		r.fault(f)
	}
	for _, f := range other.advice {
		r.advise(f)
	}
	r.dropped += other.dropped
}

// err gives the sorted faults, or nil where there are none.
func (r *report) err() error {
	if len(r.faults) == 0 {
		return nil
	}
	r.faults.sort()
	if r.dropped > 0 {
		last := r.faults[len(r.faults)-1]
		r.faults = append(r.faults, Fault{File: last.File, Problem: fmt.Sprintf("%d further faults are not listed; mend these first", r.dropped)})
	}
	return r.faults
}

// maxEcho is how many characters of a faulty cell are repeated.
const maxEcho = 40

// quote repeats what was written, shortened and on one line.
func quote(text string) string {
	n := 0
	for i := range text {
		if n == maxEcho {
			return fmt.Sprintf("%q", text[:i]+"…")
		}
		n++
	}
	return fmt.Sprintf("%q", text)
}

// list gives words in a row, as Allowed shows them.
func list[T ~string](words []T) string {
	parts := make([]string, len(words))
	for i, w := range words {
		parts[i] = string(w)
	}
	return strings.Join(parts, ", ")
}
