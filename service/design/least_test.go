package design_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"slices"
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

// cheapest tries every pair of cables with every fuse in every holder. On one pair
// only the smallest rating that serves counts; false where nothing serves.
func (f *feeding) cheapest() (int64, bool) {
	best, found := int64(0), false
	habit := f.cat.Shop.Habits[f.vehicle.Category]
	for _, feed := range f.coloured(habit.FeedColours) {
		w, ok := f.cable(feed.Conductor)
		if !ok {
			continue
		}
		for _, back := range f.coloured(habit.ReturnColours) {
			if back.Size != feed.Size || back.Material != feed.Material || back.Insulation != feed.Insulation || back.Rating != feed.Rating {
				continue
			}
			if nano, ok := f.cheapestFuse(&w, feed, back); ok && (!found || nano < best) {
				best, found = nano, true
			}
		}
	}
	return best, found
}

// coloured gives the cables that the habit allows, in the first colour that each
// make and size is stocked in.
func (f *feeding) coloured(colours []string) []*catalog.Conductor {
	habit := f.cat.Shop.Habits[f.vehicle.Category]
	var out []*catalog.Conductor
	for i := range f.cat.Conductors {
		c := &f.cat.Conductors[i]
		if !slices.Contains(habit.Materials, c.Material) || c.Rating < habit.MinInsulation || !slices.Contains(colours, c.Colour) ||
			habit.SizeSystem == catalog.SizesAWG && !c.Size.IsAWG() || habit.SizeSystem == catalog.SizesMetric && c.Size.IsAWG() {
			continue
		}
		preferred := true
		for k := range f.cat.Conductors {
			o := &f.cat.Conductors[k]
			same := o.Size == c.Size && o.Material == c.Material && o.Insulation == c.Insulation && o.Rating == c.Rating
			if rank := slices.Index(colours, o.Colour); same && rank >= 0 && rank < slices.Index(colours, c.Colour) {
				preferred = false
			}
		}
		if preferred {
			out = append(out, c)
		}
	}
	return out
}

func (f *feeding) cheapestFuse(w *cabled, feed, back *catalog.Conductor) (int64, bool) {
	families := f.cat.Shop.Habits[f.vehicle.Category].Families
	best, rating := int64(0), quantity.Amps(math.Inf(1))
	for i := range f.cat.Fuses {
		fuse := &f.cat.Fuses[i]
		if fuse.Rating > rating || !slices.Contains(families, fuse.Family) || !f.ratingServes(fuse) ||
			!f.protects(w, fuse) || float64(fuse.Voltage) < f.highest {
			continue
		}
		for k := range f.cat.Holders {
			h := &f.cat.Holders[k]
			if h.Family != fuse.Family || f.from != nil && h.OnPost() || !goesOver(h, f.battery.Stud) || fuse.Rating < h.MinRating || fuse.Rating > h.MaxRating ||
				f.at.Environment != electrical.Cabin && !h.Sealed || f.at.Vapour && !h.IgnitionProtected && !fuse.IgnitionProtected || !f.interrupts(w, fuse, h) {
				continue
			}
			joints, nano, soldered, ok := f.ohmsAndCost(feed, back, h)
			if !ok || !f.volted(w, joints, fuse, soldered) {
				continue
			}
			nano += fuse.UnitNano + h.UnitNano + f.mounting(fuse.Family) + f.pulled(feed, back) + f.covered(feed, back)
			if !h.OnPost() {
				nano += f.tightest(catalog.UseBoot, feed.OuterDiameter).UnitNano
			}
			if fuse.Rating < rating || nano < best {
				best, rating = nano, fuse.Rating
			}
		}
	}
	return best, !math.IsInf(float64(rating), 1)
}

// zoneFactor is what the demo shop's labour counts by place, in thousandths.
var zoneFactor = map[electrical.Environment]int64{electrical.Cabin: 1000, electrical.EngineSpace: 1200, electrical.Exposed: 1200, electrical.Underbody: 1500, electrical.WetLocker: 1500}

// labourNano prices thousandths of a minute at 110.00 an hour, half up.
func labourNano(milliMinutes int64) int64 { return (milliMinutes*110_000_000 + 30) / 60 }

