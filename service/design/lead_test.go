package design_test

import (
	"fmt"
	"math"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// amplifier gives one of class D in the rear.
func amplifier(rms quantity.Watts, channels int) design.Device {
	return design.Device{ID: "amp", Kind: electrical.Amplifier, Zone: "rear",
		Load: electrical.Load{Audio: electrical.Audio{RMS: rms, Channels: channels, Class: electrical.ClassD}}}
}

// gauge is what 33 CFR 183.425 Table 5 and ASTM B258 say of one.
type gauge struct {
	number int
	amps   float64 // 105 °C, outside engine spaces
}

// speakerGauges are the gauges of speaker leads, thinnest first.
var speakerGauges = []gauge{{18, 20}, {16, 25}, {14, 35}, {12, 45}, {10, 60}, {8, 80}}

// loop is the resistance there and back of a pair in a cabin at 30 °C: copper of
// 0.017241 Ω·mm²/m with 0.00393 per kelvin (IEC 60028), 2 % of lay, at the
// temperature that the current heats it to.
func (g gauge) loop(metres, amps float64) float64 {
	d := 0.127 * math.Pow(92, float64(36-g.number)/39)
	degrees := 30 + 75*(amps/g.amps)*(amps/g.amps)
	return 2 * metres * 0.017241 / (math.Pi / 4 * d * d) * 1.02 * (1 + 0.00393*(degrees-20))
}

// TestSpeakerLead: of the stocked gauges from 18 AWG the thinnest that keeps the
// loop within 5 % of the load and carries √(P/Z).
func TestSpeakerLead(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	tests := []struct {
		watts  quantity.Watts
		ohms   quantity.Ohms
		metres quantity.Metres
		want   string
	}{
		{50, 4, 3, "18 AWG"},
		{50, 4, 6, "16 AWG"},
		{50, 8, 6, "18 AWG"},
		{100, 4, 10, "14 AWG"},
		{1000, 1, 2, "14 AWG"},
		{1000, 1, 3, "12 AWG"},
		{2000, 2, 0.5, "14 AWG"}, // 31.6 A: it is the current that decides
		{75, 2, 12, "10 AWG"},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprintf("%v W, %v ohm, %v m", float64(tt.watts), float64(tt.ohms), float64(tt.metres)), func(t *testing.T) {
			t.Parallel()
			s := oneDevice(amplifier(200, 4))
			s.Leads = []design.Lead{{DeviceID: "amp", Kind: design.SpeakerLead, Power: tt.watts, Impedance: tt.ohms, Length: tt.metres, HasLength: true}}
			l := leadNamed(t, made(t, cat, coachVan(), s), "amp/speaker")
			amps := math.Sqrt(float64(tt.watts) / float64(tt.ohms))
			for _, g := range speakerGauges {
				loop := g.loop(float64(tt.metres), amps)
				if loop > 0.05*float64(tt.ohms) || amps > g.amps {
					continue
				}
				require.Equal(t, tt.want, quantity.AWG(g.number).String(), "the tables")
				assert.InEpsilon(t, loop/float64(tt.ohms)*100, float64(l.LoopShare), 1e-9)
				break
			}
			require.Len(t, l.Runs, 2)
			for k, r := range l.Runs {
				assert.Equal(t, tt.want, r.Conductor.Size.String())
				assert.InEpsilon(t, amps, float64(r.Current), 1e-9)
				assert.LessOrEqual(t, r.Current, r.Ampacity)
				assert.Equal(t, tt.metres, r.Length)
				assert.InEpsilon(t, float64(l.LoopShare)/100*float64(tt.ohms)/2, float64(r.Resistance), 1e-9)
				assert.Equal(t, []design.Polarity{design.Feed, design.Return}[k], r.Polarity)
			}
		})
	}
}

