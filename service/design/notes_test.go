package design_test

import (
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// noteOf gives a note by code.
func noteOf(notes []design.Note, code string) (design.Note, bool) {
	for _, n := range notes {
		if n.Code == code {
			return n, true
		}
	}
	return design.Note{}, false
}

// TestCautionsFollowTheFacts: every caution of the design's list is there when its
// fact is and away when it is not, and names the fact.
func TestCautionsFollowTheFacts(t *testing.T) {
	designer := design.New(demoShop(t))
	boat := func(v *catalog.Vehicle) {
		v.Category, v.Body, v.Fuel = electrical.Boat, catalog.GlassFibre, catalog.Petrol
	}
	tests := []struct {
		code     string
		severity design.Severity
		fact     string
		with     func(*catalog.Vehicle, *design.Device)
		without  func(*catalog.Vehicle, *design.Device) // nil: always there
	}{
		{"battery_ground_first", design.Danger, "fact.every_job", sound, nil},
		{"engine_stopped", design.Danger, "fact.every_job", sound, nil},
		{"blown_fuse", design.Danger, "fact.every_job", sound, nil},
		{"defer", design.Fault, "fact.every_job", sound, nil},
		{"shrink_heat", design.Fault, "fact.sleeves", sound, nil},
		{"high_voltage", design.Danger, "fact.electric_vehicle", func(v *catalog.Vehicle, _ *design.Device) { v.Fuel = catalog.Electric }, sound},
		{"lithium", design.Danger, "fact.battery", func(v *catalog.Vehicle, _ *design.Device) { v.Batteries[0].Chemistry = electrical.Lithium }, sound},
		{"lead_acid_gas", design.Danger, "fact.battery", sound, func(v *catalog.Vehicle, _ *design.Device) { v.Batteries[0].Chemistry = electrical.Lithium }},
		{"petrol_vapour", design.Danger, "fact.vapour", func(v *catalog.Vehicle, _ *design.Device) { v.Zones[1].Vapour = true }, sound},
		{"restraints", design.Danger, "fact.restraints", func(v *catalog.Vehicle, _ *design.Device) { v.Zones[1].Restraints = true },
			func(v *catalog.Vehicle, d *design.Device) { v.Zones[2].Restraints, d.Zone = true, "dash" }}, // not on the way
		{"drilling", design.Danger, "fact.ground_point", sound, func(_ *catalog.Vehicle, d *design.Device) { d.Maker.ReturnToBattery = true }},
		{"drilling", design.Danger, "fact.panel_pass", func(v *catalog.Vehicle, d *design.Device) { v.Routes[0].Grommets, d.Maker.ReturnToBattery = 1, true },
			func(_ *catalog.Vehicle, d *design.Device) { d.Maker.ReturnToBattery = true }},
		{"hot_work", design.Danger, "fact.soldered_ends", sound, func(v *catalog.Vehicle, _ *design.Device) { boat(v) }},
		{"fumes", design.Fault, "fact.soldered_ends", sound, func(v *catalog.Vehicle, _ *design.Device) { boat(v) }},
		{"moving_parts", design.Danger, "fact.category_motorcycle", func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.Motorcycle }, sound},
		{"moving_parts", design.Danger, "fact.category_side_by_side", func(v *catalog.Vehicle, _ *design.Device) { v.Category = electrical.SideBySide }, sound},
		{"ignition_protection", design.Danger, "fact.petrol_boat", func(v *catalog.Vehicle, _ *design.Device) { boat(v) },
			func(v *catalog.Vehicle, _ *design.Device) { boat(v); v.Fuel = catalog.Diesel }},
		{"ignition_protection", design.Danger, "fact.petrol_boat", func(v *catalog.Vehicle, _ *design.Device) { boat(v); v.Fuel = catalog.Gas },
			func(v *catalog.Vehicle, _ *design.Device) { v.Fuel = catalog.Petrol }}, // a van
		{"bilge_pump", design.Danger, "fact.device", func(v *catalog.Vehicle, d *design.Device) { boat(v); d.Kind = electrical.Pump },
			func(_ *catalog.Vehicle, d *design.Device) { d.Kind = electrical.Pump }},
		{"bonding", design.Fault, "fact.category_boat", func(v *catalog.Vehicle, _ *design.Device) { boat(v) }, sound},
		{"mains", design.Danger, "fact.device", func(_ *catalog.Vehicle, d *design.Device) { d.Kind = electrical.Inverter }, sound},
		{"precharge", design.Fault, "fact.large_capacitors", func(_ *catalog.Vehicle, d *design.Device) { d.Kind, d.Load.Current = electrical.Amplifier, 80 },
			func(_ *catalog.Vehicle, d *design.Device) { d.Kind, d.Load.Current = electrical.Amplifier, 70 }},
		{"meter_socket", design.Fault, "fact.large_load", func(_ *catalog.Vehicle, d *design.Device) { d.Load.Current = 11 },
			func(_ *catalog.Vehicle, d *design.Device) { d.Load.Current = 10 }},
	}
	for _, tt := range tests {
		t.Run(tt.code+" for "+tt.fact, func(t *testing.T) {
			notes := func(change func(*catalog.Vehicle, *design.Device)) []design.Note {
				v, d := van(), draws(electrical.Radio, 5)
				change(v, &d)
				got, err := designer.Design(v, oneDevice(d))
				require.NoError(t, err)
				return got.Notes
			}
			note, ok := noteOf(notes(tt.with), tt.code)
			require.True(t, ok, "the caution is missing")
			assert.Equal(t, tt.severity, note.Severity)
			assert.Equal(t, tt.fact, note.Because.Rule)
			if tt.without != nil {
				_, ok = noteOf(notes(tt.without), tt.code)
				assert.False(t, ok, "the caution has no fact to stand on")
			}
		})
	}
}