// mounting: 12 minutes for a blade holder, 18 for a bolted one.
func (f *feeding) mounting(family electrical.Family) int64 {
	minutes := int64(18)
	switch family {
	case electrical.Blade, electrical.Mini, electrical.Micro, electrical.Maxi, electrical.Glass:
		minutes = 12
	}
	return labourNano(minutes * zoneFactor[f.at.Environment])
}

// pulled is both cables and the labour of pulling the feed: 3, 4 and 6 minutes a
// metre up to 10 AWG, to 4 AWG and above.
func (f *feeding) pulled(feed, back *catalog.Conductor) int64 {
	millimetres := func(l float64) int64 { return int64(math.Ceil(l*1000 - 1e-6)) }
	perMetre := int64(6)
	switch area := feed.Size.Area(); {
	case area <= 8.04:
		perMetre = 3
	case area <= 32:
		perMetre = 4
	}
	nano := feed.LengthNano(millimetres(f.feed.length())) + back.LengthNano(millimetres(f.back.length()))
	for s, l := range f.feed.stretches {
		nano += labourNano((perMetre*millimetres(l)*zoneFactor[s.environment] + 500) / 1000)
	}
	return nano
}

// covered is the loom and the clamps: one loom over feed and return, or over the
// feed alone where the body returns, and a clamp every 450 mm on boats (ABYC E-11
// 18 in, from memory), 300 mm on motorcycles, 600 mm elsewhere.
func (f *feeding) covered(feed, back *catalog.Conductor) int64 {
	outer := feed.OuterDiameter
	if !f.chassis {
		outer += back.OuterDiameter
	}
	spacing := 0.6
	switch f.vehicle.Category {
	case electrical.Boat:
		spacing = 0.45
	case electrical.Motorcycle:
		spacing = 0.3
	}
	clamps := max(1, int64(math.Ceil(f.feed.length()/spacing-1e-9)))
	return f.tightest(catalog.UseLoom, outer).LengthNano(int64(math.Ceil(f.feed.length()*1000-1e-6))) + clamps*f.tightest(catalog.UseClamp, outer).UnitNano
}

// tightest gives the narrowest sundry of a use that the cable goes through, the
// cheapest of equal ones, else the widest.
func (f *feeding) tightest(use catalog.Use, outer quantity.Millimetres) *catalog.Sundry {
	var best, widest *catalog.Sundry
	for i := range f.cat.Sundries {
		s := &f.cat.Sundries[i]
		if s.Use != use {
			continue
		}
		if s.Inner >= outer && (best == nil || s.Inner < best.Inner || s.Inner == best.Inner && s.UnitNano < best.UnitNano) {
			best = s
		}
		if widest == nil || s.Inner > widest.Inner {
			widest = s
		}
	}
	if best == nil {
		return widest
	}
	return best
}

// costOf counts what selection compares from a finished circuit.
func costOf(cat *catalog.Catalog, c *design.Circuit) int64 {
	nano := c.Protection.Fuse.UnitNano + c.Protection.Holder.UnitNano
	feed, feedLength := (*catalog.Conductor)(nil), 0.0
	for _, r := range c.Runs {
		for _, e := range r.Ends {
			nano += e.Plan.Nano
		}
		if r.Polarity == design.Feed {
			feed, feedLength = r.Conductor, feedLength+float64(r.Length)
		} else {
			nano += r.Conductor.LengthNano(int64(math.Ceil(float64(r.Length)*1000 - 1e-6)))
		}
	}
	nano += feed.LengthNano(int64(math.Ceil(feedLength*1000 - 1e-6)))
	for _, w := range c.Work {
		switch w.Operation.Task {
		case catalog.TaskPull, catalog.TaskBladeHolder, catalog.TaskBoltHolder:
			nano += cat.Shop.LabourNano(w.MilliMinutes)
		}
	}
	for _, m := range c.Sundries {
		if m.Sundry.Use != catalog.UseLabel { // the same for every choice
			nano += m.Sundry.LengthNano(m.Milli)
		}
	}
	return nano
}

// anyone picks one of several.
func anyone[T any](random *rand.Rand, some ...T) T { return some[random.IntN(len(some))] }

// between picks a number, small ones as likely by factor as large ones.
func between(random *rand.Rand, low, high float64) float64 {
	return math.Round(low*math.Pow(high/low, random.Float64())*100) / 100
}

