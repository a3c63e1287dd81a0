package jobfile

import (
	"cmp"
	"fmt"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"
)

const (
	// maxShown is how many faults the text of [Faults] lists: a file of another
	// kind would give one for each of its lines.
	maxShown = 50
	// maxEcho is how many runes of the file a fault repeats.
	maxEcho = 40
)

// Fault is one thing wrong with a file.
type Fault struct {
	File    string   // name as it was given to Read
	Line    int      // 1 and up
	Column  int      // 1 and up, in characters
	What    string   // what is wrong
	Suggest string   // the allowed word that was probably meant, or empty
	Allowed []string // what could stand there, or nil where that is no list
}

// Error gives the fault in one line, beginning with file:line:column so that
// editors lead to the place.
func (f Fault) Error() string {
	var b strings.Builder
	fmt.Fprintf(&b, "%s:%d:%d: %s", f.File, f.Line, f.Column, f.What)
	if f.Suggest != "" {
		fmt.Fprintf(&b, " (did you mean %q?)", f.Suggest)
	}
	if len(f.Allowed) > 0 {
		b.WriteString("; allowed: ")
		b.WriteString(strings.Join(f.Allowed, ", "))
	}
	return b.String()
}

// Faults is everything wrong with a file, in the order of the file.
type Faults []Fault

// Error gives one line for each fault, at most 50 of them and then a count of
// the rest.
func (fs Faults) Error() string {
	lines := make([]string, 0, min(len(fs), maxShown)+1)
	for i, f := range fs {
		if i == maxShown {
			lines = append(lines, fmt.Sprintf("… and %d more", len(fs)-maxShown))
			break
		}
		lines = append(lines, f.Error())
	}
	return strings.Join(lines, "\n")
}

// sort puts the faults into the order of the file.
func (fs Faults) sort() {
	slices.SortStableFunc(fs, func(a, b Fault) int {
		return cmp.Or(cmp.Compare(a.Line, b.Line), cmp.Compare(a.Column, b.Column))
	})
}

// quoted repeats text of the file: shortened, on one line, without control
// characters.
func quoted(text string) string {
	if utf8.RuneCountInString(text) > maxEcho {
		text = string([]rune(text)[:maxEcho-1]) + "…"
	}
	return strconv.Quote(text)
}
