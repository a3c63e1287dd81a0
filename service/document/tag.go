package document

import (
	"math"
	"slices"

	"gonum.org/v1/plot/vg"
)

// tag is the name of a curve, put beside it with a thin line to it.
type tag struct {
	lines   []string
	look    *look    // shown before the text; nil = none
	anchors []anchor // where on its curve the line may end
	box     vg.Rectangle
	anchor  vg.Point // of the anchors, the one taken
}

// anchor is a point of a curve, and how bad it is that others run there too.
type anchor struct {
	vg.Point
	shared float64
}

const tagPadding vg.Length = 3

// room gives the size of the tag's box.
func (t *tag) room() vg.Point {
	w := widest(labelFace, t.lines) + 2*tagPadding
	if t.look != nil {
		w += swatch.X + tagPadding
	}
	return vg.Point{X: w, Y: vg.Length(len(t.lines))*lineHeight(labelFace) + 2*tagPadding}
}

// leader is the thin line from the tag to its curve.
func (t *tag) leader() segment { return segment{nearest(t.box, t.anchor), t.anchor} }

// obstacle is a line on the paper that a tag should not hide.
type obstacle struct {
	segment
	weight float64 // how much worse it is to hide it than an edge
	owner  int     // the tag whose curve it is, or mark
}

// mark stands for the owner of a mark's pole.
const mark = -1

// What makes a tag's place worse, found by looking at many pictures.
const (
	hidesPoint   = 2.5   // for each point of a line that the box hides
	hidesBand    = 6.0   // for each corner of the box that lies within a band
	farPoint     = 0.5   // for each point between box and curve,
	farSquare    = 0.006 // and for its square: a long line is hard to follow
	crossesLine  = 15.0  // for each curve or mark that the tag's line crosses
	crossesTag   = 200.0 // for each tag that it crosses
	nearOther    = 60.0  // where another curve runs through the same place
	nearDistance = 6     // points
	placeStep    = 6     // points between the places tried
	anchorStep   = 12    // points between the anchors tried
)

// placer finds the tags' places.
type placer struct {
	paper     vg.Rectangle
	obstacles []obstacle
	bands     [][]vg.Point // outlines
	taken     []*tag
}

// place gives the tag the best of the places that are free; false where none is.
func (p *placer) place(t *tag, owner int) bool {
	for i := range t.anchors {
		t.anchors[i].shared = p.shared(t.anchors[i].Point, owner)
	}
	best := math.Inf(1)
	room := t.room()
	for y := p.paper.Max.Y - room.Y - tagPadding; y >= p.paper.Min.Y+tagPadding; y -= placeStep {
		for x := p.paper.Min.X + tagPadding; x+room.X <= p.paper.Max.X-tagPadding; x += placeStep {
			box := vg.Rectangle{Min: vg.Point{X: x, Y: y}, Max: vg.Point{X: x + room.X, Y: y + room.Y}}
			if cost, anchor := p.cost(t, owner, box, best); cost < best {
				best, t.box, t.anchor = cost, box, anchor
			}
		}
	}
	p.taken = append(p.taken, t)
	return !math.IsInf(best, 1)
}

// cost tells how bad a place is, and the anchor that suits it; +Inf where it is
// taken. What is surely worse than the best is looked at no further.
func (p *placer) cost(t *tag, owner int, box vg.Rectangle, best float64) (float64, vg.Point) {
	least := math.Inf(1)
	for _, a := range t.anchors {
		least = min(least, reach(box, a))
	}
	if least >= best || slices.ContainsFunc(p.taken, func(o *tag) bool { return overlap(box, o.box, tagPadding) }) {
		return math.Inf(1), vg.Point{}
	}
	ground := p.ground(box)
	if ground+least >= best {
		return math.Inf(1), vg.Point{}
	}
	cost, taken := best, vg.Point{}
	for _, a := range t.anchors {
		if c := ground + reach(box, a); c < cost {
			if c += p.leading(segment{nearest(box, a.Point), a.Point}, owner); c < cost {
				cost, taken = c, a.Point
			}
		}
	}
	return cost, taken
}