// anyVehicle makes up a vehicle of three or four zones with a detour.
func anyVehicle(random *rand.Rand) *catalog.Vehicle {
	v := &catalog.Vehicle{
		ID: "any", Category: anyone(random, electrical.Categories()...), Nominal: anyone[quantity.Volts](random, 12, 12, 12, 24, 48),
		Body: anyone(random, catalog.Steel, catalog.Steel, catalog.Aluminium, catalog.NoBody), Fuel: anyone(random, catalog.Fuels()...), Sensor: random.IntN(3) == 0,
	}
	b := catalog.Battery{ID: "b", Chemistry: anyone(random, electrical.Chemistries()...), Capacity: quantity.AmpHours(between(random, 9, 600)), Zone: "z0", Stud: anyone[catalog.Stud](random, "M6", "M8", "5/16", "M8", "M10")}
	switch random.IntN(5) {
	case 0:
		b.Internal = quantity.Ohms(between(random, 0.5, 20)) * 1e-3
	case 1:
		b.ShortCircuit = quantity.Amps(between(random, 500, 8000))
	case 2, 3:
		b.ColdCranking = quantity.Amps(between(random, 120, 1400))
	}
	v.Batteries = []catalog.Battery{b}
	if random.IntN(4) == 0 {
		v.Charging.RunningV = v.Nominal * quantity.Volts(1.1+0.1*random.Float64())
	}
	zones := 3 + random.IntN(2)
	for i := range zones {
		z := catalog.Zone{ID: fmt.Sprintf("z%d", i), Environment: anyone(random, electrical.Environments()...), ChassisGround: random.IntN(3) > 0, GroundStud: anyone[catalog.Stud](random, "M6", "M8"),
			Vapour: random.IntN(6) == 0, Reach: quantity.Metres(between(random, 0.1, 1.5)), HasReach: true, Removable: random.IntN(5) == 0}
		if random.IntN(4) == 0 {
			z.HasAmbient, z.Ambient = true, quantity.Celsius(random.IntN(75)+10)
		}
		v.Zones = append(v.Zones, z)
	}
	route := func(from, to int) {
		// Not rounded, so that no two ways are equally long.
		length := quantity.Metres(0.15 * math.Pow(30, random.Float64()))
		v.Routes = append(v.Routes, catalog.Route{From: v.Zones[from].ID, To: v.Zones[to].ID, Length: length,
			Environment: anyone(random, electrical.Environments()...), BundledWith: max(0, random.IntN(9)-4)})
	}
	for i := 1; i < zones; i++ {
		route(i-1, i)
	}
	route(zones-1, 0)
	v.SetDefaults()
	return v
}

// anyDevice makes up a device with its landings stated.
func anyDevice(random *rand.Rand, v *catalog.Vehicle) design.Device {
	d := design.Device{ID: "d", Kind: anyone(random, electrical.DeviceKinds()...), Zone: v.Zones[random.IntN(len(v.Zones))].ID}
	amps := between(random, 0.3, 220)
	switch watts := quantity.Watts(amps) * quantity.Watts(v.Nominal); {
	case d.Kind == electrical.Amplifier && random.IntN(4) > 0:
		a := electrical.Audio{Class: anyone(random, append(electrical.AmplifierClasses(), electrical.ClassUnknown)...), Regulated: random.IntN(4) == 0}
		if random.IntN(4) > 0 {
			a.RMS = watts / 2
		}
		if a.RMS == 0 || random.IntN(2) == 0 {
			a.OnboardFuse = quantity.Amps(max(1, math.Round(amps*(0.6+random.Float64()))))
		}
		d.Load.Audio = a
	case d.Kind == electrical.Inverter || d.Kind == electrical.Charger:
		d.Load.Output = watts
	case random.IntN(2) == 0:
		d.Load.Input = watts
	default:
		d.Load.Current = quantity.Amps(amps)
	}
	if random.IntN(8) == 0 {
		d.Load.Behaviour = anyone(random, electrical.Behaviours()...)
	}
	landing := anyone(random, catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}, catalog.Landing{Kind: catalog.OnStud, Stud: "M6"},
		catalog.Landing{Kind: catalog.OnSetScrew}, catalog.Landing{Kind: catalog.OnFlyingLead}, catalog.Landing{Kind: catalog.OnBlade})
	if amps > 40 && landing.Kind == catalog.OnBlade {
		landing = catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}
	}
	d.Maker.Positive, d.Maker.Negative = landing, landing
	demand(random, v, &d, amps)
	return d
}

