package document

import (
	"math"

	"gonum.org/v1/plot/vg"
)

func length(s segment) vg.Length {
	d := s.b.Sub(s.a)
	return vg.Length(math.Sqrt(float64(d.Dot(d))))
}

// nearest gives the point of a box that is nearest to a point.
func nearest(box vg.Rectangle, p vg.Point) vg.Point {
	return vg.Point{X: min(max(p.X, box.Min.X), box.Max.X), Y: min(max(p.Y, box.Min.Y), box.Max.Y)}
}

// overlap tells that two boxes lie closer than a distance.
func overlap(a, b vg.Rectangle, apart vg.Length) bool {
	return a.Min.X < b.Max.X+apart && b.Min.X < a.Max.X+apart && a.Min.Y < b.Max.Y+apart && b.Min.Y < a.Max.Y+apart
}

// inside gives how much of a segment lies within a box.
func inside(s segment, box vg.Rectangle) vg.Length {
	if max(s.a.X, s.b.X) < box.Min.X || min(s.a.X, s.b.X) > box.Max.X || max(s.a.Y, s.b.Y) < box.Min.Y || min(s.a.Y, s.b.Y) > box.Max.Y {
		return 0 // most do
	}
	from, to := vg.Length(0), vg.Length(1)
	d := s.b.Sub(s.a)
	for _, side := range []struct{ step, room vg.Length }{
		{-d.X, s.a.X - box.Min.X}, {d.X, box.Max.X - s.a.X}, {-d.Y, s.a.Y - box.Min.Y}, {d.Y, box.Max.Y - s.a.Y},
	} {
		switch {
		case side.step == 0 && side.room < 0:
			return 0
		case side.step < 0:
			from = max(from, side.room/side.step)
		case side.step > 0:
			to = min(to, side.room/side.step)
		}
	}
	return max(0, to-from) * length(s)
}

func crossesBox(s segment, box vg.Rectangle) bool { return inside(s, box) > 0 }

// crosses tells that two segments cross.
func crosses(s, o segment) bool {
	return side(s, o.a) != side(s, o.b) && side(o, s.a) != side(o, s.b)
}

// side tells on which side of a segment's line a point lies.
func side(s segment, p vg.Point) bool {
	d, e := s.b.Sub(s.a), p.Sub(s.a)
	return d.X*e.Y-d.Y*e.X > 0
}

// distance gives the distance of a point from a segment.
func distance(p vg.Point, s segment) float64 {
	d := s.b.Sub(s.a)
	share := vg.Length(0)
	if l := d.Dot(d); l > 0 {
		share = min(max(p.Sub(s.a).Dot(d)/l, 0), 1)
	}
	return float64(length(segment{p, s.a.Add(d.Scale(share))}))
}

// contains tells that a point lies within a polygon.
func contains(polygon []vg.Point, p vg.Point) bool {
	in := false
	for i, b := range polygon {
		a := polygon[(i+len(polygon)-1)%len(polygon)]
		if (a.Y > p.Y) != (b.Y > p.Y) && p.X < a.X+(b.X-a.X)*(p.Y-a.Y)/(b.Y-a.Y) {
			in = !in
		}
	}
	return in
}

// along gives points of a segment about a step apart, its ends among them.
func along(s segment, step vg.Length) []vg.Point {
	n := math.Ceil(float64(length(s) / step))
	points := []vg.Point{s.a}
	for i := 1.0; i <= n; i++ {
		points = append(points, s.a.Add(s.b.Sub(s.a).Scale(vg.Length(i/n))))
	}
	return points
}