// TestLeadsOfAnAmplifier: what goes with one by default. One channel plays where
// the amplifier is, more play at the controls.
func TestLeadsOfAnAmplifier(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	// Rear 0.5·1.1 + 0.1, the route 2·1.1, a loop of 0.1 at the far end.
	const within, toControls = 0.75, 2.95
	tests := []struct {
		channels, pairs, signals int
		zone                     string
		metres                   float64
	}{
		{1, 1, 1, "rear", within},
		{2, 2, 1, "dash", toControls},
		{4, 4, 2, "dash", toControls},
		{5, 5, 3, "dash", toControls},
	}
	for _, tt := range tests {
		t.Run(fmt.Sprintf("%d channels", tt.channels), func(t *testing.T) {
			t.Parallel()
			got := made(t, cat, coachVan(), oneDevice(amplifier(200, tt.channels)))
			require.Len(t, got.Leads, 3)
			speaker := leadNamed(t, got, "amp/speaker")
			assert.Equal(t, tt.pairs, speaker.Count)
			require.Len(t, speaker.Runs, 2*tt.pairs)
			for _, r := range speaker.Runs {
				assert.Equal(t, design.Point{Kind: design.AtSpeaker, ID: tt.zone}, r.To)
				assert.InDelta(t, tt.metres, float64(r.Length), 1e-9)
				assert.InEpsilon(t, math.Sqrt(200/float64(tt.channels)/4), float64(r.Current), 1e-9, "its share into 4 Ω")
			}
			trigger := leadNamed(t, got, "amp/trigger")
			assert.Equal(t, 1, trigger.Count)
			fuse := cutAtItsFuse(t, trigger, 2.95)
			assert.Equal(t, design.Point{Kind: design.AtControls, ID: "dash"}, trigger.To)
			assert.Equal(t, electrical.Cabin, fuse.Environment)
			assert.Equal(t, quantity.AWG(18), trigger.Runs[0].Conductor.Size, "the thinnest that a 3 A holder takes")
			assert.Equal(t, quantity.Amps(3), trigger.Protection.Fuse.Rating)
			assert.NotNil(t, trigger.Protection.Holder)
			assert.Equal(t, "dash", trigger.Protection.Zone)
			signal := leadNamed(t, got, "amp/signal")
			assert.Equal(t, tt.signals, signal.Count)
			require.Len(t, signal.Sundries, 1)
			assert.Equal(t, catalog.UseSignal, signal.Sundries[0].Sundry.Use)
			assert.Equal(t, int64(tt.signals)*2950, signal.Sundries[0].Milli, "by the metre, in millimetres")
		})
	}
}

// cutAtItsFuse checks that a thin lead is two pieces, each with an end of its own at
// the holder, a loop's length from the far end; it gives the piece from the holder.
func cutAtItsFuse(t *testing.T, l *design.LeadPlan, whole float64) *design.Run {
	t.Helper()
	require.Len(t, l.Runs, 2)
	near, far := &l.Runs[0], &l.Runs[1]
	holder := design.Point{Kind: design.AtFuseHolder, ID: l.ID}
	assert.Equal(t, [2]design.Point{l.From, holder}, [2]design.Point{near.From, near.To})
	assert.Equal(t, [2]design.Point{holder, l.To}, [2]design.Point{far.From, far.To})
	assert.InDelta(t, whole, float64(l.Length), 1e-9)
	assert.InDelta(t, whole, float64(near.Length+far.Length), 1e-9)
	assert.InDelta(t, 0.1, float64(far.Length), 1e-9)
	for _, e := range []design.End{near.Ends[1], far.Ends[0]} {
		assert.Equal(t, l.Protection.Holder.Landing, e.Landing)
		assert.NotNil(t, e.Plan.Sleeve)
		assert.NotEmpty(t, e.Plan.Work, "the end is priced")
	}
	return far
}

// TestTriggerLeadIsThin: 20 AWG where a holder takes it, never thinner.
func TestTriggerLeadIsThin(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for i := range cat.Holders {
		cat.Holders[i].Landing.Smallest = quantity.AWG(22)
	}
	assert.Equal(t, quantity.AWG(20), leadNamed(t, made(t, cat, coachVan(), oneDevice(amplifier(200, 4))), "amp/trigger").Runs[0].Conductor.Size)
}

// TestSignalLeadsReadyMade are so many pieces, whatever the length.
func TestSignalLeadsReadyMade(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for i := range cat.Sundries {
		if cat.Sundries[i].Use == catalog.UseSignal {
			cat.Sundries[i].SoldBy = catalog.Each
		}
	}
	assert.Equal(t, int64(2000), leadNamed(t, made(t, cat, coachVan(), oneDevice(amplifier(200, 4))), "amp/signal").Sundries[0].Milli)
}

