package catalog

import "example.com/lugbook/api/quantity"

// LandingKind is what a conductor's end lands on.
type LandingKind string

// The landings.
const (
	OnStud       LandingKind = "stud"
	OnSetScrew   LandingKind = "set_screw"
	OnBlade      LandingKind = "blade"
	OnFlyingLead LandingKind = "flying_lead" // the device's own tail: a splice
	OnSplice     LandingKind = "splice"      // wire to wire
	OnBlock      LandingKind = "block"
	OnHolder     LandingKind = "holder"
	OnChassis    LandingKind = "chassis"
)

// LandingKinds lists every landing, in the order shown to people.
func LandingKinds() []LandingKind {
	return []LandingKind{OnStud, OnSetScrew, OnBlade, OnFlyingLead, OnSplice, OnBlock, OnHolder, OnChassis}
}

// Landing is one place where a conductor's end is fixed.
type Landing struct {
	Kind LandingKind
	// Stud is the stud's name (stud, chassis); empty elsewhere.
	Stud Stud
	// Smallest and Largest bound the conductor it takes; the zero Size is no bound.
	Smallest, Largest quantity.Size
	// TabWidth is the width of a blade, 6.3 mm where not stated.
	TabWidth quantity.Millimetres
}

// Admits tells whether a conductor of the size may land there.
func (l Landing) Admits(s quantity.Size) bool {
	return (l.Smallest.IsZero() || !Thinner(s, l.Smallest)) && (l.Largest.IsZero() || !Thinner(l.Largest, s))
}

// areaTolerance is how far two areas may differ and still be the same size: it
// covers the rounding of printed areas, and is far below the step between
// neighbouring sizes (12 % at the least). Own choice, no source.
const areaTolerance = 0.01

// Thinner tells that size a has less copper than size b, beyond rounding.
func Thinner(a, b quantity.Size) bool { return less(a.Area(), b.Area()) }

func less(a, b quantity.SquareMillimetres) bool {
	return float64(a) < float64(b)*(1-areaTolerance)
}

// Includes tells whether the range takes a conductor of the size.
func (r Range) Includes(s quantity.Size) bool {
	return !s.IsZero() && !Thinner(s, r.Min) && !Thinner(r.Max, s)
}

// areaSpan is a range by its copper areas.
type areaSpan struct{ min, max quantity.SquareMillimetres }

func (r Range) areas() areaSpan { return areaSpan{r.Min.Area(), r.Max.Area()} }

// includes is Range.Includes for a size that is not zero.
func (s areaSpan) includes(a quantity.SquareMillimetres) bool {
	return !less(a, s.min) && !less(s.max, a)
}
