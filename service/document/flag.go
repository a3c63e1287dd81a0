package document

import (
	"slices"

	"gonum.org/v1/plot/vg"
)

// flag is a marked current above the paper: a pole at its current, with the value
// and the words beside its top.
type flag struct {
	mark  Mark
	value string
	lines []flagLine // beside the value
	pole  vg.Length
	row   vg.Length    // the lowest it takes, counted from the paper up
	box   vg.Rectangle // around value and words
}

// flagGap is the distance of a flag's value from its pole and its words, flagApart
// that of two flags in one row.
const (
	flagGap   vg.Length = 4
	flagApart vg.Length = 12
)

// flagLine is one line of a flag's text.
type flagLine struct {
	text   string
	indent vg.Length
	look   *look // shown in the indent; nil = none
}

// newFlag sets a flag's text. It goes to the right of the pole where it fits into
// the picture, else to the left; no text is wider than half a picture, so that it
// fits on one side.
func newFlag(m Mark, value string, remarks []remark, pole vg.Length) flag {
	f := flag{mark: m, value: value, pole: pole}
	side := boldFace.Width(value) + 2*flagGap
	width := side
	for _, r := range remarks {
		line := flagLine{look: r.look}
		if r.look != nil {
			line.indent = swatch.X + flagGap
		}
		for _, line.text = range wrap(labelFace, r.text, pictureWidth/2-margin-side-flagGap-line.indent) {
			f.lines = append(f.lines, line)
			width = max(width, side+line.indent+labelFace.Width(line.text))
			line.look = nil
		}
	}
	f.box.Min.X, f.box.Max.X = pole, pole+width
	if f.box.Max.X > pictureWidth-margin {
		f.box.Min.X, f.box.Max.X = pole-width, pole
	}
	return f
}

func (f *flag) rows() vg.Length { return vg.Length(max(1, len(f.lines))) }

// spans tells that a flag's text lies across another's pole.
func (f *flag) spans(o *flag) bool {
	return f != o && o.pole > f.box.Min.X && o.pole < f.box.Max.X
}

// overlaps tells that two flags' texts would lie on one another, or run into one.
func (f *flag) overlaps(o *flag) bool {
	return f.box.Min.X < o.box.Max.X+flagApart && o.box.Min.X < f.box.Max.X+flagApart && f.row < o.row+o.rows() && o.row < f.row+f.rows()
}

// hoist gives each flag its rows, the lowest at which no text lies on another or
// across a pole, and gives the rows used. A flag whose text lies across other
// poles goes above those; where two lie across each other's, the first does.
func hoist(flags []flag) vg.Length {
	var hoisted []*flag
	left := make([]*flag, len(flags))
	for i := range flags {
		left[i] = &flags[i]
	}
	var used vg.Length
	for len(left) > 0 {
		next := slices.IndexFunc(left, func(f *flag) bool { return !slices.ContainsFunc(left, f.spans) })
		f := left[max(next, 0)]
		f.raise(hoisted)
		used = max(used, f.row+f.rows())
		hoisted = append(hoisted, f)
		left = slices.Delete(left, max(next, 0), max(next, 0)+1)
	}
	return used
}

// raise puts a flag into the lowest rows that are free.
func (f *flag) raise(hoisted []*flag) {
	for _, o := range hoisted {
		if f.spans(o) {
			f.row = max(f.row, o.row+o.rows())
		}
	}
	for slices.ContainsFunc(hoisted, f.overlaps) {
		f.row++
	}
}