// sound leaves the job as it is.
func sound(*catalog.Vehicle, *design.Device) {}

// TestSolderedEndsOfLeadsCount: an amplifier on set-screws has no soldered end but
// those of its leads: two at each speaker, and the four of the trigger lead.
func TestSolderedEndsOfLeadsCount(t *testing.T) {
	got := made(t, demoShop(t), coachVan(), oneDevice(amplifier(60, 2)))
	soldered := 0
	for _, c := range got.Circuits {
		for _, r := range c.Runs {
			for _, e := range r.Ends {
				if e.Plan.Method == termination.CrimpAndSolder || e.Plan.Method == termination.SolderedSplice {
					soldered++
				}
			}
		}
	}
	hot, ok := noteOf(got.Notes, "hot_work")
	require.True(t, ok)
	ends, _ := numberOf(hot.Because.Figures, "ends")
	assert.InDelta(t, soldered+4+4, ends, 1e-9)
}

// TestNotesComeInOneOrder: dangers of the vehicle first, the deferral last.
func TestNotesComeInOneOrder(t *testing.T) {
	v, d := van(), draws(electrical.Inverter, 100)
	v.Fuel, v.Zones[1].Restraints = catalog.Electric, true
	got, err := design.New(demoShop(t)).Design(v, oneDevice(d))
	require.NoError(t, err)
	codes := codesOf(got.Notes)
	assert.Equal(t, "high_voltage", codes[0])
	assert.Equal(t, "battery_ground_first", codes[1])
	assert.Equal(t, "defer", codes[len(codes)-1])
}

// TestEndNotes: a soldered end brings its cautions, a crimped one does not.
func TestEndNotes(t *testing.T) {
	designer := design.New(demoShop(t))
	for category, soldered := range map[electrical.Category]bool{electrical.Car: true, electrical.Boat: false} {
		plan, err := designer.End(design.EndQuestion{SKU: "CB-08-TC-RD", Landing: catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}, Category: category, Environment: electrical.Cabin})
		require.NoError(t, err)
		notes := design.EndNotes(&plan)
		for _, code := range []string{"fumes", "hot_work"} {
			_, ok := noteOf(notes, code)
			assert.Equal(t, soldered, ok, "%s %s", category, code)
		}
		for _, code := range []string{"battery_ground_first", "shrink_heat", "defer"} {
			_, ok := noteOf(notes, code)
			assert.True(t, ok, code)
		}
	}
}

// TestStudAdvice: more terminals on a battery post than a stud bears is said, with
// the limit of the kind of vehicle.
func TestStudAdvice(t *testing.T) {
	designer := design.New(demoShop(t))
	for _, count := range []int{3, 4} {
		s := design.System{Layout: design.SingleFeeds}
		for i := range count {
			d := draws(electrical.Radio, 5)
			d.ID = string(rune('a' + i))
			s.Devices = append(s.Devices, d)
		}
		got, err := designer.Design(van(), s)
		require.NoError(t, err)
		crowded := false
		for _, a := range got.Advice {
			if a.Code == "stud_crowded" {
				crowded = true
				limit, _ := numberOf(a.Figures, "limit")
				assert.InDelta(t, 3, limit, 1e-9)
			}
		}
		assert.Equal(t, count > 3, crowded, "%d feeds", count)
	}
}
