package design

import (
	"fmt"
	"math"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// FuseQuestion asks what a fuse does: one of the catalog by its SKU, or any of a family
// and rating.
type FuseQuestion struct {
	SKU        string
	Family     electrical.Family
	Rating     quantity.Amps
	At         []quantity.Amps // none: UsualCurrents
	Ambient    quantity.Celsius
	HasAmbient bool
	Conductor  electrical.Conductor // behind it; the zero Conductor for none
	Beside     []electrical.Fuse    // further ones to draw
}

// FuseAnswer is what a fuse does.
type FuseAnswer struct {
	Fuse    electrical.Fuse
	Part    *catalog.Fuse // nil for one that is no part of the catalog
	Points  []FusePoint
	Figures []electrical.Figure
	Remarks []electrical.Reason
	// Conductor is the one asked about, in free air at 30 °C; the zero Section for none.
	Conductor electrical.Section
	Notes     []Note
}

// FusePoint is what it does at one current.
type FusePoint struct {
	Current    quantity.Amps
	Opening    electrical.Opening
	Withstands float64 // s that the conductor bears it; +Inf for good, 0 without one
	Says       electrical.Reason
}

// Bounds of a FuseQuestion.
const (
	maxFuseCurrents             = 16
	maxFuseBeside               = 7
	maxFuseCurrent              = 100_000 // A
	coldestHolder, hottestPlace = -40, 125
)

// usualMultiples of the rating are told where no currents are asked for.
var usualMultiples = []quantity.Amps{1, 1.25, 1.35, 2, 5}

// Fuse tells what a fuse does at some currents. Malformed questions give Violations.
func (d *Designer) Fuse(q FuseQuestion) (*FuseAnswer, error) {
	var c checker
	out := &FuseAnswer{Fuse: electrical.FuseOf(q.Family, q.Rating)}
	switch {
	case q.SKU != "" && q.Family != "":
		c.add("sku", "fuse_twice")
	case q.SKU != "":
		entry, _ := d.cat.Entry(q.SKU)
		part, ok := entry.(*catalog.Fuse)
		if !ok {
			c.add("sku", "unknown_part", electrical.Name("given", q.SKU))
			break
		}
		out.Part, out.Fuse = part, part.Rated()
	default:
		known(&c, "family", q.Family, electrical.Families())
		c.within("rating_a", float64(q.Rating), float64(electrical.MinCurrent), float64(electrical.MaxCurrent), electrical.UnitA)
	}
	c.count("at_a", len(q.At), 0, maxFuseCurrents)
	for i, a := range q.At {
		c.within(fmt.Sprintf("at_a[%d]", i), float64(a), float64(electrical.MinCurrent), maxFuseCurrent, electrical.UnitA)
	}
	if q.HasAmbient {
		c.within("ambient_c", float64(q.Ambient), coldestHolder, hottestPlace, electrical.UnitC)
	}
	c.count("beside", len(q.Beside), 0, maxFuseBeside)
	for i, f := range q.Beside {
		at := fmt.Sprintf("beside[%d]", i)
		known(&c, at+".family", f.Family, electrical.Families())
		c.within(at+".rating_a", float64(f.Rating), float64(electrical.MinCurrent), float64(electrical.MaxCurrent), electrical.UnitA)
	}
	if q.Conductor != (electrical.Conductor{}) {
		out.Conductor = c.inFreeAir(q.Conductor)
	}
	if len(c.found) > 0 {
		return nil, c.found
	}
	out.describe(&q, d.cat.Shop.Defaults.LoadShare)
	return out, nil
}

// inFreeAir gives a conductor in a cabin of 30 °C, alone.
func (c *checker) inFreeAir(wire electrical.Conductor) electrical.Section {
	const cabin quantity.Celsius = 30
	iz, err := electrical.Ampacity(wire, electrical.Surroundings{Ambient: cabin, HasAmbient: true})
	if err != nil {
		c.add("conductor", "as_stated", electrical.Name("problem", err.Error()))
	}
	return electrical.Section{Conductor: wire, Ambient: cabin, Ampacity: iz}
}

func (a *FuseAnswer) describe(q *FuseQuestion, share float64) {
	currents := q.At
	if len(currents) == 0 {
		for _, m := range usualMultiples {
			currents = append(currents, m*a.Fuse.Rating)
		}
	}
	for _, i := range currents {
		p := FusePoint{Current: i, Opening: a.Fuse.Opening(i)}
		if q.HasAmbient {
			p.Opening = a.Fuse.OpeningAt(q.Ambient, i)
		}
		if a.Conductor.Ampacity > 0 {
			p.Withstands = a.Conductor.Withstand(i, true)
		}
		p.Says = says(i, a.Fuse.Rating, p.Opening)
		a.Points = append(a.Points, p)
	}
	a.figures(share)
	a.remarks()
	a.Notes = runNotes()
}

// says puts what a fuse does at a current into words.
func says(i, rating quantity.Amps, o electrical.Opening) electrical.Reason {
	figures := []electrical.Figure{electrical.Num("current_a", i, electrical.UnitA), electrical.Num("rating_percent", float64(i/rating)*100, electrical.UnitPercent)}
	earliest, latest := electrical.Num("earliest_s", o.Min, electrical.UnitS), electrical.Num("latest_s", o.Max, electrical.UnitS)
	never := math.IsInf(o.Max, 1)
	switch {
	case o.StaysClosed:
		return electrical.Because("opening.stays_closed", "", figures...)
	case never && o.Min > 0:
		return electrical.Because("opening.after_or_never", "", append(figures, earliest)...)
	case never:
		return electrical.Because("opening.unknown", "", figures...)
	case o.Min > 0:
		return electrical.Because("opening.between", "", append(figures, earliest, latest)...)
	}
	return electrical.Because("opening.within", "", append(figures, latest)...)
}

// longTime is from when nobody waits for the cable, in seconds.
const longTime = 3600

// Bears says how a conductor bears the point's current.
func (p *FusePoint) Bears(s electrical.Section) electrical.Reason {
	switch {
	case p.Current <= s.Ampacity:
		return electrical.Because("opening.cable_carries", "")
	case p.Withstands >= longTime:
		return electrical.Because("opening.cable_ages", "", electrical.Num("ampacity_a", s.Ampacity, electrical.UnitA))
	}
	return electrical.Because("opening.cable_bears", "", electrical.Num("withstands_s", p.Withstands, electrical.UnitS))
}

func (a *FuseAnswer) figures(share float64) {
	family, _ := electrical.FamilyOf(a.Fuse.Family)
	voltage, breaks := family.Voltage, family.InterruptingAt(family.Voltage)
	if a.Part != nil {
		voltage, breaks = a.Part.Voltage, a.Part.InterruptingAt(a.Part.Voltage)
	}
	a.Figures = []electrical.Figure{electrical.Num("fuse_a", a.Fuse.Rating, electrical.UnitA), electrical.Num("load_max_a", float64(a.Fuse.Rating)*share, electrical.UnitA),
		electrical.Num("voltage_v", voltage, electrical.UnitV)}
	if breaks > 0 {
		a.Figures = append(a.Figures, electrical.Num("interrupting_a", breaks, electrical.UnitA))
	}
	if a.Conductor.Ampacity > 0 {
		a.Figures = append(a.Figures, electrical.Num("ampacity_a", a.Conductor.Ampacity, electrical.UnitA))
	}
}

// remarks says what people get wrong about a fuse, and where its times are from.
func (a *FuseAnswer) remarks() {
	rating := electrical.Num("fuse_a", a.Fuse.Rating, electrical.UnitA)
	a.Remarks = append(a.Remarks, electrical.Because("opening.not_at_rating", "", rating), electrical.Because("opening.larger_no_cure", ""))
	switch {
	case a.Part != nil && a.Part.CurveSource != "":
		a.Remarks = append(a.Remarks, electrical.Because("opening.own_times", a.Part.CurveSource, electrical.Name("source", a.Part.CurveSource)))
	case a.Fuse.Curve.Typical:
		a.Remarks = append(a.Remarks, electrical.Because("opening.typical", "", electrical.Word("family", a.Fuse.Family)))
	}
	if wire := a.Conductor; wire.Ampacity > 0 && a.Fuse.Rating > wire.Ampacity {
		a.Remarks = append(a.Remarks, electrical.Because("opening.above_ampacity", electrical.SourceAmpacity, rating, electrical.SizeFigure("conductor", wire.Conductor.Size), electrical.Num("ampacity_a", wire.Ampacity, electrical.UnitA)))
	}
}
