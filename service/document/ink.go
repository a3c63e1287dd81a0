package document

import (
	"bytes"
	"html"
	"image/color"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// Styles of the lines that are no band's.
var (
	poleStyle   = draw.LineStyle{Color: color.Black, Width: 0.9}
	leaderStyle = draw.LineStyle{Color: color.Black, Width: 0.8}
)

// withstandStyle gives the heavy line of a conductor.
func withstandStyle(n int) draw.LineStyle {
	dashes := [maxWithstand][]vg.Length{nil, {10, 4}, {4, 3}, {10, 3, 3, 3}}
	return draw.LineStyle{Color: color.Black, Width: 2.4, Dashes: dashes[n]}
}

// dot fills a small circle.
func dot(c draw.Canvas, at vg.Point, radius vg.Length) {
	c.DrawGlyphNoClip(draw.GlyphStyle{Color: color.Black, Radius: radius, Shape: draw.CircleGlyph{}}, at)
}

// blank paints a box white, so that text on it can be read.
func blank(c draw.Canvas, box vg.Rectangle) {
	c.SetColor(color.White)
	c.Fill(box.Path())
}

// drawPole draws a mark through the paper up to its flag, with a dot at each time
// that the flag tells.
func (f *flag) drawPole(c draw.Canvas, s *sketch) {
	c.StrokeLine2(poleStyle, f.pole, s.paper.Min.Y, f.pole, f.box.Max.Y)
	if len(s.bands) > mostTold {
		return
	}
	for i := range s.bands {
		o := s.bands[i].opening(f.mark.Current)
		for _, seconds := range []float64{o.Min, o.Max} {
			if at := s.at(node{f.mark.Current, seconds}); at.Y >= s.paper.Min.Y && at.Y <= s.paper.Max.Y {
				dot(c, at, 2)
			}
		}
	}
}

// drawText sets the flag's value and words.
func (f *flag) drawText(c draw.Canvas) {
	width := boldFace.Width(f.value)
	corner := vg.Point{X: f.box.Min.X + flagGap, Y: f.box.Max.Y}
	if f.box.Max.X == f.pole {
		corner.X = f.box.Min.X
	}
	blank(c, vg.Rectangle{Min: vg.Point{X: corner.X - 1, Y: f.box.Min.Y}, Max: vg.Point{X: f.box.Max.X - 1, Y: f.box.Max.Y}})
	setLines(c, boldFace, corner, []string{f.value})
	corner.X += width + flagGap
	for _, line := range f.lines {
		if line.look != nil {
			line.look.sample(c, corner)
		}
		setLines(c, labelFace, vg.Point{X: corner.X + line.indent, Y: corner.Y}, []string{line.text})
		corner.Y -= lineHeight(labelFace)
	}
}

// drawLeader draws the thin line from a curve's name to the curve.
func (t *tag) drawLeader(c draw.Canvas) {
	l := t.leader()
	c.StrokeLines(leaderStyle, []vg.Point{l.a, l.b})
}

// draw sets a curve's name, after the sample of its hatching.
func (t *tag) draw(c draw.Canvas) {
	blank(c, t.box)
	corner := vg.Point{X: t.box.Min.X + tagPadding, Y: t.box.Max.Y - tagPadding}
	if t.look != nil {
		t.look.sample(c, corner)
		corner.X += swatch.X + tagPadding
	}
	setLines(c, labelFace, corner, t.lines)
}

// accessible gives an SVG its title, for those who hear it, and names the fonts
// that stand in for its own with the same widths where that is not installed.
func accessible(svg []byte, title string) []byte {
	// What a caller wrote holds no bare quote or angle bracket here: it is escaped.
	svg = bytes.ReplaceAll(svg, []byte(`style="font-family:Liberation Sans;`), []byte(`style="font-family:'Liberation Sans',Arial,Helvetica,sans-serif;`))
	head, rest, _ := bytes.Cut(svg, []byte("xlink\">\n"))
	return bytes.Join([][]byte{head, rest}, []byte("xlink\">\n<title>"+html.EscapeString(title)+"</title>\n"))
}
