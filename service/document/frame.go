package document

import (
	"image/color"
	"math"
	"slices"

	"gonum.org/v1/plot"
	"gonum.org/v1/plot/text"
	"gonum.org/v1/plot/vg"
	"gonum.org/v1/plot/vg/draw"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// The picture's measures. With many marks or names it gets higher, rather than
// the curves smaller.
const (
	pictureWidth  = 160 * vg.Millimeter
	pictureHeight = 120 * vg.Millimeter
	leastPaper    = 66 * vg.Millimeter // height of the ruled paper
	paperStep     = 12 * vg.Millimeter // by which it grows where the names are crowded
	highPaper     = 85 * vg.Millimeter // beyond which it grows only where they do not fit
	margin        = 8                  // points, around everything
	gap           = 4                  // points, between the parts
)

// Times in seconds, and those that the paper shows: from what is at once for a
// person to a working day.
const (
	minute        = 60
	hour          = 60 * minute
	shortestShown = 0.01
	longestShown  = 10 * hour
)

// fall is how many times its rating the paper shows of a fuse: by then its band
// has come down.
const fall = 8

// axisOf gives the currents that the paper shows: all that was asked for, with
// room for the bands to come down and for the start of each withstand line.
func (p CurvePicture) axisOf() (low, high quantity.Amps) {
	const (
		before   = 0.7  // of the lowest current
		past     = 1.25 // times the highest mark
		standing = 3    // times the current at which a withstand line begins
	)
	low, high = quantity.Amps(math.Inf(1)), 0
	for _, f := range p.Fuses {
		low, high = min(low, f.Rating), max(high, f.Rating*fall)
	}
	for _, m := range p.Marks {
		low, high = min(low, m.Current), max(high, m.Current*past)
	}
	for _, l := range p.Withstand {
		low, high = min(low, l.Points[0].Current), max(high, l.Points[0].Current*standing)
	}
	return low * before, high
}

// axes gives the empty log–log paper. Its axes have no titles: the library makes
// room for those as if they stood at the middle of a linear scale.
func axes(t *wording.Teller, low, high quantity.Amps) *plot.Plot {
	p := plot.New()
	p.BackgroundColor = nil // the whole picture is painted white
	dress := func(a *plot.Axis, ticks []plot.Tick, x text.XAlignment, y text.YAlignment) {
		a.Scale = plot.LogScale{}
		a.Padding = 0
		a.Tick.Label = axisStyle(labelSize, x, y, p.TextHandler)
		a.Tick.Length = 5
		a.Tick.Marker = plot.ConstantTicks(ticks)
	}
	p.X.Min, p.X.Max = float64(low), float64(high)
	p.Y.Min, p.Y.Max = shortestShown, longestShown
	dress(&p.X, currentTicks(t, low, high), draw.XCenter, draw.YTop)
	dress(&p.Y, timeTicks(t), draw.XRight, draw.YCenter)
	return p
}

// currentTicks gives the marks of the axis of currents: numbers at 1, 2 and 5, on
// a long axis at the powers of ten alone.
func currentTicks(t *wording.Teller, low, high quantity.Amps) []plot.Tick {
	numbered := []int{1, 2, 5}
	const longAxis = 3000 // times its beginning
	if high/low > longAxis {
		numbered = []int{1}
	}
	var ticks []plot.Tick
	for decade := math.Pow10(int(math.Floor(math.Log10(float64(low))))); decade <= float64(high); decade *= 10 {
		for digit := 1; digit <= 9; digit++ {
			tick := plot.Tick{Value: decade * float64(digit)}
			if slices.Contains(numbered, digit) {
				tick.Label = t.Value(electrical.Num("current_a", tick.Value, electrical.UnitCount))
			}
			if tick.Value >= float64(low) && tick.Value <= float64(high) {
				ticks = append(ticks, tick)
			}
		}
	}
	return ticks
}

// timeTicks gives the marks of the axis of times, as they are read off a clock.
func timeTicks(t *wording.Teller) []plot.Tick {
	var ticks []plot.Tick
	for _, s := range []float64{0.01, 0.1, 1, 10, minute, 10 * minute, hour, 10 * hour} {
		ticks = append(ticks, plot.Tick{Value: s, Label: t.Value(electrical.Num("opening_s", s, electrical.UnitS))})
	}
	for _, s := range []float64{0.02, 0.05, 0.2, 0.5, 2, 5, 20, 30, 2 * minute, 5 * minute, 20 * minute, 30 * minute, 2 * hour, 5 * hour} {
		ticks = append(ticks, plot.Tick{Value: s})
	}
	return ticks
}

// rule draws thin lines across the paper at the numbered ticks.
func rule(c draw.Canvas, p *plot.Plot) {
	thin := draw.LineStyle{Color: color.Gray{Y: 0xc8}, Width: 0.4}
	x, y := p.Transforms(&c)
	for _, tick := range p.X.Tick.Marker.Ticks(p.X.Min, p.X.Max) {
		if !tick.IsMinor() {
			c.StrokeLine2(thin, x(tick.Value), c.Min.Y, x(tick.Value), c.Max.Y)
		}
	}
	for _, tick := range p.Y.Tick.Marker.Ticks(p.Y.Min, p.Y.Max) {
		if !tick.IsMinor() {
			c.StrokeLine2(thin, c.Min.X, y(tick.Value), c.Max.X, y(tick.Value))
		}
	}
}

// titleAxes sets the titles of the axes, below the paper and up its left side.
func (s *sketch) titleAxes(c draw.Canvas) {
	middle := (s.paper.Min.X + s.paper.Max.X - labelFace.Width(s.currentTitle)) / 2
	set(c, labelFace, vg.Point{X: middle, Y: s.area.Min.Y - labelSize}, s.currentTitle)
	middle = (s.paper.Min.Y + s.paper.Max.Y - labelFace.Width(s.timeTitle)) / 2
	c.Push()
	c.Translate(vg.Point{X: margin + labelSize, Y: middle})
	c.Rotate(math.Pi / 2)
	set(c, labelFace, vg.Point{}, s.timeTitle)
	c.Pop()
}
