package design

import (
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// strapAdviceFrom is where body returns together deserve heavier straps (common
// practice, no source).
const strapAdviceFrom quantity.Amps = 100

func (s *solver) advise(plans []circuitPlan, out *Design) {
	s.adviseStuds(out)
	s.adviseLinks(plans, out)
	if sum := overBody(plans); sum >= strapAdviceFrom && out.Straps == nil {
		out.Advice = append(out.Advice, Advice{Code: "body_straps", Figures: []electrical.Figure{electrical.Num("current_a", sum, electrical.UnitA)}})
	}
	for _, c := range out.Circuits {
		if f := c.Protection.Fuse; f.Curve.Typical {
			out.Advice = append(out.Advice, Advice{Code: "curve_typical", At: c.ID, Figures: []electrical.Figure{electrical.Word("family", f.Family)}})
		}
	}
	s.adviseBundles(out)
}

// adviseStuds says where more terminals would land on a battery's post, or on a
// converter's terminal, than it should bear.
func (s *solver) adviseStuds(out *Design) {
	for _, o := range s.origins {
		limit := o.terminals(termination.StudLimit(s.vehicle.Category))
		for _, point := range []Point{o.plus(), o.minus()} {
			count := 0
			for _, c := range out.Circuits {
				if h := c.Protection.Holder; point == o.plus() && h != nil && h.OnPost() && c.FedFrom == o.ID {
					count++ // the holder itself sits on the post
				}
				for _, r := range c.Runs {
					if r.From == point || r.To == point {
						count++
					}
				}
			}
			if count > limit {
				out.Advice = append(out.Advice, Advice{Code: "stud_crowded", At: o.ID, Figures: []electrical.Figure{
					electrical.Word("point", point.Kind), electrical.Num("terminals", count, electrical.UnitCount), electrical.Num("limit", limit, electrical.UnitCount)}})
			}
		}
	}
}

// bundleLoad is the share of its ampacity above which a conductor heats its
// neighbours in a bundle (a usual reading, from memory).
const bundleLoad = 0.35

// adviseBundles says which routes must not be strapped into one tight bundle,
// because the loaded cables of this job together would need a bundling factor
// that some of them do not have room for.
func (s *solver) adviseBundles(out *Design) {
	for i := range s.vehicle.Routes {
		route := &s.vehicle.Routes[i]
		count := 0
		for _, run := range runsThrough(out, i) {
			if float64(run.Current) > bundleLoad*float64(run.Ampacity) {
				count++
			}
		}
		if count <= 2 {
			continue
		}
		factor := electrical.BundlingFactor(count + route.BundledWith)
		if tightAt(out, i, factor) {
			out.Advice = append(out.Advice, Advice{Code: "bundle_apart", At: route.From + " – " + route.To, Figures: []electrical.Figure{
				electrical.Num("conductors", count, electrical.UnitCount), electrical.Num("factor", factor, electrical.UnitFactor)}})
		}
	}
}

// tightAt tells whether a bundling factor on a route would take some cable's
// ampacity below its fuse.
func tightAt(d *Design, route int, factor float64) bool {
	for i := range d.Circuits {
		c := &d.Circuits[i]
		if contains(c.Routes, route) && float64(c.Protection.Fuse.Rating) > factor*float64(c.Runs[0].Ampacity) {
			return true
		}
	}
	return false
}

// runsThrough gives the runs whose cable goes through a route: feeds, and returns
// that go all the way back.
func runsThrough(d *Design, route int) []*Run {
	var out []*Run
	for i := range d.Circuits {
		c := &d.Circuits[i]
		if !contains(c.Routes, route) {
			continue
		}
		for k := range c.Runs {
			r := &c.Runs[k]
			if strings.HasSuffix(r.ID, "/feed") || r.Polarity == Return && r.To.Kind != AtChassis {
				out = append(out, r)
			}
		}
	}
	return out
}

// unstatedStuds gives the batteries whose posts have no stud of their own.
func (s *solver) unstatedStuds() []string {
	var out []string
	for _, b := range s.vehicle.Batteries {
		if b.Stud == "" {
			out = append(out, b.ID)
		}
	}
	return out
}

// assumptions says what was taken for granted, so that the counter can correct it.
func (s *solver) assumptions(plans []circuitPlan) []electrical.Reason {
	a := s.allowances
	var unmeasured, landings, groups, bodies, leads, relays, links, nominal, limits []string
	for i := range plans {
		d := &plans[i].device
		if !d.HasMeasured {
			unmeasured = append(unmeasured, labelOf(d))
		}
		if d.link != "" {
			if d.side != OutputSide { // named once
				links = append(links, labelOf(d))
			}
			continue
		}
		if d.Maker.Positive.Kind == "" || d.Maker.Negative.Kind == "" {
			landings = append(landings, labelOf(d))
		}
		if c := d.Converter; c.Given() && c.Output == 0 {
			nominal = append(nominal, labelOf(d))
		}
		if c := d.Converter; c.Given() && c.Limit == 0 {
			limits = append(limits, labelOf(d))
		}
		if d.Quantity > 1 {
			groups = append(groups, labelOf(d))
		}
		if plans[i].need.chassis {
			bodies = append(bodies, labelOf(d))
		}
		if d.Kind == electrical.Amplifier && !d.NoLeads {
			leads = append(leads, labelOf(d))
		}
		if plans[i].need.relay {
			relays = append(relays, labelOf(d))
		}
	}
	var r []electrical.Reason
	add := func(code string, names []string, figures ...electrical.Figure) {
		if len(names) > 0 {
			r = append(r, electrical.Because("assumed."+code, "", append(figures, electrical.Name("devices", strings.Join(names, "; ")))...))
		}
	}
	add("lengths", unmeasured, electrical.Num("allowance_percent", a.Route, electrical.UnitPercent))
	add("terminals", landings)
	add("groups", groups)
	add("body_return", bodies)
	add("leads", leads)
	add("switch", relays)
	add("links", links)
	add("converter_volts", nominal)
	add("converter_limit", limits, electrical.Num("factor", float64(limitOverRated), electrical.UnitFactor))
	add("battery_stud", s.unstatedStuds(), electrical.Name("stud", string(usualBatteryStud)))
	r = append(r, electrical.Because("assumed.volts", "common practice, no source", electrical.Num("source_v", s.origins[0].source.Running, electrical.UnitV)))
	r = append(r, electrical.Because("assumed.bundles", "common practice, no source"), electrical.Because("assumed.sound_vehicle", "common practice, no source"))
	return r
}
