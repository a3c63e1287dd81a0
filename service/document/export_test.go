package document

import (
	"gonum.org/v1/plot/vg"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// Node is one sampled point of a band's edge.
type Node struct {
	Current quantity.Amps
	Seconds float64
}

// Edges gives the sampled edges of a fuse's band, as they are drawn.
func Edges(f CurveOf, upTo quantity.Amps) (earliest, latest []Node) {
	shown := func(edge []node) []Node {
		var out []Node
		for _, n := range edge {
			out = append(out, Node{n.current, n.seconds})
		}
		return out
	}
	e, l := edges(f, upTo)
	return shown(e), shown(l)
}

// Layout is where the texts of a picture stand.
type Layout struct {
	Size        vg.Point
	Paper       vg.Rectangle
	Flags, Tags []vg.Rectangle
	Poles       []vg.Length
	Leaders     [][2]vg.Point
	// SVG and PNG draw it.
	SVG, PNG func() ([]byte, error)
}

// LayOut gives the layout of a picture.
func (p CurvePicture) LayOut(t *wording.Teller) (Layout, error) {
	s, err := p.lay(t)
	if err != nil {
		return Layout{}, err
	}
	out := Layout{Size: s.size, Paper: s.paper, SVG: s.svg, PNG: s.png}
	for _, f := range s.flags {
		out.Flags, out.Poles = append(out.Flags, f.box), append(out.Poles, f.pole)
	}
	for _, tag := range s.tags {
		out.Tags = append(out.Tags, tag.box)
		out.Leaders = append(out.Leaders, [2]vg.Point{tag.leader().a, tag.leader().b})
	}
	return out, nil
}

// Outcome says what a fuse does within a band.
func Outcome(t *wording.Teller, o electrical.Opening) string { return words{t}.opening(o) }

// Hatching gives the hatch lines within a polygon.
func Hatching(polygon []vg.Point, angle float64, step vg.Length) [][2]vg.Point {
	var out [][2]vg.Point
	for _, s := range hatching(polygon, angle, step) {
		out = append(out, [2]vg.Point{s.a, s.b})
	}
	return out
}
