package catalog

import (
	"fmt"
	"slices"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// standardTab is the blade that nobody bothers to state.
const standardTab quantity.Millimetres = 6.3

// What each kind of part may offer a conductor.
var (
	holderLandings    = []LandingKind{OnStud, OnSplice, OnBlade, OnSetScrew}
	blockLandings     = []LandingKind{OnStud, OnSplice, OnBlade, OnSetScrew}
	relayLandings     = []LandingKind{OnStud, OnSplice, OnBlade, OnSetScrew}
	equipmentLandings = []LandingKind{OnStud, OnSetScrew, OnBlade, OnFlyingLead}
)

// landingColumns are the columns of one landing.
type landingColumns struct{ landing, stud, smallest, largest, tab string }

// landingAt names the columns of a landing by what they begin with.
func landingAt(prefix string) landingColumns {
	return landingColumns{prefix + "landing", prefix + "stud", prefix + "smallest", prefix + "largest", prefix + "tab_mm"}
}

// The landings of parts.
var (
	itsLanding      = landingAt("")
	inLanding       = landingAt("in_")
	outLanding      = landingAt("out_")
	positiveLanding = landingAt("positive_")
	negativeLanding = landingAt("negative_")
)

// landing reads the columns of a landing, as far as the file has them.
func (r *row) landing(at landingColumns, kinds []LandingKind) Landing {
	stud, smallest, largest := at.stud, at.smallest, at.largest
	l := Landing{
		Kind: word(r, at.landing, kinds), Stud: r.stud(stud),
		Smallest: r.size(smallest), Largest: r.size(largest),
		TabWidth: quantity.Millimetres(r.numberOr(at.tab, above(0, 20, "mm"), 0)),
	}
	r.growing(l.Smallest, l.Largest, smallest, largest)
	_, hasStud := r.has(stud)
	_, hasLargest := r.has(largest)
	switch {
	case l.Kind == OnStud && !hasStud:
		r.empty(stud, list(Studs()))
	case l.Kind != OnStud && l.Kind != "" && hasStud:
		r.wrong(stud, fmt.Sprintf("a %s has no stud", l.Kind), "empty")
	case l.Kind == OnSetScrew && !hasLargest:
		r.empty(largest, "the largest conductor the clamp takes: "+sizeExamples)
	}
	if l.Kind == OnBlade && l.TabWidth == 0 {
		l.TabWidth = standardTab
	}
	return l
}

// fuse reads a fuse; what the row leaves empty is the family's.
func (d *reading) fuse(r *row) {
	f := another(&d.catalog.Fuses)
	d.part(r, KindFuse, &f.Part)
	f.Family, f.Rating = word(r, "family", electrical.Families()), quantity.Amps(r.number("rating_a", spanCurrent))
	family, _ := electrical.FamilyOf(f.Family)
	f.Voltage = quantity.Volts(r.numberOr("voltage_v", spanVolts, float64(family.Voltage)))
	f.Interrupting = quantity.Amps(r.numberOr("interrupting_a", above(0, 200_000, "A"), 0))
	f.IgnitionProtected = family.IgnitionProtected
	if yes, stated := r.yesStated("ignition_protected"); stated {
		f.IgnitionProtected = yes
	}
	r.byPiece(&f.Part)
}

// InterruptingAt gives the highest DC fault current that the fuse clears in a
// system whose highest voltage is v: its own figure where the shop entered one,
// else its family's; 0 above its voltage rating and where nothing is proven.
func (f *Fuse) InterruptingAt(v quantity.Volts) quantity.Amps {
	switch {
	case v > f.Voltage:
		return 0
	case f.Interrupting > 0:
		return f.Interrupting
	}
	family, _ := electrical.FamilyOf(f.Family)
	return family.InterruptingAt(v)
}

func (d *reading) holder(r *row) {
	h := another(&d.catalog.Holders)
	d.part(r, KindHolder, &h.Part)
	*h = Holder{
		Part: h.Part, Family: word(r, "family", electrical.Families()),
		MinRating: quantity.Amps(r.numberOr("min_rating_a", from(0, spanCurrent.max, "A"), 0)),
		MaxRating: quantity.Amps(r.number("max_rating_a", spanCurrent)),
		Landing:   r.landing(itsLanding, holderLandings),
		PostHole:  quantity.Millimetres(r.numberOr("post_hole_mm", spanDiameter, 0)), Sealed: r.yes("sealed"), IgnitionProtected: r.yes("ignition_protected"),
	}
	r.byPiece(&h.Part)
	if h.MaxRating > 0 && h.MinRating > h.MaxRating {
		r.wrong("min_rating_a", "above max_rating_a", "up to max_rating_a")
	}
	if h.OnPost() && !slices.ContainsFunc(Studs(), func(s Stud) bool { return s.Admits(h.PostHole) }) {
		r.wrong("post_hole_mm", fmt.Sprintf("a hole of %s mm sits on no stud", plain(float64(h.PostHole))), "the hole for one of "+list(Studs()))
	}
}

func (d *reading) block(r *row) {
	b := another(&d.catalog.Blocks)
	d.part(r, KindBlock, &b.Part)
	*b = Block{
		Part: b.Part, Fused: r.answer("fused"), Family: optionalWord(r, "family", electrical.Families()),
		Ways:   r.whole("ways", from(1, 100, "ways")),
		WayMax: quantity.Amps(r.number("way_max_a", spanCurrent)), TotalMax: quantity.Amps(r.number("total_max_a", spanCurrent)),
		In: r.landing(inLanding, blockLandings), Out: r.landing(outLanding, blockLandings), Sealed: r.yes("sealed"),
	}
	r.byPiece(&b.Part)
	switch _, hasFamily := r.has("family"); {
	case b.Fused && !hasFamily:
		r.empty("family", "the family of the ways' fuses: "+list(electrical.Families()))
	case !b.Fused && hasFamily && r.optional("fused") != "": // what is not stated has its fault already
		r.wrong("family", "the block has no fuses", "empty")
	}
	if b.TotalMax > 0 && b.WayMax > b.TotalMax {
		r.wrong("way_max_a", "above total_max_a", "up to total_max_a")
	}
}

func (d *reading) relay(r *row) {
	y := another(&d.catalog.Relays)
	d.part(r, KindRelay, &y.Part)
	*y = Relay{
		Part:    y.Part,
		Contact: quantity.Amps(r.number("contact_a", spanCurrent)), Coil: quantity.Amps(r.number("coil_a", above(0, 20, "A"))),
		CoilV: quantity.Volts(r.number("coil_v", above(0, 60, "V"))), Landing: r.landing(itsLanding, relayLandings), Sealed: r.yes("sealed"),
	}
	r.byPiece(&y.Part)
}

func (d *reading) equipment(r *row) {
	e := another(&d.catalog.Equipment)
	d.part(r, KindEquipment, &e.Part)
	*e = Equipment{
		Part: e.Part, Device: word(r, "device", electrical.DeviceKinds()),
		Load: r.load(), Surge: r.surge(),
		MinVolts:  quantity.Volts(r.numberOr("min_v", above(0, 60, "V"), 0)),
		MakerFuse: quantity.Amps(r.numberOr("maker_fuse_a", spanCurrent, 0)),
		Positive:  r.landing(positiveLanding, equipmentLandings), Negative: r.landing(negativeLanding, equipmentLandings),
		Converter: r.converter(),
	}
	r.byPiece(&e.Part)
}

// converter reads what a converter gives: all of it or nothing, but for what may be
// left to the usual.
func (r *row) converter() Converter {
	c := Converter{
		Nominal: quantity.Volts(r.numberOr("feeds_v", above(0, 60, "V"), 0)),
		Output:  quantity.Volts(r.numberOr("feeds_at_v", above(0, 60, "V"), 0)),
		Rated:   quantity.Amps(r.numberOr("feeds_a", spanCurrent, 0)),
		Limit:   quantity.Amps(r.numberOr("feeds_limit_a", spanCurrent, 0)),
	}
	switch {
	case !c.Given():
	case c.Nominal != 12 && c.Nominal != 24 && c.Nominal != 48:
		r.wrong("feeds_v", "a converter feeds a system of 12, 24 or 48 V", "12, 24, 48")
	case c.Rated == 0:
		r.wrong("feeds_a", "a converter states what it feeds but not how much", "its rated output in A")
	case c.Limit != 0 && c.Limit < c.Rated:
		r.wrong("feeds_limit_a", "the limit is below the rated output", "at least feeds_a")
	}
	return c
}

// load reads what a device draws: exactly one of the four ways to say it.
func (r *row) load() electrical.Load {
	l := electrical.Load{
		Current:   quantity.Amps(r.numberOr("current_a", from(float64(electrical.MinCurrent), float64(electrical.MaxCurrent), "A"), 0)),
		Input:     quantity.Watts(r.numberOr("input_w", spanPower, 0)),
		Output:    quantity.Watts(r.numberOr("output_w", spanPower, 0)),
		Behaviour: optionalWord(r, "behaviour", electrical.Behaviours()),
		Audio: electrical.Audio{
			RMS:         quantity.Watts(r.numberOr("rms_w", spanPower, 0)),
			Class:       optionalWord(r, "class", electrical.AmplifierClasses()),
			OnboardFuse: quantity.Amps(r.numberOr("onboard_fuse_a", spanCurrent, 0)),
		},
	}
	if _, ok := r.has("channels"); ok {
		l.Audio.Channels = r.whole("channels", from(1, 64, "channels"))
	}
	stated := 0
	for _, columns := range [][]string{{"current_a"}, {"input_w"}, {"output_w"}, {"rms_w", "onboard_fuse_a"}} {
		for _, name := range columns {
			if _, ok := r.has(name); ok {
				stated++
				break
			}
		}
	}
	if stated != 1 {
		r.wrong("current_a", fmt.Sprintf("the load is stated in %d ways", stated), "one of current_a, input_w, output_w, or rms_w with onboard_fuse_a")
	}
	return l
}

// surge reads a starting current and how long it lasts.
func (r *row) surge() electrical.Surge {
	current := r.numberOr("surge_a", spanCurrent, 0)
	seconds := r.numberOr("surge_s", above(0, 600, "s"), 0)
	_, hasCurrent := r.has("surge_a")
	_, hasSeconds := r.has("surge_s")
	if hasCurrent != hasSeconds {
		r.wrong("surge_s", "only one of surge_a and surge_s is stated", "both, or neither")
	}
	return electrical.Surge{Current: quantity.Amps(current), Duration: time.Duration(seconds * float64(time.Second))}
}