// reach tells how bad the way from a box to an anchor is; one that the box covers
// is out of the question.
func reach(box vg.Rectangle, a anchor) float64 {
	far := float64(length(segment{nearest(box, a.Point), a.Point}))
	if far == 0 {
		return math.Inf(1)
	}
	return a.shared + farPoint*far + farSquare*far*far
}

// ground tells how bad it is to hide what lies beneath a box.
func (p *placer) ground(box vg.Rectangle) float64 {
	cost, aired := 0.0, grown(box)
	for _, o := range p.taken {
		if crossesBox(o.leader(), aired) {
			cost += crossesTag
		}
	}
	for _, o := range p.obstacles {
		cost += o.weight * hidesPoint * float64(inside(o.segment, aired))
	}
	for _, outline := range p.bands {
		for _, corner := range []vg.Point{box.Min, box.Max, {X: box.Min.X, Y: box.Max.Y}, {X: box.Max.X, Y: box.Min.Y}} {
			if contains(outline, corner) {
				cost += hidesBand
			}
		}
	}
	return cost
}

// grown gives a box with some air around it.
func grown(box vg.Rectangle) vg.Rectangle {
	air := vg.Point{X: tagPadding, Y: tagPadding}
	return vg.Rectangle{Min: box.Min.Sub(air), Max: box.Max.Add(air)}
}

// leading tells how bad the line to the curve is.
func (p *placer) leading(line segment, owner int) float64 {
	cost := 0.0
	for _, o := range p.taken {
		if crossesBox(line, grown(o.box)) {
			cost += crossesTag
		}
		if crosses(line, o.leader()) {
			cost += crossesLine
		}
	}
	for _, o := range p.obstacles {
		if o.owner != owner && crosses(line, o.segment) {
			cost += crossesLine * o.weight
		}
	}
	return cost
}

// shared tells how bad it is that others run near a point of a curve.
func (p *placer) shared(at vg.Point, owner int) float64 {
	near := math.Inf(1)
	for _, o := range p.obstacles {
		if o.owner != owner {
			near = min(near, distance(at, o.segment))
		}
	}
	return nearOther * max(0, 1-near/nearDistance)
}

// tagWidth is the width at which a curve's name is broken into lines.
const tagWidth vg.Length = 135

// placeTags names the curves; false where the paper has no room for all names.
func (s *sketch) placeTags(w words) bool {
	p := placer{paper: s.paper, bands: s.outlines()}
	s.tags = nil
	for i := range s.bands {
		t := tag{look: &looks[i]}
		for _, label := range s.bands[i].labels {
			t.lines = append(t.lines, wrap(labelFace, label, tagWidth)...)
		}
		s.addTag(&p, t, 1, s.bands[i].earliest, s.bands[i].latest)
	}
	for _, l := range s.withstand {
		s.addTag(&p, tag{lines: wrap(labelFace, w.withstand(l), tagWidth)}, 2, l.nodes())
	}
	for i := range s.flags {
		x := s.flags[i].pole
		pole := segment{vg.Point{X: x, Y: s.paper.Min.Y}, vg.Point{X: x, Y: s.paper.Max.Y}}
		p.obstacles = append(p.obstacles, obstacle{pole, 1, mark})
	}
	for i := range s.tags {
		if !p.place(&s.tags[i], i) {
			return false
		}
	}
	return true
}

// tangled tells that a tag's line runs beneath another tag.
func (s *sketch) tangled() bool {
	for i := range s.tags {
		for j := range s.tags {
			if i != j && crossesBox(s.tags[i].leader(), s.tags[j].box) {
				return true
			}
		}
	}
	return false
}

// addTag adds the tag of a curve, and the curve to what tags should not hide.
func (s *sketch) addTag(p *placer, t tag, weight float64, edges ...[]node) {
	for _, edge := range edges {
		for _, line := range s.onPaper(s.line(edge)) {
			for i := 1; i < len(line); i++ {
				piece := segment{line[i-1], line[i]}
				p.obstacles = append(p.obstacles, obstacle{piece, weight, len(s.tags)})
				for _, at := range along(piece, anchorStep) {
					t.anchors = append(t.anchors, anchor{Point: at})
				}
			}
		}
	}
	s.tags = append(s.tags, t)
}