// demand adds what a maker or an installer may ask besides the load.
func demand(random *rand.Rand, v *catalog.Vehicle, d *design.Device, amps float64) {
	once := func(in int) bool { return random.IntN(in) == 0 }
	d.Maker.ReturnToBattery = once(4)
	if once(5) {
		d.HasMeasured, d.Measured = true, quantity.Metres(between(random, 0.3, 12))
	}
	if once(6) {
		d.HasMaxDrop, d.MaxDrop = true, quantity.Percent(between(random, 1, 10))
	}
	if once(6) {
		d.DropClass = anyone(random, electrical.DropClasses()...)
	}
	if once(6) {
		d.MinVolts = v.Nominal * quantity.Volts(0.8+0.25*random.Float64())
	}
	if once(6) {
		used := once(2)
		d.UsedEngineOff = &used
	}
	if once(5) {
		d.Surge = electrical.Surge{Current: quantity.Amps(amps * (1 + 3*random.Float64())), Duration: time.Duration(between(random, 0.05, 20) * float64(time.Second))}
	}
	if once(5) {
		d.Duty = electrical.Duty{Kind: electrical.Intermittent, On: time.Duration(between(random, 1, 90) * float64(time.Second)), Off: time.Duration(random.IntN(300)) * time.Second}
	}
	if once(7) {
		d.Maker.Fuse = anyone[quantity.Amps](random, 5, 7.5, 10, 15, 20, 30, 40, 60, 80, 100, 125, 150, 200, 17)
	}
	if once(8) {
		d.Maker.ConductorMin = anyone(random, quantity.AWG(12), quantity.AWG(8), quantity.AWG(4))
	}
	if once(8) {
		d.Maker.TerminalMax = anyone(random, quantity.AWG(4), quantity.AWG(2), quantity.AWG(0))
	}
}

// TestLeastCost holds the designer to the cheapest of all combinations on random
// circuits with random shelves: it finds one exactly where there is one, and at
// the same cost to the billionth.
func TestLeastCost(t *testing.T) {
	const shops, circuits = 25, 40
	feasible, impossible := 0, 0
	for shop := range uint64(shops) {
		random := rand.New(rand.NewPCG(shop, 20260101))
		cat := thinnedShop(t, random)
		designer, planner := design.New(cat), termination.NewPlanner(cat)
		for n := range circuits {
			v := anyVehicle(random)
			d := anyDevice(random, v)
			name := fmt.Sprintf("shop %d circuit %d", shop, n)
			got, err := designer.Design(v, oneDevice(d))
			if bad, ok := violations(err); ok {
				require.Fail(t, "the made-up job is malformed", "%s: %v", name, bad)
			}
			want, ok := leastOf(newFeeding(cat, planner, v, &d))
			if !ok { // what cannot return over the body is tried with a cable
				cabled := d
				cabled.Maker.ReturnToBattery = true
				want, ok = leastOf(newFeeding(cat, planner, v, &cabled))
			}
			if !ok {
				impossible++
				require.Error(t, err, "%s: the designer found what brute force did not\n%+v\n%+v", name, v, d)
				continue
			}
			feasible++
			require.NoError(t, err, "%s: brute force found what the designer did not\n%+v\n%+v", name, v, d)
			require.Equal(t, want, costOf(cat, &got.Circuits[0]), "%s\n%+v\n%+v\n%+v", name, v, d, got.Circuits[0].Runs)
		}
	}
	assert.Greater(t, feasible, 300, "enough circuits that can be had")
	assert.Greater(t, impossible, 100, "enough circuits that cannot")
}

// leastOf is the least cost; where the maker's own fuse cannot be had, that of the
// nearest one below it.
func leastOf(f *feeding) (int64, bool) {
	if f.design > float64(electrical.MaxCurrent) {
		return 0, false
	}
	nano, ok := f.cheapest()
	if ok || f.makerFuse == 0 {
		return nano, ok
	}
	f.makerFuse, f.ceiling = 0, f.makerFuse
	return f.cheapest()
}
