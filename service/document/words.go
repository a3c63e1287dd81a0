package document

import (
	"math"
	"slices"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// words says what stands on a picture.
type words struct{ *wording.Teller }

func (w words) current(i quantity.Amps) string {
	return w.Value(electrical.Num("current_a", i, electrical.UnitA))
}

// fuse names a fuse, and tells where its times are not its own.
func (w words) fuse(f CurveOf) string {
	name := strings.TrimSpace(f.Label)
	if name == "" {
		name = w.Say("curve.fuse", electrical.Num("fuse_a", f.Rating, electrical.UnitA), electrical.Word("family", f.Family))
	}
	if f.Curve.Typical {
		return w.Say("curve.fuse_typical", electrical.Name("name", name))
	}
	return name
}

// withstand says what a conductor's line means.
func (w words) withstand(l WithstandLine) string {
	name := strings.TrimSpace(l.Label)
	if name == "" {
		return w.Say("curve.withstand_unnamed")
	}
	return w.Say("curve.withstand", electrical.Name("name", name))
}

// remark is something said of a mark; of one band where look shows which.
type remark struct {
	text string
	look *look
}

// mostTold is how many bands a picture may have for its marks to say what each
// fuse does: with more there would be more words than curves.
const mostTold = 3

// mark says what a current is and what happens there.
func (w words) mark(m Mark, bands []band) []remark {
	var all []remark
	if len(bands) <= mostTold {
		for i := range bands {
			all = append(all, remark{w.opening(bands[i].opening(m.Current)), &looks[i]})
		}
		differs := func(r remark) bool { return r.text != all[0].text }
		if !slices.ContainsFunc(all, differs) {
			all = []remark{{text: all[0].text}}
		}
	}
	if m.Label != "" {
		all = append([]remark{{text: m.Label}}, all...)
	}
	return all
}

// opening says what a fuse does within its band. Times shorter than the paper
// shows are not told apart.
func (w words) opening(o electrical.Opening) string {
	earliest := electrical.Num("earliest_s", sooner(o.Min), electrical.UnitS)
	latest := electrical.Num("latest_s", max(later(o.Max), shortestShown), electrical.UnitS)
	switch never, atOnce := math.IsInf(o.Max, 1), o.Min < shortestShown; {
	case o.StaysClosed:
		return w.Say("curve.stays_closed")
	case never && atOnce:
		return w.Say("curve.may_open")
	case never:
		return w.Say("curve.may_open_after", earliest)
	case atOnce:
		return w.Say("curve.opens_by", latest)
	}
	return w.Say("curve.opens_between", earliest, latest)
}

// sooner rounds a time down to what one says of a clock, later up: the band that
// is said is never narrower than the one that is drawn.
func sooner(s float64) float64 { return rounded(s, math.Floor, 1+hair) }
func later(s float64) float64  { return rounded(s, math.Ceil, 1-hair) }

// hair is more than floating point adds to a time, and nothing to a person.
const hair = 1e-9

func rounded(s float64, round func(float64) float64, nudge float64) float64 {
	if s == 0 || math.IsInf(s, 0) {
		return s
	}
	step := math.Pow10(int(math.Floor(math.Log10(s))) - 1) // two digits
	switch {
	case s >= hour:
		step = 10 * minute
	case s >= 10*minute:
		step = minute
	case s >= minute:
		step = 10
	}
	return round(s/step*nudge) * step
}

// notes explains the picture, as far as it needs it.
func (w words) notes(fuses []CurveOf, bands []band, high quantity.Amps) []string {
	var never, sooner, typical bool
	for i := range bands {
		b := &bands[i]
		never = never || b.mayNeverOpen()
		sooner = sooner || b.opening(high).Min < shortestShown
	}
	for _, f := range fuses {
		typical = typical || f.Curve.Typical
	}
	notes := []string{w.Say("curve.note.band")}
	if never {
		notes = append(notes, w.Say("curve.note.never"))
	}
	if sooner {
		notes = append(notes, w.Say("curve.note.sooner", electrical.Num("earliest_s", shortestShown, electrical.UnitS)))
	}
	if typical {
		notes = append(notes, w.Say("curve.note.typical"))
	}
	return notes
}
