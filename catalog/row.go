package catalog

import (
	"fmt"
	"strings"

	"example.com/lugbook/api/quantity"
)

// row is one row of a table. Its methods read a cell by column name, report
// what is wrong with it and then give the zero value, so that one pass finds
// every fault of the row.
type row struct {
	*table
	cells []string
}

// at reports a fault of the field counted from 0.
func (r *row) at(field int, problem, allowed string) {
	if field < len(r.cells) {
		r.fault(r.source.line(field), field+1, problem, allowed)
		return
	}
	r.fault(r.source.line(0), field+1, problem, allowed) // a short row: the cell is not there
}

// wrong reports a fault of a named column's cell.
func (r *row) wrong(name, problem, allowed string) {
	field, ok := r.place.of(name)
	if !ok { // an optional column that the file leaves out
		r.fault(r.source.line(0), 0, name+": "+problem, allowed)
		return
	}
	r.at(field, name+": "+problem, allowed)
}

// advise reports what is allowed but probably a slip.
func (r *row) advise(name, problem string) {
	field := r.place.fields[name]
	r.found.report.advise(Fault{File: r.file, Line: r.source.line(min(field, len(r.cells)-1)), Column: field + 1, Problem: name + ": " + problem})
}

// has gives a cell's text; false where it is empty.
func (r *row) has(name string) (string, bool) {
	field, ok := r.place.of(name)
	if !ok || field >= len(r.cells) || r.cells[field] == "" {
		return "", false
	}
	return r.cells[field], true
}

// empty reports a cell that must not be empty.
func (r *row) empty(name, allowed string) { r.wrong(name, "the cell is empty", allowed) }

// optional gives a cell's text, empty where not stated.
func (r *row) optional(name string) string {
	text, _ := r.has(name)
	return text
}

// text gives the text of a cell that must not be empty.
func (r *row) text(name string) string {
	text, ok := r.has(name)
	if !ok {
		r.empty(name, "")
	}
	return text
}

// number gives the number of a cell that must not be empty.
func (r *row) number(name string, b bounds) float64 {
	if _, ok := r.has(name); !ok {
		r.empty(name, b.String())
		return 0
	}
	return r.numberOr(name, b, 0)
}

// numberOr gives the number of a cell, or the fallback where it is empty.
func (r *row) numberOr(name string, b bounds, fallback float64) float64 {
	text, ok := r.has(name)
	if !ok {
		return fallback
	}
	v, problem := parseNumber(text, b)
	if problem != "" {
		r.wrong(name, problem, b.String())
	}
	return v
}

// whole gives the count of a cell that must not be empty.
func (r *row) whole(name string, b bounds) int {
	text, ok := r.has(name)
	if !ok {
		r.empty(name, b.String())
		return 0
	}
	n, problem := parseWhole(text, b)
	if problem != "" {
		r.wrong(name, problem, b.String())
	}
	return n
}

// yes gives the answer of a cell; an empty one is no.
func (r *row) yes(name string) bool {
	yes, _ := r.yesStated(name)
	return yes
}

// answer gives the answer of a cell that must not be empty.
func (r *row) answer(name string) bool {
	yes, _ := r.yesStated(name)
	if _, ok := r.has(name); !ok {
		r.empty(name, "yes, no")
	}
	return yes
}

// yesStated gives the answer of a cell and whether there is one.
func (r *row) yesStated(name string) (yes, stated bool) {
	switch text, ok := r.has(name); {
	case !ok:
		return false, false
	case strings.EqualFold(text, "yes"):
		return true, true
	case strings.EqualFold(text, "no"):
		return false, true
	default:
		r.wrong(name, quote(text)+" is neither yes nor no", "yes, no")
		return false, true
	}
}

// word gives the word of a cell that must not be empty.
func word[T ~string](r *row, name string, known []T) T {
	if _, ok := r.has(name); !ok {
		r.empty(name, list(known))
		return ""
	}
	return optionalWord(r, name, known)
}

// optionalWord gives the word of a cell, empty where not stated.
func optionalWord[T ~string](r *row, name string, known []T) T {
	text, ok := r.has(name)
	if !ok {
		return ""
	}
	w, ok := oneOf(text, known)
	if !ok {
		r.wrong(name, unknownWord("word", text, known), list(known))
	}
	return w
}

// words gives the words of a cell, which are separated by spaces.
func words[T ~string](r *row, name string, known []T) []T {
	var all []T
	for _, text := range strings.Fields(r.optional(name)) {
		w, ok := oneOf(text, known)
		if !ok {
			r.wrong(name, unknownWord("word", text, known), list(known)+" (separated by spaces)")
			continue
		}
		all = append(all, w)
	}
	return all
}

func oneOf[T ~string](text string, known []T) (T, bool) {
	for _, k := range known {
		if string(k) == text {
			return k, true
		}
	}
	return "", false
}

// size gives the conductor size of a cell, the zero Size where it is empty.
func (r *row) size(name string) quantity.Size {
	text, ok := r.has(name)
	if !ok {
		return quantity.Size{}
	}
	if s, ok := r.sizes[text]; ok {
		return s
	}
	s, err := quantity.ParseSize(text)
	switch {
	case err != nil:
		r.wrong(name, err.Error(), sizeExamples)
	case len(r.sizes) < maxSizes:
		if r.sizes == nil {
			r.sizes = map[string]quantity.Size{}
		}
		r.sizes[text] = s
	}
	return s
}

// maxSizes is more spellings of sizes than a table has, and a bound on memory.
const maxSizes = 256

const sizeExamples = "8 AWG, 1/0 AWG, 16 mm2"

// sized gives the conductor size of a cell that must not be empty.
func (r *row) sized(name string) quantity.Size {
	if _, ok := r.has(name); !ok {
		r.empty(name, sizeExamples)
		return quantity.Size{}
	}
	return r.size(name)
}

// span gives the range of two size cells: both stated, or neither.
func (r *row) span(smallest, largest string) Range {
	_, hasMin := r.has(smallest)
	_, hasMax := r.has(largest)
	if hasMin != hasMax {
		r.wrong(largest, fmt.Sprintf("only one of %s and %s is stated", smallest, largest), "both, or neither")
	}
	s := Range{Min: r.size(smallest), Max: r.size(largest)}
	r.growing(s.Min, s.Max, smallest, largest)
	return s
}

// needSpan gives the range of two size cells that must not be empty.
func (r *row) needSpan() Range {
	s := Range{Min: r.sized("smallest"), Max: r.sized("largest")}
	r.growing(s.Min, s.Max, "smallest", "largest")
	return s
}

// growing reports a largest size that is thinner than the smallest.
func (r *row) growing(least, most quantity.Size, smallest, largest string) {
	if least != most && !least.IsZero() && !most.IsZero() && Thinner(most, least) {
		r.wrong(largest, fmt.Sprintf("thinner than %s", smallest), "a size as large or larger")
	}
}

// stud gives the stud of a cell, empty where not stated.
func (r *row) stud(name string) Stud { return optionalWord(r, name, Studs()) }
