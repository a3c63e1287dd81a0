package design_test

import (
	"math"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var nan, inf = math.NaN(), math.Inf(1)

// slip is one mistake in a sound job and the field it must be told at.
type slip struct {
	name   string
	change func(*catalog.Vehicle, *design.System)
	field  string
}

func deviceSlip(name, field string, change func(*design.Device)) slip {
	return slip{name, func(_ *catalog.Vehicle, s *design.System) { change(&s.Devices[1]) }, "system.devices[1]" + field}
}

func vehicleSlip(name, field string, change func(*catalog.Vehicle)) slip {
	return slip{name, func(v *catalog.Vehicle, _ *design.System) { change(v) }, "vehicle." + field}
}

func (s slip) run(t *testing.T) {
	t.Helper()
	v := van()
	system := design.System{Devices: []design.Device{{ID: "first", Kind: electrical.Light, Zone: "dash", Load: electrical.Load{Current: 3}}, draws(electrical.Radio, 5)}}
	s.change(v, &system)
	_, err := design.New(demoShop(t)).Design(v, system)
	bad, ok := violations(err)
	require.True(t, ok, "%v", err)
	var fields []string
	for _, one := range bad {
		fields = append(fields, one.Field)
		assert.NotEmpty(t, one.Code)
	}
	assert.Equal(t, []string{s.field}, fields)
	assert.ErrorContains(t, err, s.field)
}

func TestDeviceViolations(t *testing.T) {
	long := strings.Repeat("x", 65)
	for _, s := range []slip{
		deviceSlip("no id", ".id", func(d *design.Device) { d.ID = "" }),
		deviceSlip("long id", ".id", func(d *design.Device) { d.ID = long }),
		deviceSlip("id there twice", ".id", func(d *design.Device) { d.ID = "first" }),
		deviceSlip("no zone", ".zone", func(d *design.Device) { d.Zone = "" }),
		deviceSlip("unknown zone", ".zone", func(d *design.Device) { d.Zone = "attic" }),
		deviceSlip("unknown battery", ".fed_from", func(d *design.Device) { d.FedFrom = "spare" }),
		deviceSlip("unknown equipment", ".equipment_sku", func(d *design.Device) { d.EquipmentSKU = "EQ-NONE" }),
		deviceSlip("a fuse is no equipment", ".equipment_sku", func(d *design.Device) { d.EquipmentSKU = "FU-BLD-5" }),
		deviceSlip("unknown kind", ".kind", func(d *design.Device) { d.Kind = "toaster" }),
		deviceSlip("minus one of it", ".quantity", func(d *design.Device) { d.Quantity = -1 }),
		deviceSlip("a thousand of it", ".quantity", func(d *design.Device) { d.Quantity = 1000 }),
		deviceSlip("no rating", "", func(d *design.Device) { d.Load = electrical.Load{} }),
		deviceSlip("two ratings", "", func(d *design.Device) { d.Load.Input = 60 }),
		deviceSlip("negative current", ".current_a", func(d *design.Device) { d.Load.Current = -5 }),
		deviceSlip("NaN current", ".current_a", func(d *design.Device) { d.Load.Current = quantity.Amps(nan) }),
		deviceSlip("infinite current", ".current_a", func(d *design.Device) { d.Load.Current = quantity.Amps(inf) }),
		deviceSlip("enormous current", ".current_a", func(d *design.Device) { d.Load.Current = 1e300 }),
		deviceSlip("tiny current", ".current_a", func(d *design.Device) { d.Load.Current = 1e-300 }),
		deviceSlip("negative watts", ".input_power_w", func(d *design.Device) { d.Load = electrical.Load{Input: -60} }),
		deviceSlip("NaN watts", ".output_power_w", func(d *design.Device) { d.Load = electrical.Load{Output: quantity.Watts(nan)} }),
		deviceSlip("efficiency above one", ".efficiency", func(d *design.Device) { d.Load = electrical.Load{Output: 60, Efficiency: 1.2} }),
		deviceSlip("NaN efficiency", ".efficiency", func(d *design.Device) { d.Load = electrical.Load{Output: 60, Efficiency: nan} }),
		deviceSlip("amplifier of unknown output", ".audio", func(d *design.Device) { d.Load = electrical.Load{Audio: electrical.Audio{Channels: 4}} }),
		deviceSlip("NaN output", ".audio.rms_w", func(d *design.Device) {
			d.Load = electrical.Load{Audio: electrical.Audio{RMS: quantity.Watts(nan), OnboardFuse: 30}}
		}),
		deviceSlip("negative own fuse", ".audio.onboard_fuse_a", func(d *design.Device) { d.Load = electrical.Load{Audio: electrical.Audio{RMS: 100, OnboardFuse: -1}} }),
		deviceSlip("audio efficiency of 75", ".audio.efficiency", func(d *design.Device) { d.Load = electrical.Load{Audio: electrical.Audio{RMS: 100, Efficiency: 75}} }),
		deviceSlip("forty channels", ".audio.channels", func(d *design.Device) { d.Load = electrical.Load{Audio: electrical.Audio{RMS: 100, Channels: 40}} }),
		deviceSlip("unknown behaviour", ".behaviour", func(d *design.Device) { d.Load.Behaviour = "moody" }),
		deviceSlip("millivolts for volts", ".min_v", func(d *design.Device) { d.MinVolts = 10500 }),
		deviceSlip("NaN volts", ".min_v", func(d *design.Device) { d.MinVolts = quantity.Volts(nan) }),
		deviceSlip("no drop at all", ".max_drop_percent", func(d *design.Device) { d.HasMaxDrop = true }),
		deviceSlip("NaN drop", ".max_drop_percent", func(d *design.Device) { d.HasMaxDrop, d.MaxDrop = true, quantity.Percent(nan) }),
		deviceSlip("unknown drop class", ".drop_class", func(d *design.Device) { d.DropClass = "lenient" }),
		deviceSlip("measured as nothing", ".measured_length_m", func(d *design.Device) { d.HasMeasured = true }),
		deviceSlip("measured in millimetres", ".measured_length_m", func(d *design.Device) { d.HasMeasured, d.Measured = true, 5500 }),
		deviceSlip("NaN length", ".measured_length_m", func(d *design.Device) { d.HasMeasured, d.Measured = true, quantity.Metres(nan) }),
		deviceSlip("surge without time", ".surge.seconds", func(d *design.Device) { d.Surge.Current = 20 }),
		deviceSlip("surge without current", ".surge.current_a", func(d *design.Device) { d.Surge.Duration = time.Second }),
		deviceSlip("NaN surge", ".surge.current_a", func(d *design.Device) {
			d.Surge = electrical.Surge{Current: quantity.Amps(nan), Duration: time.Second}
		}),
		deviceSlip("unknown duty", ".duty.kind", func(d *design.Device) { d.Duty.Kind = "rarely" }),
		deviceSlip("intermittent without time on", ".duty.on_s", func(d *design.Device) { d.Duty = electrical.Duty{Kind: electrical.Intermittent, Off: time.Second} }),
		deviceSlip("negative time off", ".duty.off_s", func(d *design.Device) {
			d.Duty = electrical.Duty{Kind: electrical.Intermittent, On: time.Second, Off: -time.Second}
		}),
		deviceSlip("NaN fuse", ".maker.fuse_a", func(d *design.Device) { d.Maker.Fuse = quantity.Amps(nan) }),
		deviceSlip("negative fuse", ".maker.fuse_a", func(d *design.Device) { d.Maker.Fuse = -10 }),
		deviceSlip("unknown landing", ".maker.positive.kind", func(d *design.Device) { d.Maker.Positive.Kind = "glue" }),
		deviceSlip("unknown stud", ".maker.negative.stud", func(d *design.Device) { d.Maker.Negative = catalog.Landing{Kind: catalog.OnStud, Stud: "M7"} }),
		deviceSlip("maker's sizes cross", ".maker.conductor_min", func(d *design.Device) { d.Maker.ConductorMin, d.Maker.TerminalMax = quantity.AWG(4), quantity.AWG(10) }),
	} {
		t.Run(s.name, s.run)
	}
}

// TestEquipmentDoesNotHideASlip: what the catalog's equipment states fills in only
// what the job leaves out, never what it states wrongly.
func TestEquipmentDoesNotHideASlip(t *testing.T) {
	for _, s := range []slip{
		deviceSlip("negative current", ".current_a", func(d *design.Device) { d.EquipmentSKU, d.Load.Current = "EQ-RAD-50", -5 }),
		deviceSlip("NaN current", ".current_a", func(d *design.Device) { d.EquipmentSKU, d.Load.Current = "EQ-RAD-50", quantity.Amps(nan) }),
		deviceSlip("negative watts", ".input_power_w", func(d *design.Device) { d.EquipmentSKU, d.Load = "EQ-RAD-50", electrical.Load{Input: -60} }),
		deviceSlip("negative output", ".audio", func(d *design.Device) {
			d.EquipmentSKU, d.Load = "EQ-RAD-50", electrical.Load{Audio: electrical.Audio{Channels: 2}}
		}),
	} {
		t.Run(s.name, s.run)
	}
}

func TestSystemViolations(t *testing.T) {
	for _, s := range []slip{
		{"nothing to feed", func(_ *catalog.Vehicle, s *design.System) { s.Devices = nil }, "system.devices"},
		{"too much to feed", func(_ *catalog.Vehicle, s *design.System) {
			first := s.Devices[0]
			s.Devices = nil
			for i := range 1001 {
				first.ID = "d" + strings.Repeat("i", i%32) + strings.Repeat("j", i/32)
				s.Devices = append(s.Devices, first)
			}
		}, "system.devices"},
	} {
		t.Run(s.name, s.run)
	}
}

// TestPiecesOfOneEntryKeepTheirOwnIDs: three fans named "fan" become fan-1 to
// fan-3; another device of that name would share their circuit.
func TestPiecesOfOneEntryKeepTheirOwnIDs(t *testing.T) {
	fans := slip{"before", func(_ *catalog.Vehicle, s *design.System) {
		s.Devices[1].ID, s.Devices[1].Quantity, s.Devices[0].ID = "fan", 3, "fan-2"
	}, "system.devices[1].id"}
	t.Run(fans.name, fans.run)
	after := slip{"after", func(_ *catalog.Vehicle, s *design.System) {
		s.Devices[0].Kind, s.Devices[0].ID, s.Devices[0].Quantity, s.Devices[1].ID = electrical.Fan, "fan", 3, "fan-2"
	}, "system.devices[1].id"}
	t.Run(after.name, after.run)

	// Lights of one entry stay one circuit, so their name stays theirs alone.
	lights := draws(electrical.Light, 1)
	lights.ID, lights.Quantity = "light", 3
	other := draws(electrical.Radio, 5)
	other.ID = "light-2"
	_, err := design.New(demoShop(t)).Design(van(), design.System{Devices: []design.Device{lights, other}})
	require.NoError(t, err)
}

func TestVehicleViolations(t *testing.T) {
	for _, s := range []slip{
		vehicleSlip("no batteries", "batteries", func(v *catalog.Vehicle) { v.Batteries = nil }),
		vehicleSlip("too many routes", "routes", func(v *catalog.Vehicle) { v.Routes = make([]catalog.Route, 1001) }),
		vehicleSlip("too many batteries", "batteries", func(v *catalog.Vehicle) { v.Batteries = make([]catalog.Battery, 21) }),
		vehicleSlip("13 V", "nominal_v", func(v *catalog.Vehicle) { v.Nominal = 13 }),
		vehicleSlip("NaN volts", "nominal_v", func(v *catalog.Vehicle) { v.Nominal = quantity.Volts(nan) }),
		vehicleSlip("unknown category", "category", func(v *catalog.Vehicle) { v.Category = "sled" }),
		vehicleSlip("unknown body", "body", func(v *catalog.Vehicle) { v.Body = "paper" }),
		vehicleSlip("endless route", "routes[1].length_m", func(v *catalog.Vehicle) { v.Routes[1].Length = quantity.Metres(inf) }),
		vehicleSlip("NaN route", "routes[0].length_m", func(v *catalog.Vehicle) { v.Routes[0].Length = quantity.Metres(nan) }),
		vehicleSlip("negative route", "routes[0].length_m", func(v *catalog.Vehicle) { v.Routes[0].Length = -1 }),
		vehicleSlip("route to nowhere", "routes[0].to", func(v *catalog.Vehicle) { v.Routes[0].To = "attic" }),
		vehicleSlip("route in a ring", "routes[0].to", func(v *catalog.Vehicle) { v.Routes[0].To = "engine" }),
		vehicleSlip("zone twice", "zones[2].id", func(v *catalog.Vehicle) { v.Zones = append(v.Zones[:2], v.Zones[0], v.Zones[2]) }),
		vehicleSlip("unknown environment", "zones[0].environment", func(v *catalog.Vehicle) { v.Zones[0].Environment = "space" }),
		vehicleSlip("NaN ambient", "zones[1].ambient_c", func(v *catalog.Vehicle) { v.Zones[1].HasAmbient, v.Zones[1].Ambient = true, quantity.Celsius(nan) }),
		vehicleSlip("NaN reach", "zones[1].reach_m", func(v *catalog.Vehicle) { v.Zones[1].Reach = quantity.Metres(nan) }),
		vehicleSlip("battery in no zone", "batteries[0].zone", func(v *catalog.Vehicle) { v.Batteries[0].Zone = "attic" }),
		vehicleSlip("battery of which nothing is known", "batteries[0].capacity_ah", func(v *catalog.Vehicle) { v.Batteries[0].Capacity, v.Batteries[0].ColdCranking = 0, 0 }),
		vehicleSlip("NaN capacity", "batteries[0].capacity_ah", func(v *catalog.Vehicle) { v.Batteries[0].Capacity = quantity.AmpHours(nan) }),
		vehicleSlip("negative resistance", "batteries[0].internal_resistance_mohm", func(v *catalog.Vehicle) { v.Batteries[0].Internal = -1e-3 }),
		vehicleSlip("infinite short circuit", "batteries[0].short_circuit_a", func(v *catalog.Vehicle) { v.Batteries[0].ShortCircuit = quantity.Amps(inf) }),
		vehicleSlip("unknown post", "batteries[0].stud", func(v *catalog.Vehicle) { v.Batteries[0].Stud = "M7" }),
		vehicleSlip("charging at 30 V", "charging.running_v", func(v *catalog.Vehicle) { v.Charging.RunningV = 30 }),
	} {
		t.Run(s.name, s.run)
	}
}

// TestZonesOutOfNumber: without zones no device has one either, and both are told.
func TestZonesOutOfNumber(t *testing.T) {
	for _, zones := range [][]catalog.Zone{nil, make([]catalog.Zone, 201)} {
		v := van()
		v.Zones = zones
		_, err := design.New(demoShop(t)).Design(v, oneDevice(draws(electrical.Radio, 5)))
		bad, ok := violations(err)
		require.True(t, ok, "%v", err)
		assert.Equal(t, "vehicle.zones", bad[0].Field)
		assert.Equal(t, "count", bad[0].Code)
	}
}

// TestEveryFaultIsTold: one answer names all that is wrong, not the first.
func TestEveryFaultIsTold(t *testing.T) {
	v := van()
	v.Routes[0].Length = -1
	s := design.System{Devices: []design.Device{{ID: "a", Kind: electrical.Light, Zone: "attic"}, {ID: "a", Kind: "toaster", Zone: "dash", Load: electrical.Load{Current: -1}}}}
	_, err := design.New(demoShop(t)).Design(v, s)
	bad, ok := violations(err)
	require.True(t, ok)
	fields := map[string]bool{}
	for _, b := range bad {
		fields[b.Field] = true
	}
	for _, want := range []string{"vehicle.routes[0].length_m", "system.devices[0].zone", "system.devices[0]", "system.devices[1].id", "system.devices[1].kind", "system.devices[1].current_a"} {
		assert.True(t, fields[want], "%s is not told; told: %v", want, err)
	}
}

func TestSecondsAndMilliohms(t *testing.T) {
	const year = 365 * 24 * time.Hour
	for given, want := range map[float64]time.Duration{0: 0, 1.5: 1500 * time.Millisecond, -1: -time.Second, -1e300: -time.Second, 1e300: year, inf: year} {
		assert.Equal(t, want, design.Seconds(given), given)
	}
	assert.Equal(t, year, design.Seconds(nan))
	assert.InDelta(t, 0.0025, float64(design.Milliohms(2.5)), 1e-12)
}
