package document

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"
)

// look is how one band is told from the others: by the slant of its hatching and
// by its edge. The ink differs too, but all inks are dark: in grey print they
// come out alike, and nothing depends on them.
type look struct {
	degrees float64     // of the hatching, anticlockwise from level
	step    vg.Length   // from one hatch line to the next
	dashes  []vg.Length // of the edge; nil = unbroken
	ink     color.Color
}

// looks is every look, the clearest first. None is hatched upright: upright lines
// are marks.
var looks = [maxFuses]look{
	{45, 5, nil, color.RGBA{0x1b, 0x3a, 0x7a, 0xff}},
	{135, 5, []vg.Length{7, 3}, color.RGBA{0x8c, 0x1d, 0x18, 0xff}},
	{0, 5, []vg.Length{2, 2}, color.RGBA{0x16, 0x5c, 0x33, 0xff}},
	{68, 5, []vg.Length{9, 3, 2, 3}, color.RGBA{0x55, 0x2b, 0x7d, 0xff}},
	{112, 5, []vg.Length{4, 2}, color.RGBA{0x6b, 0x3f, 0x0c, 0xff}},
	{22, 5, []vg.Length{9, 3, 2, 3, 2, 3}, color.RGBA{0x0a, 0x5a, 0x66, 0xff}},
	{158, 5, []vg.Length{12, 4}, color.RGBA{0x7a, 0x1f, 0x5c, 0xff}},
	{0, 2.5, []vg.Length{1, 2}, color.RGBA{0x40, 0x40, 0x40, 0xff}},
}

// Widths of lines.
const (
	edgeWidth  vg.Length = 1.4
	hatchWidth vg.Length = 0.5
)

func (l look) edge() draw.LineStyle {
	return draw.LineStyle{Color: l.ink, Width: edgeWidth, Dashes: l.dashes}
}

// hatch fills a polygon with the look's hatching. Lines stand on one grid for the
// whole picture, so that equal hatchings run into one another.
func (l look) hatch(c draw.Canvas, polygon []vg.Point) {
	var path vg.Path
	for _, s := range hatching(polygon, l.degrees*math.Pi/180, l.step) {
		path.Move(s.a)
		path.Line(s.b)
	}
	if len(path) == 0 {
		return
	}
	c.SetLineStyle(draw.LineStyle{Color: l.ink, Width: hatchWidth})
	c.Stroke(path)
}

// swatch is the size of a sample of hatching beside text.
var swatch = vg.Point{X: 18, Y: 9}

// sample shows the look beside a line of text, from its top left corner.
func (l look) sample(c draw.Canvas, corner vg.Point) {
	const down = 1.5 // points, to stand level with the letters
	low := vg.Point{X: corner.X, Y: corner.Y - swatch.Y - down}
	high := low.Add(swatch)
	polygon := []vg.Point{low, {X: high.X, Y: low.Y}, high, {X: low.X, Y: high.Y}}
	l.hatch(c, polygon)
	c.StrokeLines(l.edge(), append(polygon, low))
}

// segment is a straight piece of a line.
type segment struct{ a, b vg.Point }

// hatching gives the pieces inside a polygon of parallel lines at an angle,
// a step apart.
func hatching(polygon []vg.Point, angle float64, step vg.Length) []segment {
	sin, cos := math.Sincos(angle)
	along := vg.Point{X: vg.Length(cos), Y: vg.Length(sin)}
	across := vg.Point{X: -along.Y, Y: along.X}
	low, high := math.Inf(1), math.Inf(-1)
	for _, p := range polygon {
		off := float64(p.Dot(across) / step)
		low, high = min(low, off), max(high, off)
	}
	var pieces []segment
	for n := math.Ceil(low); n <= high; n++ {
		offset := vg.Length(n) * step
		cuts := crossings(polygon, along, across, offset)
		for i := 0; i+1 < len(cuts); i += 2 { // in, out, in, out
			at := func(along1 vg.Length) vg.Point { return along.Scale(along1).Add(across.Scale(offset)) }
			pieces = append(pieces, segment{at(cuts[i]), at(cuts[i+1])})
		}
	}
	return pieces
}

// crossings gives where the sides of a polygon cross a line, in order along it.
func crossings(polygon []vg.Point, along, across vg.Point, offset vg.Length) []vg.Length {
	var cuts []vg.Length
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		da, db := a.Dot(across)-offset, b.Dot(across)-offset
		if (da <= 0) == (db <= 0) {
			continue
		}
		cuts = append(cuts, a.Add(b.Sub(a).Scale(da/(da-db))).Dot(along))
	}
	slices.Sort(cuts)
	return cuts
}
