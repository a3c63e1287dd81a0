package document

import (
	"cmp"
	"image/color"
	"slices"
	"strings"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/lugbook/service/wording"
)

// sketch is a picture that has been laid out and only needs drawing.
type sketch struct {
	size    vg.Point
	title   string
	heading []string
	notes   []string
	plot    *plot.Plot
	area    vg.Rectangle // of the paper with its axes, but for their titles

	currentTitle, timeTitle string

	paper     vg.Rectangle // the ruled paper itself
	bands     []band
	withstand []WithstandLine
	flags     []flag
	tags      []tag
}

// lay lays the picture out, or gives the faults of its input.
func (p CurvePicture) lay(t *wording.Teller) (*sketch, error) {
	if err := p.check(); err != nil {
		return nil, err
	}
	w := words{t}
	low, high := p.axisOf()
	s := &sketch{
		title: cmp.Or(strings.TrimSpace(p.Title), t.Say("curve.title")), plot: axes(t, low, high),
		currentTitle: t.Say("curve.current"), timeTitle: t.Say("curve.time"),
		bands: bandsOf(p.Fuses, w.fuse, high), withstand: p.Withstand,
	}
	const inner = pictureWidth - 2*margin
	s.heading = wrap(titleFace, s.title, inner)
	s.notes = wrap(noteFace, strings.Join(w.notes(p.Fuses, s.bands, high), " "), inner)
	s.flags = s.flagsOf(p.Marks, w)
	rows := hoist(s.flags)
	// Every curve reaches the paper and every name is narrower than it, so that on
	// a paper high enough each finds a place.
	for paper := leastPaper; ; paper += paperStep {
		s.measure(rows, paper)
		if s.placeTags(w) && (paper > highPaper || !s.tangled()) {
			return s, nil
		}
	}
}

// flagsOf gives the flags from left to right.
func (s *sketch) flagsOf(marks []Mark, w words) []flag {
	marks = slices.Clone(marks)
	slices.SortStableFunc(marks, func(a, b Mark) int { return cmp.Compare(a.Current, b.Current) })
	// How far to the right a current lies depends on no height.
	s.measure(0, leastPaper)
	paper := draw.Canvas{Rectangle: s.paper}
	x, _ := s.plot.Transforms(&paper)
	var flags []flag
	for _, m := range marks {
		flags = append(flags, newFlag(m, w.current(m.Current), w.mark(m, s.bands), x(float64(m.Current))))
	}
	return flags
}

// measure gives every part its place, from the rows that the flags take.
func (s *sketch) measure(rows, leastPaper vg.Length) {
	top := margin + vg.Length(len(s.heading))*lineHeight(titleFace) + gap + rows*lineHeight(labelFace) + gap
	bottom := margin + vg.Length(len(s.notes))*lineHeight(noteFace) + gap + lineHeight(labelFace)
	rule := func(height vg.Length) { // into so high a picture
		s.size = vg.Point{X: pictureWidth, Y: height}
		left := margin + lineHeight(labelFace) + gap
		s.area = vg.Rectangle{Min: vg.Point{X: left, Y: bottom}, Max: vg.Point{X: pictureWidth - margin, Y: height - top}}
		s.paper = s.plot.DataCanvas(draw.Canvas{Rectangle: s.area}).Rectangle
	}
	rule(top + pictureHeight + bottom)
	besides := s.size.Y - s.paper.Size().Y // what is no paper takes as much at any height
	rule(max(pictureHeight, besides+leastPaper))
	for i := range s.flags {
		f := &s.flags[i]
		f.box.Min.Y = s.paper.Max.Y + gap + f.row*lineHeight(labelFace)
		f.box.Max.Y = f.box.Min.Y + f.rows()*lineHeight(labelFace)
	}
}

// at gives where a point of a curve lies, be it off the paper.
func (s *sketch) at(n node) vg.Point {
	paper := draw.Canvas{Rectangle: s.paper}
	x, y := s.plot.Transforms(&paper)
	return vg.Point{X: x(float64(n.current)), Y: y(n.drawable())}
}

func (s *sketch) line(edge []node) []vg.Point {
	points := make([]vg.Point, len(edge))
	for i, n := range edge {
		points[i] = s.at(n)
	}
	return points
}

// onPaper gives the pieces of a line that lie on the paper.
func (s *sketch) onPaper(line []vg.Point) [][]vg.Point {
	paper := draw.Canvas{Rectangle: s.paper}
	return paper.ClipLinesXY(line)
}

// outlines gives the part of each band that lies on the paper.
func (s *sketch) outlines() [][]vg.Point {
	paper := draw.Canvas{Rectangle: s.paper}
	out := make([][]vg.Point, len(s.bands))
	for i := range s.bands {
		out[i] = paper.ClipPolygonXY(s.line(s.bands[i].outline()))
	}
	return out
}

func (l WithstandLine) nodes() []node {
	nodes := make([]node, len(l.Points))
	for i, p := range l.Points {
		nodes[i] = node{p.Current, p.Time.Seconds()}
	}
	return nodes
}

// draw draws everything, what must not be hidden last.
func (s *sketch) draw(c draw.Canvas) {
	c.SetColor(color.White)
	c.Fill(c.Rectangle.Path())
	setLines(c, titleFace, vg.Point{X: margin, Y: s.size.Y - margin}, s.heading)
	setLines(c, noteFace, vg.Point{X: margin, Y: s.area.Min.Y - lineHeight(labelFace) - gap}, s.notes)
	paper := draw.Canvas{Canvas: c, Rectangle: s.paper}
	rule(paper, s.plot)
	for i, outline := range s.outlines() {
		looks[i].hatch(paper, outline)
	}
	for i := range s.bands {
		for _, edge := range [][]node{s.bands[i].earliest, s.bands[i].latest} {
			paper.StrokeLines(looks[i].edge(), s.onPaper(s.line(edge))...)
		}
	}
	for i, l := range s.withstand {
		paper.StrokeLines(withstandStyle(i), s.onPaper(s.line(l.nodes()))...)
	}
	s.plot.Draw(draw.Canvas{Canvas: c, Rectangle: s.area})
	s.titleAxes(c)
	for i := range s.flags {
		s.flags[i].drawPole(c, s)
	}
	for i := range s.tags {
		s.tags[i].drawLeader(c)
	}
	for i := range s.tags {
		s.tags[i].draw(c)
	}
	for i := range s.flags {
		s.flags[i].drawText(c)
	}
}
