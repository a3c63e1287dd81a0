package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// RunQuestion asks for the conductor and fuse of one run, without a vehicle.
type RunQuestion struct {
	Kind        electrical.DeviceKind
	Category    electrical.Category
	Load        electrical.Load
	Length      quantity.Metres // one way
	Chassis     bool            // the body is the return
	Nominal     quantity.Volts
	Environment electrical.Environment
	Ambient     quantity.Celsius // where HasAmbient
	HasAmbient  bool
	Material    electrical.Material
	Insulation  electrical.Insulation
	Rating      quantity.Celsius
	MaxDrop     quantity.Percent // of nominal, conductors; where HasMaxDrop
	HasMaxDrop  bool
	Bundled     int // other loaded conductors in the same bundle
}

// RunAnswer is the least conductor and the fuse for one run.
type RunAnswer struct {
	Conductor  electrical.Conductor // the smallest trade gauge
	Metric     quantity.Size        // the smallest metric size; zero where none is large enough
	Fuse       *catalog.Fuse
	FuseMax    quantity.Amps // the largest stocked rating that the conductor may have
	Load, Peak quantity.Amps
	Ampacity   quantity.Amps
	Resistance quantity.Ohms // feed and return conductors, at temperature
	LengthMax  quantity.Metres
	Check      VoltageCheck
	Reasons    []electrical.Reason
	Assumed    []electrical.Reason
	Notes      []Note
}

// tradeGauges are the gauges that power cable is sold in.
var tradeGauges = []quantity.Size{
	quantity.AWG(18), quantity.AWG(16), quantity.AWG(14), quantity.AWG(12), quantity.AWG(10), quantity.AWG(8), quantity.AWG(6), quantity.AWG(4),
	quantity.AWG(2), quantity.AWG(1), quantity.AWG(0), quantity.AWG(-1), quantity.AWG(-2), quantity.AWG(-3),
}

// metricSizes are the sizes of IEC 60228 from 1 mm² up that power cable is sold in.
var metricSizes = func() []quantity.Size {
	var out []quantity.Size
	for _, a := range []quantity.SquareMillimetres{1, 1.5, 2.5, 4, 6, 10, 16, 25, 35, 50, 70, 95, 120} {
		out = append(out, quantity.Metric(a))
	}
	return out
}()

// assumedJoints is how many ends a run without a vehicle is counted with.
const assumedJoints = 4

// Size answers a RunQuestion. It assumes four joints, one fuse and one holder at
// their default resistances. Malformed questions give Violations, a run that no
// size can serve *Unmet.
func (d *Designer) Size(q RunQuestion) (*RunAnswer, error) {
	if bad := d.validateRun(&q); len(bad) > 0 {
		return nil, bad
	}
	n, unmet := d.runNeed(&q)
	if unmet != nil {
		return nil, unmet
	}
	protections := d.candidates[q.Category].protections
	picked, t := pick(n, &q, tradeGauges, protections)
	if picked == nil {
		return nil, d.unmetRun(&q, n, t)
	}
	answer := &RunAnswer{
		Conductor: picked.wires.conductor, Fuse: picked.with.fuse, Load: n.load, Peak: n.demand.Design, Ampacity: picked.wires.ampacity(), Resistance: picked.wires.resistance,
		FuseMax: largestRating(picked, protections), LengthMax: d.longest(q, picked.wires.conductor.Size), Check: n.check(picked, n.peak, n.totalDrop(picked.total), n.source.Running, n.totalLimit),
	}
	if metric, _ := pick(n, &q, metricSizes, protections); metric != nil {
		answer.Metric = metric.wires.conductor.Size
	}
	answer.Reasons = runReasons(n, &q, picked, protections)
	answer.Assumed = runAssumptions(n, &q)
	answer.Notes = runNotes()
	return answer, nil
}

func (d *Designer) validateRun(q *RunQuestion) Violations {
	var c checker
	known(&c, "category", q.Category, electrical.Categories())
	known(&c, "device_kind", q.Kind, electrical.DeviceKinds())
	known(&c, "environment", q.Environment, electrical.Environments())
	known(&c, "conductor.material", q.Material, electrical.Materials())
	if q.Nominal != 12 && q.Nominal != 24 && q.Nominal != 48 {
		c.add("nominal_v", "nominal", electrical.Num("given", q.Nominal, electrical.UnitV))
	}
	c.within("length_m", float64(q.Length), 0.1, maxLength, electrical.UnitM)
	c.within("conductor.insulation_c", float64(q.Rating), 60, 200, electrical.UnitC)
	if q.HasAmbient {
		c.within("ambient_c", float64(q.Ambient), -40, 150, electrical.UnitC)
	}
	if q.HasMaxDrop {
		c.within("max_drop_percent", float64(q.MaxDrop), 0.5, 10, electrical.UnitPercent)
	}
	c.count("bundled_with", q.Bundled, 0, 200)
	c.load("", &Device{Kind: q.Kind, Load: q.Load})
	return trimmed(c.found)
}

