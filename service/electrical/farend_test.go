package electrical_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// farEnd is 10 m of 8 AWG there and back, 40 A on it, from 600 CCA.
// By hand: 8100/600 = 13.5 mΩ, 2·23.397 mΩ at 48.75 °C, joints 3 mΩ: 12.6 V over
// 63.294 mΩ are 199.07 A.
func farEnd(f electrical.Fuse) electrical.FarEnd {
	run := eightGauge
	run.Length, run.Load = 10, 40
	return electrical.FarEnd{
		Bank:   electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 70, ColdCranking: 600},
		Source: 12.6, Fuse: f, Sections: []electrical.Section{run, run}, Joints: 3 * quantity.Milliohm, Soldered: true,
	}
}

// The cable bears 199 A for 15.67 s: T5 = 124.4 °C, p = 75·(199.07/80)²/339.5 = 1.3679,
// 5 + 120.6·ln((1.3679·394.5 − 130)/(1.3679·358.9 − 94.4))/0.3679.
// Maxi 50 A: 398 %, 7·(1/7)^0.239 = 4.40 s. Maxi 80 A: 249 %, 60·(7/60)^0.390 = 25.9 s.
func TestFarEndJudge(t *testing.T) {
	tests := []struct {
		name    string
		fuse    electrical.Fuse
		opens   float64
		cleared bool
		rule    string
	}{
		{"opens in time", electrical.FuseOf(electrical.Maxi, 50), 4.40, true, "fault.cleared"},
		{"opens too late", electrical.FuseOf(electrical.Maxi, 80), 25.9, false, "fault.too_slow"},
		{"below twice the rating", electrical.FuseOf(electrical.Maxi, 99.6), math.Inf(1), false, "fault.too_small"},
		{"below twice the rating, though it opens in time", electrical.Fuse{Family: electrical.ANL, Rating: 100, Curve: ownCurve(t, 100, electrical.Gate{Percent: 135, Max: 10})},
			4.599, false, "fault.too_small"}, // 10·(135/199.07)² s
		{"no published time", electrical.FuseOf(electrical.Breaker, 60), math.Inf(1), false, "fault.not_shown"},
		{"a maker's own gates", electrical.Fuse{Family: electrical.ANL, Rating: 80, Curve: ownCurve(t, 100, sheet...)}, 16 * math.Pow(0.5/16, math.Log(2.48841/2)/math.Log(2.5)), true, "fault.cleared"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := farEnd(tt.fuse).Judge()
			within(t, 199.07, float64(got.Fault), 1e-4)
			within(t, 2*float64(tt.fuse.Rating), float64(got.Least), 1e-12)
			within(t, 15.67, got.Withstands, 2e-3)
			assert.Equal(t, quantity.Celsius(160), got.Final)
			if math.IsInf(tt.opens, 1) {
				assert.True(t, math.IsInf(got.Opens, 1))
			} else {
				within(t, tt.opens, got.Opens, 2e-3)
			}
			assert.Equal(t, tt.cleared, got.Cleared)
			assert.Equal(t, tt.rule, got.Reason.Rule)
		})
	}
}

// The thinnest section decides; a cable that carries the fault anyway says so.
func TestFarEndJudgesTheWeakestSection(t *testing.T) {
	f := farEnd(electrical.FuseOf(electrical.Maxi, 50))
	tail := electrical.Section{Conductor: cable(quantity.AWG(14), 105), Length: 0.1, Ambient: 50, Ampacity: 29.75}
	f.Sections = append(f.Sections, tail)
	got := f.Judge()
	assert.Equal(t, 2, got.Weakest)
	assert.False(t, got.Cleared)
	within(t, 0.864, got.Withstands, 2e-3, "0.94 mΩ more: 196.1 A, (87.6·2.081/196.1)² s")

	long := farEnd(electrical.FuseOf(electrical.Blade, 20))
	for i := range long.Sections {
		long.Sections[i].Length = 31 // 13.5 + 145.1 + 3 mΩ: 78.0 A, within its ampacity
	}
	good := long.Judge()
	assert.True(t, good.Cleared)
	assert.True(t, math.IsInf(good.Withstands, 1))
	assert.Equal(t, "fault.cleared_for_good", good.Reason.Rule)
}

// The high bound by CCA, 8100/700 = 11.571 mΩ, and 20 mΩ before the fault.
func TestLeastFault(t *testing.T) {
	b := electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, ColdCranking: 700}
	within(t, 12.6/0.031571, float64(b.LeastFault(12.6, 20*quantity.Milliohm)), 1e-4)
	assert.Less(t, b.LeastFault(12.6, 0), b.Prospective(12.6, 0))
}

