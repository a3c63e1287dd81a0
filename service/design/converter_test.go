package design_test

import (
	"fmt"
	"math/rand/v2"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// truck is the van at 24 V.
func truck() *catalog.Vehicle {
	v := van()
	v.Category, v.Nominal = electrical.Truck, 24
	v.SetDefaults()
	return v
}

// converter gives 12 V at 13.8 V and 20 A, in the dash, from studs.
func converter() design.Device {
	studs := catalog.Landing{Kind: catalog.OnStud, Stud: "M5"}
	return design.Device{ID: "converter", Kind: electrical.Charger, Zone: "dash", Maker: design.Maker{Positive: studs, Negative: studs},
		Converter: catalog.Converter{Nominal: 12, Output: 13.8, Rated: 20, Limit: 24}}
}

// behind gives a device in the rear that a converter feeds.
func behind(id string, i quantity.Amps) design.Device {
	d := draws(electrical.Fan, i)
	d.ID, d.FedFrom = id, "converter"
	return d
}

func circuitOf(t *testing.T, d *design.Design, id string) *design.Circuit {
	t.Helper()
	for i := range d.Circuits {
		if d.Circuits[i].ID == id {
			return &d.Circuits[i]
		}
	}
	require.Fail(t, "no circuit "+id, outline(d))
	return nil
}

// TestBehindAConverter: a 12 V device on a 24 V truck is fed from the converter's
// output and returns there; the converter itself takes in what its rated output needs.
func TestBehindAConverter(t *testing.T) {
	got := made(t, demoShop(t), truck(), design.System{Devices: []design.Device{converter(), behind("fan", 6)}})
	in, fan := circuitOf(t, got, "converter"), circuitOf(t, got, "fan")
	// 20 A at 13.8 V out, 0.9 of what goes in at 24 V.
	assert.InDelta(t, 20*13.8/0.9/24, float64(in.Load), 1e-9)
	assert.Equal(t, "main", in.FedFrom)
	assert.Equal(t, "converter", fan.FedFrom)
	assert.Equal(t, design.Point{Kind: design.AtConverterPositive, ID: "converter"}, fan.Runs[0].From)
	assert.Equal(t, design.Point{Kind: design.AtConverterNegative, ID: "converter"}, fan.Runs[len(fan.Runs)-1].To)
	assert.InDelta(t, 13.8, float64(fan.Running.Source), 1e-9)
	assert.InDelta(t, float64(fan.Running.Drop)/12*100, float64(fan.Running.DropPercent), 1e-9)
	assert.InDelta(t, 7.5, float64(fan.Protection.Fuse.Rating), 1e-9, "6 A over 0.8")
	assert.LessOrEqual(t, float64(fan.Protection.Prospective), 24.0, "the converter limits itself")
	assert.True(t, fan.Protection.ByConverter)
	assert.False(t, fan.Protection.Holder.OnPost(), "there is no post at a converter")
	require.Len(t, fan.Nodes, 1)
	assert.InDelta(t, 13.8-float64(fan.Running.Drop), float64(fan.Nodes[0].Running), 0.02)
}

// TestConverterFeedsNoHarm: what a converter can give, its cables either carry for
// good, or a fuse of at most half of its rated output opens on (clause 436 of IEC
// 60364-4-43, from memory; else as for a battery).
func TestConverterFeedsNoHarm(t *testing.T) {
	cat := demoShop(t)
	for _, amps := range []quantity.Amps{0.5, 2, 4, 6, 8, 10, 12, 15} {
		got := made(t, cat, truck(), design.System{Devices: []design.Device{converter(), behind("fan", amps)}})
		fan := circuitOf(t, got, "fan")
		for _, r := range fan.Runs {
			carried, surely := r.Ampacity >= 24, fan.Protection.Fuse.Rating <= 10
			assert.True(t, carried || surely, "%v A on %v behind %v", amps, r.Conductor.Size, fan.Protection.Fuse.Rating)
		}
		assert.True(t, fan.Short.Cleared)
	}
}

// TestConverterLeastCost holds circuits behind converters to brute force with its own
// feasibility code, on random shelves.
func TestConverterLeastCost(t *testing.T) {
	const shops, circuits = 10, 30
	feasible, impossible := 0, 0
	for shop := range uint64(shops) {
		random := rand.New(rand.NewPCG(shop, 20260412))
		cat := thinnedShop(t, random)
		designer, planner := design.New(cat), termination.NewPlanner(cat)
		for n := range circuits {
			v := anyVehicle(random)
			v.Nominal, v.Body, v.Charging.RunningV = 24, catalog.NoBody, 0
			from := converter()
			from.Zone, from.CustomerSupplied = v.Zones[random.IntN(len(v.Zones))].ID, true
			rated := quantity.Amps(between(random, 5, 60))
			from.Converter = catalog.Converter{Nominal: 12, Output: 12 + 2.4*quantity.Volts(random.Float64()), Rated: rated, Limit: rated * quantity.Amps(1+random.Float64()/2)}
			small := *v
			small.Nominal = 12
			d := anyDevice(random, &small)
			d.FedFrom = from.ID
			got, err := designer.Design(v, design.System{Devices: []design.Device{from, d}})
			if bad, ok := violations(err); ok {
				require.Fail(t, "the made-up job is malformed", "%v", bad)
			}
			f := newBehind(cat, planner, v, &from, &d)
			if f.peak > float64(rated) || float64(d.Surge.Current) > f.peak && float64(d.Surge.Current) > float64(from.Converter.Limit) {
				u, ok := unmet(err)
				require.True(t, ok, "more than the converter gives: %v", err)
				assert.Contains(t, []string{"converter_output", "converter_start", "load_range"}, u.Constraint)
				continue
			}
			want, ok := leastOf(f)
			if !ok {
				impossible++
				require.Error(t, err, "shop %d circuit %d: %+v", shop, n, d)
				continue
			}
			if u, isUnmet := unmet(err); isUnmet && u.At != d.ID {
				continue // the converter's own feed cannot be had on these shelves
			}
			feasible++
			require.NoError(t, err, "shop %d circuit %d: %+v\n%+v", shop, n, d, from)
			require.Equal(t, want, costOf(cat, circuitOf(t, got, d.ID)), "shop %d circuit %d: %+v\n%+v", shop, n, d, from)
		}
	}
	assert.Greater(t, feasible, 60)
	assert.Greater(t, impossible, 10)
}

// TestConverterWithOneTerminal: where the output is a screw that takes one cable, more
// devices hang on a block; asked for feeds of their own, the quote says what is wrong.
func TestConverterWithOneTerminal(t *testing.T) {
	from := converter()
	from.Maker.Positive = catalog.Landing{Kind: catalog.OnSetScrew, Largest: quantity.AWG(8)}
	from.Maker.Negative = from.Maker.Positive
	s := design.System{Devices: []design.Device{from, behind("a", 2), behind("b", 3), behind("c", 4)}}
	got := made(t, demoShop(t), truck(), s)
	trunk := trunkOf(t, got)
	assert.Equal(t, "converter", trunk.FedFrom)
	assert.Equal(t, []string{"a", "b", "c"}, trunk.DeviceIDs)
	assert.False(t, got.Crowded)
	assert.InDelta(t, 9, float64(trunk.Load), 1e-9)
	require.Len(t, trunk.Nodes, 1)
	assert.Less(t, float64(trunk.Nodes[0].Running), 13.8)
	assert.Greater(t, float64(trunk.Nodes[0].Running), float64(circuitOf(t, got, "c").Nodes[0].Running))

	s.Layout = design.SingleFeeds
	got = made(t, demoShop(t), truck(), s)
	assert.True(t, got.Crowded)
	var told []string
	for _, a := range got.Advice {
		if a.Code == "stud_crowded" {
			told = append(told, a.At)
		}
	}
	assert.Equal(t, []string{"converter", "converter"}, told)
}

// TestConverterUnmet: what a converter cannot serve is refused with the figure that
// would do, and does.
func TestConverterUnmet(t *testing.T) {
	starting := behind("pump", 6)
	starting.Surge = electrical.Surge{Current: 22, Duration: 200 * time.Millisecond}
	tests := map[string]struct {
		change     func(*design.Device)
		fed        []design.Device
		constraint string
		required   float64
		mend       func(*design.Device, quantity.Amps)
	}{
		"together above the rated output": {func(*design.Device) {}, []design.Device{behind("a", 12), behind("b", 9)}, "converter_output", 21,
			func(d *design.Device, a quantity.Amps) { d.Converter.Rated, d.Converter.Limit = a, 0 }},
		"a start beside the others": {func(*design.Device) {}, []design.Device{starting, behind("b", 5)}, "converter_start", 27,
			func(d *design.Device, a quantity.Amps) { d.Converter.Limit = a }},
		"a start where no limit is stated": {func(d *design.Device) { d.Converter.Limit = 0 }, []design.Device{starting}, "converter_start", 22,
			func(d *design.Device, a quantity.Amps) { d.Converter.Limit = a }},
		// 12 A at 13.8 V out, 0.9 of what goes in at 24 V.
		"an input stated too low": {func(d *design.Device) { d.Load.Current = 5 }, []design.Device{behind("a", 12)}, "converter_input", 12 * 13.8 / 24 / 0.9,
			func(d *design.Device, a quantity.Amps) { d.Load.Current = a }},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			from := converter()
			tt.change(&from)
			s := design.System{Devices: append([]design.Device{from}, tt.fed...)}
			_, err := design.New(demoShop(t)).Design(truck(), s)
			u, ok := unmet(err)
			require.True(t, ok, "%v", err)
			assert.Equal(t, tt.constraint, u.Constraint)
			assert.Equal(t, "converter", u.At)
			assert.InDelta(t, tt.required, u.Figures[0].Value, 1e-9)
			require.NotEmpty(t, u.Nearest)
			tt.mend(&s.Devices[0], quantity.Amps(u.Nearest[0].Figures[0].Value))
			made(t, demoShop(t), truck(), s)
		})
	}
}