// TestWhoGetsLeads: amplifiers, unless they are turned off; nothing else.
func TestWhoGetsLeads(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	none := amplifier(200, 4)
	none.NoLeads = true
	assert.Empty(t, made(t, cat, coachVan(), oneDevice(none)).Leads)
	assert.Empty(t, made(t, cat, coachVan(), oneDevice(draws(electrical.HeadUnit, 6))).Leads)
	s := oneDevice(none)
	s.Leads = []design.Lead{{DeviceID: "amp", Kind: design.TriggerLead}}
	got := made(t, cat, coachVan(), s)
	require.Len(t, got.Leads, 1, "what is asked for is laid all the same")
	assert.Equal(t, design.TriggerLead, got.Leads[0].Lead)
}

// TestLeadsAskedFor replace the defaults of their kind and leave the others.
func TestLeadsAskedFor(t *testing.T) {
	t.Parallel()
	s := oneDevice(amplifier(200, 4))
	s.Leads = []design.Lead{
		{DeviceID: "amp", Kind: design.SpeakerLead, Count: 2, ToZone: "rear"},
		{DeviceID: "amp", Kind: design.SpeakerLead, Count: 1, Length: 7, HasLength: true, Impedance: 2},
	}
	got := made(t, demoShop(t), coachVan(), s)
	require.Len(t, got.Leads, 4)
	assert.Len(t, leadNamed(t, got, "amp/speaker").Runs, 4)
	assert.Equal(t, design.Point{Kind: design.AtSpeaker, ID: "rear"}, leadNamed(t, got, "amp/speaker").Runs[0].To)
	second := leadNamed(t, got, "amp/speaker/2")
	require.Len(t, second.Runs, 2)
	assert.Equal(t, design.Point{Kind: design.AtSpeaker, ID: "dash"}, second.Runs[0].To, "the controls, where no zone is named")
	assert.Equal(t, quantity.Metres(7), second.Runs[0].Length)
	assert.InEpsilon(t, 5, float64(second.Runs[0].Current), 1e-9, "50 W into 2 Ω")
	assert.Equal(t, 1, leadNamed(t, got, "amp/trigger").Count)
	assert.Equal(t, 2, leadNamed(t, got, "amp/signal").Count)
	seen := map[string]bool{}
	for _, l := range got.Leads {
		for _, r := range l.Runs {
			assert.False(t, seen[r.ID], "%s twice", r.ID)
			seen[r.ID] = true
		}
	}
}

// TestLeadsOfEveryPiece: what is asked for an entry goes with each of its pieces.
func TestLeadsOfEveryPiece(t *testing.T) {
	t.Parallel()
	d := amplifier(100, 1)
	d.Quantity = 2
	s := oneDevice(d)
	s.Leads = []design.Lead{{DeviceID: "amp", Kind: design.SpeakerLead, Length: 1.5, HasLength: true}}
	got := made(t, demoShop(t), coachVan(), s)
	for _, id := range []string{"amp-1/speaker", "amp-2/speaker"} {
		assert.Equal(t, quantity.Metres(1.5), leadNamed(t, got, id).Runs[0].Length)
	}
}

// TestLeadsAfloatAreTinned, whether of a habit's cable or the thinnest stocked.
func TestLeadsAfloatAreTinned(t *testing.T) {
	t.Parallel()
	v := coachVan()
	v.Category, v.Body, v.Zones[0].Environment = electrical.Boat, catalog.GlassFibre, electrical.Cabin
	s := oneDevice(amplifier(100, 2))
	heater := switched(20)
	heater.ID = "heater"
	s.Devices = append(s.Devices, heater)
	got := made(t, demoShop(t), v, s)
	require.Len(t, got.Leads, 4)
	for _, l := range got.Leads {
		for _, r := range l.Runs {
			assert.Equal(t, electrical.TinnedCopper, r.Conductor.Material, r.ID)
		}
	}
}