// anyFarEnd draws a circuit of one to three sections.
func anyFarEnd(t *rapid.T, fuse electrical.Fuse) electrical.FarEnd {
	f := farEnd(fuse)
	f.Sections = rapid.SliceOfN(anySection(), 1, 3).Draw(t, "sections")
	for i := range f.Sections {
		f.Sections[i].Length = quantity.Metres(rapid.Float64Range(0, 20).Draw(t, "length"))
	}
	f.Soldered = rapid.Bool().Draw(t, "soldered")
	return f
}

// Solder never turns a verdict good, nor do joints make a fault larger.
func TestFarEndNeverImprovesWithWorseJoints(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFarEnd(t, anyFuse(t, "fuse"))
		f.Soldered = false
		soldered, poor := f, f
		soldered.Soldered = true
		poor.Joints += quantity.Ohms(rapid.Float64Range(0, 0.05).Draw(t, "more joints"))
		if !f.Judge().Cleared && soldered.Judge().Cleared {
			t.Fatalf("solder clears %+v", f.Judge())
		}
		if poor.Current() > f.Current()*rounding {
			t.Fatalf("%v A, with worse joints %v A", f.Current(), poor.Current())
		}
	})
}

// What the edge lets through is finite; nothing finite may panic or come out as NaN.
// Ratings are above 0.
func TestExtremeFiniteFaults(t *testing.T) {
	wild := rapid.OneOf(rapid.Float64Range(-1e12, 1e12), rapid.Float64Range(-10, 600), rapid.SampledFrom([]float64{0, 1e-12, -1e-12, 1e12, -1e12}))
	rapid.Check(t, func(t *rapid.T) {
		amps := func(name string) quantity.Amps { return quantity.Amps(wild.Draw(t, name)) }
		fuse := anyFuse(t, "fuse")
		s := electrical.Section{
			Conductor: anyConductor().Draw(t, "conductor"), Length: quantity.Metres(wild.Draw(t, "length")), Ambient: quantity.Celsius(wild.Draw(t, "ambient")),
			Ampacity: quantity.Amps(rapid.Float64Range(1e-9, 1e12).Draw(t, "ampacity")), Load: amps("load"),
		}
		got := map[string]float64{"withstand": s.Withstand(amps("fault"), rapid.Bool().Draw(t, "soldered"))}
		f := farEnd(fuse)
		f.Sections, f.Joints = []electrical.Section{s}, quantity.Ohms(wild.Draw(t, "joints"))
		v := f.Judge()
		got["fault"], got["opens"], got["withstands"] = float64(v.Fault), v.Opens, v.Withstands
		o := fuse.Overload(amps("ampacity of the overload"))
		got["i2"], got["limit"] = float64(o.I2), float64(o.Limit)
		b := electrical.Charging{
			Rated: amps("rated"), IdleShare: wild.Draw(t, "idle"), CruiseShare: wild.Draw(t, "cruise"), Standing: amps("standing"), Running: amps("running"),
			Reserve: amps("reserve"), Resting: amps("resting"), Capacity: quantity.AmpHours(wild.Draw(t, "capacity")), Usable: wild.Draw(t, "usable"),
		}.Balance()
		got["idle"], got["cruise"], got["needed"], got["hours"] = float64(b.Idle.Surplus), float64(b.Cruise.Surplus), float64(b.Needed), b.Hours
		if h, err := electrical.PartialStrands(s.Conductor, base, wild.Draw(t, "share"), amps("current")); err == nil {
			got["held"], got["path"] = float64(h.Ampacity), float64(h.ThinPath)
		}
		for name, value := range got {
			if math.IsNaN(value) {
				t.Fatalf("%s is not a number", name)
			}
		}
	})
}

// IEC 60364-4-43 clause 436, from memory: conductors fed from a source that cannot give
// more than they carry are protected. One ampere more and the fuse has to open.
func TestFarEndBehindASelfLimitingSource(t *testing.T) {
	run := electrical.Section{Conductor: cable(quantity.AWG(16), 105), Length: 5, Ambient: 30, Ampacity: 25, Load: 4}
	at := func(limit, rated, rating quantity.Amps) electrical.FarEndVerdict {
		return electrical.FarEnd{Bank: electrical.Bank{Nominal: 12, Rated: rated, Limit: limit}, Source: 13.8,
			Fuse: electrical.FuseOf(electrical.Blade, rating), Sections: []electrical.Section{run, run}, Soldered: true}.Judge()
	}
	carried := at(25, 20, 15)
	assert.True(t, carried.Cleared)
	assert.Equal(t, "fault.limited", carried.Reason.Rule)
	assert.True(t, math.IsInf(carried.Withstands, 1))
	beyond := at(26, 20, 15)
	assert.False(t, beyond.Cleared, "20 A are not twice 15 A")
	assert.Equal(t, "fault.too_small", beyond.Reason.Rule)
	opened := at(26, 20, 7.5)
	assert.True(t, opened.Cleared, "20 A open a fuse of 7.5 A, and the cable carries them meanwhile")
	assert.Less(t, opened.Opens, 60.0)
}