// TestConverterFaults: what is malformed is told at its field.
func TestConverterFaults(t *testing.T) {
	tests := map[string]struct {
		change func(*design.System)
		field  string
		code   string
	}{
		"for a radio":              {func(s *design.System) { s.Devices[0].Kind = electrical.Radio }, "system.devices[0].converter", "converter_kind"},
		"two of one":               {func(s *design.System) { s.Devices[0].Quantity = 2 }, "system.devices[0].quantity", "converter_quantity"},
		"named like a battery":     {func(s *design.System) { s.Devices[0].ID = "main" }, "system.devices[0].id", "duplicate"},
		"no nominal":               {func(s *design.System) { s.Devices[0].Converter.Nominal = 0 }, "system.devices[0].converter.nominal_v", "nominal"},
		"volts of another system":  {func(s *design.System) { s.Devices[0].Converter.Output = 24 }, "system.devices[0].converter.output_v", "range"},
		"no output":                {func(s *design.System) { s.Devices[0].Converter.Rated = 0 }, "system.devices[0].converter.rated_a", "range"},
		"limit below output":       {func(s *design.System) { s.Devices[0].Converter.Limit = 10 }, "system.devices[0].converter.limit_a", "range"},
		"behind itself":            {func(s *design.System) { s.Devices[0].FedFrom = "converter" }, "system.devices[0].fed_from", "converter_behind_converter"},
		"behind what is none":      {func(s *design.System) { s.Devices[1].FedFrom = "elsewhere" }, "system.devices[1].fed_from", "unknown_battery"},
		"volts no 12 V device has": {func(s *design.System) { s.Devices[1].MinVolts = 20 }, "system.devices[1].min_v", "range"},
	}
	for name, tt := range tests {
		t.Run(name, func(t *testing.T) {
			s := design.System{Devices: []design.Device{converter(), behind("fan", 3)}}
			tt.change(&s)
			_, err := design.New(demoShop(t)).Design(truck(), s)
			bad, ok := violations(err)
			require.True(t, ok, "%v", err)
			var told []string
			for _, b := range bad {
				told = append(told, fmt.Sprintf("%s %s", b.Field, b.Code))
			}
			assert.Contains(t, told, tt.field+" "+tt.code)
		})
	}
}