// TestLeadsThatCannotBeHad: a lead that nobody asked for is left out and said to
// be; one that was asked for is not met.
func TestLeadsThatCannotBeHad(t *testing.T) {
	t.Parallel()
	tests := []struct {
		kind       design.LeadKind
		constraint string
		cat        *catalog.Catalog
	}{
		{design.TriggerLead, "trigger_lead", shopWithout(t, "fuses.csv", "FU-BLD-3,", "FU-MIN-3,")},
		{design.SignalLead, "signal_lead", shopWithout(t, "sundries.csv", "SN-SIG")},
		{design.SpeakerLead, "speaker_lead", shopWithout(t, "conductors.csv", "CB-04", "CB-02", "CB-01", "CB-1-0", "CB-2-0", "CB-3-0", "CB-4-0")},
	}
	for _, tt := range tests {
		t.Run(string(tt.kind), func(t *testing.T) {
			t.Parallel()
			cat, v, d := tt.cat, coachVan(), amplifier(200, 4)
			if tt.kind == design.SpeakerLead { // 220 m there and back are more than 6 AWG can do
				d.Measured, d.HasMeasured = 3, true
				v.Routes[1].Length = 100
			}
			got, err := design.New(cat).Design(v, oneDevice(d))
			require.NoError(t, err)
			assert.Len(t, got.Leads, 2)
			found := false
			for _, a := range got.Advice {
				if a.Code == "lead_left_out" {
					found = true
					assert.Equal(t, "amp", a.At)
					assert.Equal(t, []electrical.Figure{electrical.Word("lead_kind", tt.kind)}, a.Figures)
				}
			}
			assert.True(t, found)
			s := oneDevice(d)
			s.Leads = []design.Lead{{DeviceID: "amp", Kind: tt.kind, Impedance: 0.5}}
			_, err = design.New(cat).Design(v, s)
			u, ok := unmet(err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, tt.constraint, u.Constraint)
			assert.Equal(t, "amp", u.At)
		})
	}
}

// TestLeadViolations are told at their field.
func TestLeadViolations(t *testing.T) {
	t.Parallel()
	sound := design.Lead{DeviceID: "d", Kind: design.SpeakerLead}
	tests := []struct {
		name, field string
		change      func(*design.Lead)
	}{
		{"of no device", ".device_id", func(l *design.Lead) { l.DeviceID = "" }},
		{"of a device that is not there", ".device_id", func(l *design.Lead) { l.DeviceID = "other" }},
		{"no kind", ".kind", func(l *design.Lead) { l.Kind = "" }},
		{"a kind unheard of", ".kind", func(l *design.Lead) { l.Kind = "hdmi" }},
		{"fewer than none", ".count", func(l *design.Lead) { l.Count = -1 }},
		{"a loom of them", ".count", func(l *design.Lead) { l.Count = 33 }},
		{"no length at all", ".length_m", func(l *design.Lead) { l.HasLength = true }},
		{"a length that is no number", ".length_m", func(l *design.Lead) { l.Length, l.HasLength = quantity.Metres(nan), true }},
		{"hardly any impedance", ".impedance_ohm", func(l *design.Lead) { l.Impedance = 0.1 }},
		{"power without end", ".power_w", func(l *design.Lead) { l.Power = quantity.Watts(inf) }},
		{"to nowhere", ".to_zone", func(l *design.Lead) { l.ToZone = "attic" }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			l := sound
			tt.change(&l)
			slip{tt.name, func(_ *catalog.Vehicle, s *design.System) { s.Leads = []design.Lead{sound, l} }, "system.leads[1]" + tt.field}.run(t)
		})
	}
}

// methodLead works an example of a speaker lead out, from the rear of a van to its
// dashboard.
func methodLead(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	v := coachVan()
	v.Zones[2].Reach, v.Routes[1].Length = quantity.Metres(e.number(t, "reach", "m")), quantity.Metres(e.number(t, "route", "m"))
	s := oneDevice(amplifier(200, 4))
	s.Leads = []design.Lead{{DeviceID: "amp", Kind: design.SpeakerLead, Power: quantity.Watts(e.number(t, "power", "W")), Impedance: quantity.Ohms(e.number(t, "impedance", "Ω"))}}
	l := leadNamed(t, made(t, demoShop(t), v, s), "amp/speaker")
	return map[string]string{
		"length": methodFigure(l.Runs[0].Length, "m"), "current": methodFigure(l.Runs[0].Current, "A"),
		"conductor": l.Runs[0].Conductor.Size.String(), "loop": methodFigure(2*l.Runs[0].Resistance.Milliohms(), "mΩ"), "share": methodFigure(l.LoopShare, "%"),
	}
}