// trimmed drops the leading dot of fields that stand at the root of a request.
func trimmed(v Violations) Violations {
	for i := range v {
		if len(v[i].Field) > 0 && v[i].Field[0] == '.' {
			v[i].Field = v[i].Field[1:]
		}
		if v[i].Field == "" {
			v[i].Field = "rating"
		}
	}
	return v
}

// runNeed gives the need of a run that belongs to no vehicle.
func (d *Designer) runNeed(q *RunQuestion) (*need, *Unmet) {
	defaults := &d.cat.Shop.Defaults
	n := &need{defaults: defaults, category: q.Category, nominal: q.Nominal, unplaced: true, bank: electrical.Bank{Chemistry: electrical.AGM, Nominal: q.Nominal}}
	n.source, _ = defaults.SourceAt(q.Nominal)
	n.restVolts = n.source.RestVolts(n.bank.Chemistry)
	device := Device{ID: "run", Kind: q.Kind, Load: q.Load, MaxDrop: q.MaxDrop, HasMaxDrop: q.HasMaxDrop}
	n.limits(&device)
	if unmet := n.draw(&device); unmet != nil {
		return nil, unmet
	}
	where := section{environment: q.Environment, ambient: q.Ambient, hasAmbient: q.HasAmbient}
	n.feed.add(where, q.Length)
	n.back = n.feed
	if n.chassis = q.Chassis; q.Chassis {
		n.chassisR = defaults.ChassisSteel
		n.back = path{}
		n.back.add(where, d.cat.Shop.Allowances.ReturnTail)
	}
	n.feed.bundled, n.back.bundled = q.Bundled, q.Bundled
	n.holderAt = where
	n.thinnest, n.thinReason = electrical.MinimumSize(q.Category, q.Environment)
	return n, nil
}

// pick gives the first size of a ladder that serves, with the cheapest fuse of
// the smallest rating.
func pick(n *need, q *RunQuestion, ladder []quantity.Size, protections []protection) (*choice, *tally) {
	t := &tally{}
	for _, size := range ladder {
		if found := trySize(n, q, size, protections, t); found != nil {
			return found, t
		}
	}
	return nil, t
}

func trySize(n *need, q *RunQuestion, size quantity.Size, protections []protection, t *tally) *choice {
	if catalog.Thinner(size, n.thinnest) {
		t.count(bindMinimum)
		return nil
	}
	w, ok := n.wiresOf(electrical.Conductor{Size: size, Material: q.Material, Insulation: q.Insulation, Rating: q.Rating})
	switch {
	case !ok:
		t.count(bindAmbient)
		return nil
	case !n.carries(&w):
		t.count(bindAmpacity)
		return nil
	case !n.conductorDropHolds(&w):
		t.count(bindConductorDrop)
		return nil
	}
	joints := assumedJoints * (electrical.BarrelResistance(size) + electrical.LugOnStud)
	var best *choice
	for _, with := range protections {
		if best != nil && with.fuse.Rating > best.with.fuse.Rating {
			break
		}
		if found := tryFuse(n, w, joints, with, t); found != nil && (best == nil || found.better(best)) {
			best = found
		}
	}
	return best
}

func tryFuse(n *need, w wires, joints quantity.Ohms, with protection, t *tally) *choice {
	switch {
	case !n.fuseSuits(with.fuse):
		t.count(bindFuseRating)
		return nil
	case !n.protects(&w, with.fuse):
		t.count(bindFuseAmpacity)
		return nil
	case !n.voltageHolds(with.fuse):
		t.count(bindVoltage)
		return nil
	}
	r := n.totalResistance(&w, joints, electrical.FuseResistance(with.figures, with.fuse.Rating, max(n.peak, n.load))+with.figures.Contacts)
	drop := n.totalDrop(r)
	if !n.totalDropHolds(drop) {
		t.count(bindTotalDrop)
		return nil
	}
	if !n.restHolds(r) {
		t.count(bindRestVolts)
		return nil
	}
	// The cables have no SKU here: ties fall to the fuse's.
	none := &catalog.Conductor{}
	return &choice{pair: pair{none, none}, wires: w, with: with, drop: drop, total: r, nano: with.fuse.UnitNano + with.holder.UnitNano}
}

// largestRating gives the largest stocked rating that the conductor may have.
func largestRating(picked *choice, protections []protection) quantity.Amps {
	best := picked.with.fuse.Rating
	for _, p := range protections {
		if p.fuse.Rating <= picked.wires.ampacity() {
			best = max(best, p.fuse.Rating)
		}
	}
	return best
}

// longest gives how long the run may be on the chosen size.
func (d *Designer) longest(q RunQuestion, size quantity.Size) quantity.Metres {
	protections := d.candidates[q.Category].protections
	works := func(l float64) bool {
		q.Length = quantity.Metres(l)
		n, unmet := d.runNeed(&q)
		return unmet == nil && trySize(n, &q, size, protections, &tally{}) != nil
	}
	l, _ := largestThatWorks(float64(q.Length), maxLength, works)
	return quantity.Metres(float64(int(l*100)) / 100)
}