// TestConverterInTheBalance: a converter counts in the charging balance as what it
// takes in for the devices behind it, and not a second time by itself.
func TestConverterInTheBalance(t *testing.T) {
	fan := behind("fan", 6)
	fan.Duty = electrical.Duty{Kind: electrical.Continuous}
	got := made(t, demoShop(t), truck(), design.System{Devices: []design.Device{converter(), fan}})
	require.Len(t, got.Charging.Loads, 1)
	assert.Equal(t, "fan", got.Charging.Loads[0].DeviceID)
	assert.InDelta(t, 6*13.8/0.9/24, float64(got.Charging.Average), 1e-9)
	got = made(t, demoShop(t), truck(), design.System{Devices: []design.Device{converter()}})
	require.Len(t, got.Charging.Loads, 1, "without any behind it, it counts by itself")
}

// TestOtherVoltageBehindAConverter is refused as it is at a battery.
func TestOtherVoltageBehindAConverter(t *testing.T) {
	fan := behind("fan", 3)
	fan.Nominal = 24
	_, err := design.New(demoShop(t)).Design(truck(), design.System{Devices: []design.Device{converter(), fan}})
	u, ok := unmet(err)
	require.True(t, ok, "%v", err)
	assert.Equal(t, "other_voltage", u.Constraint)
	fan.Nominal = 12
	made(t, demoShop(t), truck(), design.System{Devices: []design.Device{converter(), fan}})
}

