package document

import (
	"errors"
	"fmt"
	"unicode"
	"unicode/utf8"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// ErrPicture is the kind of every fault of a picture's input.
var ErrPicture = errors.New("curve picture")

// What still fits on a picture and can be told apart.
const (
	maxFuses     = 8 // as many hatchings there are
	maxMarks     = 16
	maxWithstand = 4 // as many line styles
	maxPoints    = 64
	maxText      = 80 // characters of the title or of one label
)

// Currents that fit on one axis: from the smallest glass fuse to beyond any
// battery's short circuit.
const (
	lowestCurrent  quantity.Amps = 0.1
	highestCurrent quantity.Amps = 100e3
)

// checker collects the faults of a picture.
type checker struct{ faults []error }

func (c *checker) fault(format string, args ...any) {
	c.faults = append(c.faults, fmt.Errorf("%w: "+format, append([]any{ErrPicture}, args...)...))
}

// check gives every fault of the picture at once, nil where there is none.
func (p CurvePicture) check() error {
	var c checker
	if len(p.Fuses) == 0 {
		c.fault("nothing to draw: give at least one fuse")
	}
	c.atMost("fuses", len(p.Fuses), maxFuses)
	c.atMost("marks", len(p.Marks), maxMarks)
	c.atMost("withstand lines", len(p.Withstand), maxWithstand)
	if len(c.faults) > 0 {
		return errors.Join(c.faults...) // of too many, not each one's faults
	}
	c.text("title", p.Title)
	for i, f := range p.Fuses {
		c.fuse(fmt.Sprintf("fuse %d", i+1), f)
	}
	for i, m := range p.Marks {
		at := fmt.Sprintf("mark %d", i+1)
		c.text(at, m.Label)
		c.current(at, m.Current)
	}
	for i, l := range p.Withstand {
		c.withstand(fmt.Sprintf("withstand line %d", i+1), l)
	}
	return errors.Join(c.faults...)
}

func (c *checker) atMost(what string, n, limit int) {
	if n > limit {
		c.fault("%d %s are too many to read; give up to %d", n, what, limit)
	}
}

func (c *checker) fuse(at string, f CurveOf) {
	c.text(at, f.Label)
	if _, known := electrical.FamilyOf(f.Family); !known {
		c.fault("%s: unknown family %q", at, f.Family)
		return
	}
	if c.current(at, f.Rating) && !hasTimes(f) {
		c.fault("%s: no opening times are published for family %s at %v; see the maker's curve", at, f.Family, f.Rating)
	}
}

// hasTimes tells that something is known of when the fuse opens: where the paper
// ends it has done so.
func hasTimes(f CurveOf) bool {
	return f.Opening(f.Rating*fall).Max < longestShown
}

func (c *checker) current(at string, i quantity.Amps) bool {
	if !(i >= lowestCurrent && i <= highestCurrent) {
		c.fault("%s: %v is out of range; allowed: %v to %v", at, i, lowestCurrent, highestCurrent)
		return false
	}
	return true
}

func (c *checker) withstand(at string, l WithstandLine) {
	c.text(at, l.Label)
	if n := len(l.Points); n < 2 || n > maxPoints {
		c.fault("%s: it has %d points; allowed: 2 to %d", at, n, maxPoints)
		return
	}
	for i, p := range l.Points {
		at := fmt.Sprintf("%s, point %d", at, i+1)
		c.current(at, p.Current)
		if i == 0 {
			if s := p.Time.Seconds(); !(s > shortestShown && s < longestShown) {
				c.fault("%s: %v is off the paper; the line must begin between 0.01 s and 10 h", at, p.Time)
			}
			continue
		}
		if p.Time <= 0 {
			c.fault("%s: %v is out of range; allowed: above 0", at, p.Time)
		}
		if before := l.Points[i-1]; p.Current <= before.Current || p.Time > before.Time {
			c.fault("%s: currents must rise from point to point and times must not", at)
		}
	}
}

// text refuses what cannot be set in type: an SVG must not hold it.
func (c *checker) text(at, text string) {
	if utf8.RuneCountInString(text) > maxText {
		c.fault("%s: the text is too long; allowed: up to %d characters", at, maxText)
	}
	for _, r := range text { // what is no UTF-8 comes out as the replacement character
		if r == utf8.RuneError || !unicode.IsPrint(r) {
			c.fault("%s: the text holds a character that cannot be printed", at)
			return
		}
	}
}
