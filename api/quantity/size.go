package quantity

import (
	"cmp"
	"math"
)

// Size is a conductor size as it is sold: an AWG gauge or a metric
// cross-section. The zero Size is "no size". Sizes are comparable and may key
// a map.
type Size struct {
	gauge  int8
	isAWG  bool
	metric SquareMillimetres
}

// The AWG range that the project takes: 26 is the thinnest signal lead, -3 is
// 4/0. Gauges 1/0, 2/0, 3/0 and 4/0 are counted 0, -1, -2 and -3.
const (
	ThinnestAWG = 26
	ThickestAWG = -3
)

// AWG gives the American Wire Gauge size n, 26 … 1, then 0 for 1/0 down to -3
// for 4/0. Gauges outside that range give the zero Size.
func AWG(n int) Size {
	if n > ThinnestAWG || n < ThickestAWG {
		return Size{}
	}
	return Size{gauge: int8(n), isAWG: true}
}

// Metric gives the metric size of a cross-section. An area that is not a
// positive number gives the zero Size.
func Metric(area SquareMillimetres) Size {
	if !(area > 0) || math.IsInf(float64(area), 0) {
		return Size{}
	}
	return Size{metric: area}
}

// IsZero tells that no size is given.
func (s Size) IsZero() bool { return s == Size{} }

// IsAWG tells that the size is a gauge, not a metric cross-section.
func (s Size) IsAWG() bool { return s.isAWG }

// Gauge gives the AWG number (1/0 is 0, 4/0 is -3); false for metric sizes.
func (s Size) Gauge() (int, bool) { return int(s.gauge), s.isAWG }

// gaugeDiameters are those of all gauges from the thickest on: designs ask for them
// millions of times.
var gaugeDiameters = func() (all [ThinnestAWG - ThickestAWG + 1]Millimetres) {
	for i := range all {
		all[i] = Millimetres(0.127 * math.Pow(92, (36-float64(ThickestAWG+i))/39))
	}
	return all
}()

// Diameter gives the diameter of the solid round wire of the size.
//
// AWG by ASTM B258: d = 0.127 mm · 92^((36−n)/39). A metric size gives the
// diameter of the circle of its nominal area.
func (s Size) Diameter() Millimetres {
	if s.isAWG {
		return gaugeDiameters[s.gauge-ThickestAWG]
	}
	return Millimetres(2 * math.Sqrt(float64(s.metric)/math.Pi))
}

// Area gives the nominal copper cross-section: by ASTM B258 for gauges, the
// stated area for metric sizes, 0 for no size.
func (s Size) Area() SquareMillimetres {
	if !s.isAWG {
		return s.metric
	}
	return gaugeAreas[s.gauge-ThickestAWG]
}

// gaugeAreas holds the area of every gauge from the thickest on: powers take long.
var gaugeAreas = func() (areas [ThinnestAWG - ThickestAWG + 1]SquareMillimetres) {
	for i := range areas {
		d := float64(AWG(i + ThickestAWG).Diameter())
		areas[i] = SquareMillimetres(math.Pi / 4 * d * d)
	}
	return areas
}()

// Compare orders sizes by area, thinnest first: -1, 0 or +1. No size comes
// before every size.
func (s Size) Compare(other Size) int { return cmp.Compare(s.Area(), other.Area()) }