// methodConverter designs a fan behind a converter on a truck of 24 V.
func methodConverter(t *testing.T, e *methodExample) map[string]string {
	t.Helper()
	from := converter()
	from.Converter = catalog.Converter{Nominal: 12, Output: quantity.Volts(e.number(t, "output", "V")), Rated: quantity.Amps(e.number(t, "rated", "A")), Limit: quantity.Amps(e.number(t, "limit", "A"))}
	got, err := methodDesigner(t).Design(truck(), design.System{Devices: []design.Device{from, behind("fan", quantity.Amps(e.number(t, "fan", "A")))}})
	require.NoError(t, err)
	fan := circuitOf(t, got, "fan")
	return map[string]string{"input": methodFigure(circuitOf(t, got, "converter").Load, "A"), "fuse": methodFigure(fan.Protection.Fuse.Rating, "A"), "source": methodFigure(fan.Running.Source, "V")}
}

// TestConverterAssumptions: figures that its maker does not state are said to be taken
// for granted, and only those.
func TestConverterAssumptions(t *testing.T) {
	for name, tt := range map[string]struct {
		output quantity.Volts
		limit  quantity.Amps
		want   []string
	}{
		"all stated": {13.8, 24, nil}, "no limit": {13.8, 0, []string{"assumed.converter_limit"}},
		"no volts": {0, 24, []string{"assumed.converter_volts"}}, "neither": {0, 0, []string{"assumed.converter_volts", "assumed.converter_limit"}},
	} {
		t.Run(name, func(t *testing.T) {
			from := converter()
			from.Converter.Output, from.Converter.Limit = tt.output, tt.limit
			var told []string
			for _, r := range made(t, demoShop(t), truck(), design.System{Devices: []design.Device{from, behind("fan", 3)}}).Assumptions {
				if strings.HasPrefix(r.Rule, "assumed.converter") {
					told = append(told, r.Rule)
				}
			}
			assert.Equal(t, tt.want, told)
		})
	}
}