func (d *Designer) unmetRun(q *RunQuestion, n *need, t *tally) *Unmet {
	u := &Unmet{Constraint: t.binding(), At: "run", Figures: []electrical.Figure{
		electrical.Num("current_a", n.peak, electrical.UnitA), electrical.Num("required_a", n.requiredRating(), electrical.UnitA),
		electrical.Num("length_m", q.Length, electrical.UnitM), electrical.Num("limit_percent", n.conductorLimit, electrical.UnitPercent),
		electrical.Num("total_limit_percent", n.totalLimit, electrical.UnitPercent), electrical.SizeFigure("minimum", n.thinnest)}}
	protections := d.candidates[q.Category].protections
	length, ok := largestThatWorks(0.1, float64(q.Length), func(l float64) bool {
		shorter := *q
		shorter.Length = quantity.Metres(l)
		again, unmet := d.runNeed(&shorter)
		if unmet != nil {
			return false
		}
		found, _ := pick(again, &shorter, tradeGauges, protections)
		return found != nil
	})
	if ok {
		u.Nearest = append(u.Nearest, electrical.Because("nearest.length", "", electrical.Num("length_m", float64(int(length*100))/100, electrical.UnitM)))
	}
	return u
}

func runReasons(n *need, q *RunQuestion, picked *choice, protections []protection) []electrical.Reason {
	w := &picked.wires
	size := electrical.SizeFigure("conductor", w.conductor.Size)
	out := append([]electrical.Reason{}, n.reasons...)
	out = append(out,
		electrical.Because("conductor.drop", dropSource(n.dropClass), size,
			electrical.Num("drop_v", w.drop, electrical.UnitV), electrical.Num("drop_percent", float64(w.drop/n.nominal*100), electrical.UnitPercent),
			electrical.Num("limit_percent", n.conductorLimit, electrical.UnitPercent), electrical.Num("length_m", n.feed.length, electrical.UnitM),
			electrical.Num("return_m", n.back.length, electrical.UnitM), electrical.Num("conductor_c", w.feed.temperature, electrical.UnitC)),
		electrical.Because("conductor.ampacity", electrical.SourceAmpacity, size, electrical.Num("ampacity_a", w.ampacity(), electrical.UnitA),
			electrical.Num("insulation_c", w.conductor.Rating, electrical.UnitC), electrical.Num("ambient_c", w.feed.ambient, electrical.UnitC), electrical.Word("environment", q.Environment)))
	if r, ok := runWhyNotThinner(n, q, w.conductor.Size, protections); ok {
		out = append(out, r)
	}
	return append(out, n.ratingReason(picked), electrical.Because("fuse.ampacity", electrical.SourceAmpacity,
		electrical.Num("fuse_a", picked.with.fuse.Rating, electrical.UnitA), electrical.Num("ampacity_a", w.ampacity(), electrical.UnitA), electrical.Num("bound_a", n.fuseBound(w), electrical.UnitA)))
}

func runWhyNotThinner(n *need, q *RunQuestion, size quantity.Size, protections []protection) (electrical.Reason, bool) {
	for i := len(tradeGauges) - 1; i >= 0; i-- {
		if !catalog.Thinner(tradeGauges[i], size) {
			continue
		}
		t := &tally{}
		trySize(n, q, tradeGauges[i], protections, t)
		if t.binding() == bindMinimum {
			return n.thinReason, true
		}
		thin := electrical.Conductor{Size: tradeGauges[i], Material: q.Material, Insulation: q.Insulation, Rating: q.Rating}
		return electrical.Because("conductor.thinner."+t.binding(), "", n.thinnerFigures(thin)...), true
	}
	return electrical.Reason{}, false
}

func runAssumptions(n *need, q *RunQuestion) []electrical.Reason {
	out := []electrical.Reason{
		electrical.Because("size.assumed", "common practice, no source", electrical.Num("joints", assumedJoints, electrical.UnitCount)),
		electrical.Because("size.insulation", "", electrical.Num("insulation_c", q.Rating, electrical.UnitC), electrical.Word("material", q.Material)),
		electrical.Because("assumed.volts", "common practice, no source", electrical.Num("source_v", n.source.Running, electrical.UnitV)),
	}
	if q.Chassis {
		out = append(out, electrical.Because("size.chassis", "common practice, no source",
			electrical.Num("tail_m", n.back.length, electrical.UnitM), electrical.Num("allowance_mohm", n.chassisR.Milliohms(), electrical.UnitMohm)))
	}
	return out
}

// runNotes is what goes with every answer on a bare run.
func runNotes() []Note {
	reason, _ := because("every_job")
	var notes []Note
	for _, rule := range cautions {
		switch rule.code {
		case "battery_ground_first", "blown_fuse", "defer":
			notes = append(notes, Note{Code: rule.code, Severity: rule.severity, Because: reason})
		}
	}
	return notes
}
