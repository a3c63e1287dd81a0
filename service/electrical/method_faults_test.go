package electrical_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// methodFaultRules works out the examples of fuses in the heat, faults and what
// stands them, of the charging balance, and of poor joints.
var methodFaultRules = map[string]func(*testing.T, *printed) map[string]string{
	"opening_at": func(t *testing.T, e *printed) map[string]string {
		f := electrical.FuseOf(electrical.Family(e.word("family")), e.amps(t, "rating"))
		o := f.OpeningAt(quantity.Celsius(e.number(t, "ambient", "°C")), e.amps(t, "current"))
		return map[string]string{"shortest": in(o.Min, "s"), "longest": in(o.Max, "s")}
	},
	"own_gates": func(t *testing.T, e *printed) map[string]string {
		var gates []electrical.Gate
		for _, name := range []string{"first", "second", "last"} {
			var g electrical.Gate
			_, err := fmt.Sscanf(e.word(name), "%g %%, %g to %g s", &g.Percent, &g.Min, &g.Max)
			require.NoError(t, err)
			gates = append(gates, g)
		}
		rating := e.amps(t, "rating")
		o := ownCurve(t, quantity.Percent(e.number(t, "no_open", "%")), gates...).Opening(rating, e.amps(t, "current"))
		return map[string]string{"shortest": in(o.Min, "s"), "longest": in(o.Max, "s")}
	},
	"adiabatic": func(t *testing.T, e *printed) map[string]string {
		k := electrical.AdiabaticK(electrical.Material(e.word("material")), quantity.Celsius(e.number(t, "from", "°C")), quantity.Celsius(e.number(t, "to", "°C")))
		return map[string]string{"k": in(k, "A√s/mm²")}
	},
	"withstand": func(t *testing.T, e *printed) map[string]string {
		return map[string]string{"time": in(electrical.Section{Conductor: e.wire(t), Ambient: 30, Ampacity: 1}.Withstand(e.amps(t, "fault"), true), "s")}
	},
	"withstand_long": func(t *testing.T, e *printed) map[string]string {
		s := electrical.Section{Conductor: e.wire(t), Ambient: quantity.Celsius(e.number(t, "ambient", "°C")), Ampacity: e.amps(t, "ampacity")}
		return map[string]string{"time": in(s.Withstand(e.amps(t, "fault"), true), "s")}
	},
	"far_end": func(t *testing.T, e *printed) map[string]string {
		run := electrical.Section{
			Conductor: e.wire(t), Length: quantity.Metres(e.number(t, "length", "m")), Ambient: 30,
			Ampacity: e.amps(t, "ampacity"), Load: e.amps(t, "load"),
		}
		v := electrical.FarEnd{
			Bank:   electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, ColdCranking: e.amps(t, "cranking")},
			Source: quantity.Volts(e.number(t, "source", "V")), Fuse: electrical.FuseOf(electrical.Family(e.word("family")), e.amps(t, "rating")),
			Sections: []electrical.Section{run, run}, Joints: e.ohms(t, "joints"), Soldered: true,
		}.Judge()
		return map[string]string{
			"fault": in(v.Fault, "A"), "least": in(v.Least, "A"), "opens": in(v.Opens, "s"), "withstands": in(v.Withstands, "s"), "cleared": yes(v.Cleared),
		}
	},
	"limited": func(t *testing.T, e *printed) map[string]string {
		run := electrical.Section{
			Conductor: e.wire(t), Length: quantity.Metres(e.number(t, "length", "m")), Ambient: 30,
			Ampacity: e.amps(t, "ampacity"), Load: e.amps(t, "load"),
		}
		v := electrical.FarEnd{
			Bank:   electrical.Bank{Nominal: 12, Rated: e.amps(t, "rated"), Limit: e.amps(t, "limit")},
			Source: quantity.Volts(e.number(t, "source", "V")), Fuse: electrical.FuseOf(electrical.Family(e.word("family")), e.amps(t, "rating")),
			Sections: []electrical.Section{run, run},
		}.Judge()
		return map[string]string{"fault": in(v.Fault, "A"), "least": in(v.Least, "A"), "cleared": yes(v.Cleared)}
	},
	"average": func(t *testing.T, e *printed) map[string]string {
		duty := electrical.Duty{Kind: electrical.DutyKind(e.word("duty"))}
		if kind := e.word("kind"); kind != "" {
			duty = electrical.EnergyDuty(electrical.DeviceKind(kind), 0)
		}
		return map[string]string{"average": in(duty.Average(e.amps(t, "current")), "A")}
	},
	"charging": func(t *testing.T, e *printed) map[string]string {
		b := electrical.Charging{
			Rated: e.amps(t, "rated"), IdleShare: e.number(t, "idle_share", "%") / 100, CruiseShare: e.number(t, "cruise_share", "%") / 100,
			Standing: e.amps(t, "standing"), Running: e.amps(t, "equipment"), Reserve: e.amps(t, "reserve"),
		}.Balance()
		return map[string]string{
			"idle": in(b.Idle.Surplus, "A"), "cruise": in(b.Cruise.Surplus, "A"), "short": in(b.Cruise.Short, "A"), "needed": in(b.Needed, "A"), "passes": yes(b.Pass),
		}
	},
	"engine_off": func(t *testing.T, e *printed) map[string]string {
		b := electrical.Charging{
			Chemistry: electrical.Chemistry(e.word("chemistry")), Capacity: quantity.AmpHours(e.number(t, "capacity", "Ah")),
			Starts: e.word("starts") == "yes", Resting: e.amps(t, "current"),
		}.Balance()
		return map[string]string{"usable": in(b.UsableAh, "Ah"), "hours": in(b.Hours, "h")}
	},
	"partial": func(t *testing.T, e *printed) map[string]string {
		h, err := electrical.PartialStrands(e.wire(t), base, e.number(t, "held", "%")/100, e.amps(t, "current"))
		require.NoError(t, err)
		gauge, _ := h.Counts.Gauge()
		return map[string]string{
			"counts_as": in(float64(gauge), "AWG"), "ampacity": in(h.Ampacity, "A"), "path": in(h.ThinPath.Milliohms(), "mΩ"),
			"least_heat": in(h.Heat.Low, "W"), "most_heat": in(h.Heat.High, "W"),
		}
	},
	"poor_joint": func(t *testing.T, e *printed) map[string]string {
		r, ok := electrical.PoorJoint(e.word("joint")).Resistance()
		require.True(t, ok)
		heat := r.Heating(e.amps(t, "current"))
		return map[string]string{
			"least": in(r.Low.Milliohms(), "mΩ"), "most": in(r.High.Milliohms(), "mΩ"), "least_heat": in(heat.Low, "W"), "most_heat": in(heat.High, "W"),
		}
	},
	"overload": func(t *testing.T, e *printed) map[string]string {
		o := e.fuse(t, "fuse").Overload(e.amps(t, "ampacity"))
		return map[string]string{"i2": in(o.I2, "A"), "within": in(o.Within, "s"), "limit": in(o.Limit, "A"), "holds": yes(o.Holds)}
	},
	"selectivity": func(t *testing.T, e *printed) map[string]string {
		l := electrical.InLine{Downstream: e.fuse(t, "downstream"), Upstream: e.fuse(t, "upstream"), Highest: e.amps(t, "highest"), Besides: e.amps(t, "besides")}
		s := l.Selectivity()
		return map[string]string{"up_to": in(s.UpTo, "A"), "total": yes(s.Total)}
	},
}

// fuse reads an input such as "blade 30 A".
func (e *printed) fuse(t *testing.T, name string) electrical.Fuse {
	t.Helper()
	var family string
	var rating float64
	_, err := fmt.Sscanf(e.word(name), "%s %g A", &family, &rating)
	require.NoError(t, err)
	return electrical.FuseOf(electrical.Family(family), quantity.Amps(rating))
}
