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

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// anySystem makes up a job of one to six devices in a vehicle, sold or described,
// each fed singly.
func anySystem(random *rand.Rand, cat *catalog.Catalog, v *catalog.Vehicle) design.System {
	s := design.System{Layout: design.SingleFeeds}
	for i := range 1 + random.IntN(6) {
		d := design.Device{ID: fmt.Sprintf("d%d", i), Zone: v.Zones[random.IntN(len(v.Zones))].ID}
		e := &cat.Equipment[random.IntN(len(cat.Equipment))]
		// What states volts of another system is refused, and rightly.
		if volts := e.MinVolts; random.IntN(2) == 0 && (volts == 0 || volts > v.Nominal/2 && volts <= v.Nominal) {
			d.EquipmentSKU = e.SKU
		} else {
			d.Kind = anyone(random, electrical.DeviceKinds()...)
			d.Load.Current = quantity.Amps(between(random, 0.5, 90))
		}
		if random.IntN(6) == 0 {
			d.Duty = electrical.Duty{Kind: electrical.Intermittent, On: 20 * time.Second, Off: 2 * time.Minute}
		}
		d.Maker.ReturnToBattery = random.IntN(5) == 0
		s.Devices = append(s.Devices, d)
	}
	return s
}

// forAnySystem calls check with designs of random jobs on the demo vehicles.
func forAnySystem(t *testing.T, check func(name string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design)) {
	t.Helper()
	cat := demoShop(t)
	designer := design.New(cat)
	random := rand.New(rand.NewPCG(11, 12))
	made := 0
	for n := range 160 {
		v := &cat.Vehicles[random.IntN(len(cat.Vehicles))]
		s := anySystem(random, cat, v)
		got, err := designer.Design(v, s)
		if _, ok := unmet(err); ok {
			continue
		}
		require.NoError(t, err, "%s %+v", v.ID, s)
		made++
		check(fmt.Sprintf("job %d, %s", n, v.ID), cat, v, s, got)
	}
	assert.Greater(t, made, 60)
}

// deviceOf gives the device of a circuit with what its equipment states filled in.
func deviceOf(cat *catalog.Catalog, s design.System, id string) design.Device {
	for _, d := range s.Devices {
		if d.ID != id {
			continue
		}
		if e, ok := cat.Device(d.EquipmentSKU); ok {
			d.Kind, d.Maker.Fuse, d.MinVolts, d.Load = e.Device, e.MakerFuse, e.MinVolts, e.Load
		}
		return d
	}
	return design.Device{}
}

func dutyOf(d *design.Device, c electrical.Category) electrical.Duty {
	if d.Duty.Kind != "" {
		return d.Duty
	}
	return electrical.HabitsOf(d.Kind, c).Duty
}

// TestEveryFuseCarriesAndProtects: 80 % of the rating at the most unless the maker
// or a short-time duty decides, and no more than the derated ampacity of every run
// unless a short-time motor's bound allows it.
func TestEveryFuseCarriesAndProtects(t *testing.T) {
	shortTimes, makers := 0, 0
	forAnySystem(t, func(name string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		for i := range got.Circuits {
			c := &got.Circuits[i]
			d := deviceOf(cat, s, c.ID)
			fuse := c.Protection.Fuse
			duty := dutyOf(&d, v.Category)
			short := duty.Kind == electrical.Intermittent && duty.On <= time.Minute && duty.Off > 0
			where := fmt.Sprintf("%s %s", name, c.ID)
			switch conflict := conflictOf(got, c.ID); {
			case d.Maker.Fuse > 0 && conflict == "":
				makers++
				assert.Equal(t, d.Maker.Fuse, fuse.Rating, where)
				assert.LessOrEqual(t, c.Load, fuse.Rating, where)
			case conflict == "maker_fuse_below_load":
				assert.Less(t, fuse.Rating, c.Load, where)
			case short:
				shortTimes++
				assert.GreaterOrEqual(t, fuse.Rating, c.Peak, where)
				assert.GreaterOrEqual(t, fuse.Curve.Opening(fuse.Rating, c.Peak).Min, 2*duty.On.Seconds(), where)
			default:
				assert.LessOrEqual(t, float64(c.Load), 0.8*float64(fuse.Rating)+1e-9, where)
			}
			bound := 1.0
			if short {
				bound = 2.5
				if v.Category == electrical.Boat {
					bound = 1.5
				}
			}
			for _, r := range c.Runs {
				assert.LessOrEqual(t, float64(fuse.Rating), bound*float64(r.Ampacity)+1e-9, where)
				assert.LessOrEqual(t, float64(c.Load), float64(r.Ampacity)+1e-9, where)
			}
			assert.GreaterOrEqual(t, fuse.Voltage, v.Nominal*1.25, where)
		}
	})
	assert.Positive(t, shortTimes)
	assert.Positive(t, makers)
}

func conflictOf(d *design.Design, device string) string {
	for _, c := range d.Conflicts {
		if c.DeviceID == device {
			return c.Code
		}
	}
	return ""
}

// TestEveryEndIsMadeToFit: terminals take the conductor and the stud, sleeves pass
// and grip, on every end of every job.
func TestEveryEndIsMadeToFit(t *testing.T) {
	forAnySystem(t, func(name string, _ *catalog.Catalog, v *catalog.Vehicle, _ design.System, got *design.Design) {
		for _, c := range got.Circuits {
			assert.True(t, goesOver(c.Protection.Holder, v.Batteries[0].Stud), "%s %s: %s", name, c.ID, c.Protection.Holder.SKU)
			for _, r := range c.Runs {
				for _, e := range r.Ends {
					where := fmt.Sprintf("%s %s on %s", name, r.ID, e.Landing.Kind)
					assert.True(t, e.Landing.Admits(r.Conductor.Size), where)
					largest, smallest := r.Conductor.OuterDiameter, r.Conductor.OuterDiameter
					if term := e.Plan.Terminal; term != nil {
						assert.True(t, term.Takes.Includes(r.Conductor.Size), where)
						assert.LessOrEqual(t, r.Conductor.BundleDiameter, term.BarrelInner, where)
						if e.Landing.Stud != "" {
							stud, _ := e.Landing.Stud.Diameter()
							assert.Equal(t, catalog.Ring, term.Form, where)
							assert.Greater(t, term.Hole, stud, where)
						}
						largest, smallest = max(largest, term.BarrelOuter), min(smallest, term.BarrelOuter)
					}
					if sleeve := e.Plan.Sleeve; sleeve != nil {
						assert.GreaterOrEqual(t, float64(sleeve.Supplied), 1.1*float64(largest), where)
						assert.LessOrEqual(t, float64(sleeve.Recovered), 0.9*float64(smallest), where)
					} else {
						assert.Equal(t, catalog.Ferrule, e.Plan.Terminal.Form, where)
					}
				}
			}
		}
	})
}

// TestDropFiguresAddUp works the drop out again from the runs, ends and fuse of the
// reply, with what the other body returns put through the body.
func TestDropFiguresAddUp(t *testing.T) {
	overBody := 0
	forAnySystem(t, func(name string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		body := 0.0
		for i := range got.Circuits {
			if r := got.Circuits[i].Runs; r[len(r)-1].To.Kind == design.AtChassis {
				body += float64(r[0].Current)
			}
		}
		assert.LessOrEqual(t, body, 150.0+1e-9, name)
		for i := range got.Circuits {
			c := &got.Circuits[i]
			where := fmt.Sprintf("%s %s", name, c.ID)
			i, conductors, joints := float64(c.Runs[0].Current), 0.0, 0.0
			for _, r := range c.Runs {
				assert.InDelta(t, i, float64(r.Current), 1e-9, where)
				ohm := float64(r.Conductor.ResistancePerMetre(r.Temperature)) * float64(r.Length)
				assert.InEpsilon(t, ohm, float64(r.Resistance), 1e-9, where)
				assert.InEpsilon(t, i*ohm, float64(r.Drop), 1e-9, where)
				conductors += ohm
				joints += float64(r.Ends[0].Plan.Resistance + r.Ends[1].Plan.Resistance)
			}
			if c.Protection.Holder.OnPost() {
				joints += 0.1e-3 // the holder's own clamp
			}
			fuse := c.Protection.Fuse
			figures, _ := electrical.FamilyOf(fuse.Family)
			share := max(i, float64(c.Load)) / float64(fuse.Rating)
			joints += figures.ColdMillivolts/float64(fuse.Rating)*1e-3*(1+0.4*share*share) + float64(figures.Contacts)
			drop := i * (conductors + joints)
			if c.Runs[len(c.Runs)-1].To.Kind == design.AtChassis {
				overBody++
				ohm := 1e-3
				if v.Category == electrical.Truck {
					ohm = 2e-3
				}
				drop += body * ohm
			}
			assert.InEpsilon(t, i*conductors, float64(c.Running.ConductorDrop), 1e-9, where)
			assert.InEpsilon(t, drop, float64(c.Running.Drop), 1e-9, where)
			checkVolts(t, where, v, &c.Running)
			if c.EngineOff != nil {
				checkVolts(t, where, v, c.EngineOff)
				if d := deviceOf(cat, s, c.ID); d.MinVolts > 0 {
					assert.GreaterOrEqual(t, float64(c.EngineOff.Device), float64(d.MinVolts)-1e-6, where)
				}
			}
		}
	})
	assert.Positive(t, overBody)
}

func checkVolts(t *testing.T, where string, v *catalog.Vehicle, check *design.VoltageCheck) {
	t.Helper()
	assert.True(t, check.Pass, where)
	assert.InDelta(t, float64(check.Source-check.Drop), float64(check.Device), 1e-9, where)
	assert.InDelta(t, float64(check.Drop/v.Nominal)*100, float64(check.DropPercent), 1e-9, where)
	assert.LessOrEqual(t, float64(check.DropPercent), float64(check.LimitPercent)+1e-6, where)
}

// TestReturns: feed and return are of one size and make; the body returns only on
// steel road vehicles, from a zone with bare metal, over half a metre of tail; on
// a battery with a sensor the return lands on the chassis side of it.
func TestReturns(t *testing.T) {
	forAnySystem(t, func(name string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		for i := range got.Circuits {
			c := &got.Circuits[i]
			where := fmt.Sprintf("%s %s", name, c.ID)
			feed, back := c.Runs[len(c.Runs)-2], c.Runs[len(c.Runs)-1]
			assert.Equal(t, feed.Conductor.Size, back.Conductor.Size, where)
			assert.Equal(t, feed.Conductor.Conductor, back.Conductor.Conductor, where)
			d := deviceOf(cat, s, c.ID)
			zone := v.Zones[slices.IndexFunc(v.Zones, func(z catalog.Zone) bool { return z.ID == d.Zone })]
			switch back.To.Kind {
			case design.AtChassis:
				assert.Contains(t, []electrical.Category{electrical.Car, electrical.Van, electrical.Truck}, v.Category, where)
				assert.Equal(t, catalog.Steel, v.Body, where)
				assert.True(t, zone.ChassisGround, where)
				assert.False(t, d.Maker.ReturnToBattery, where)
				assert.InDelta(t, 0.5, float64(back.Length), 1e-9, where)
			case design.AtSensor:
				assert.True(t, v.Sensor, where)
				assert.InDelta(t, feedOf(c), float64(back.Length), 1e-9, where)
			default:
				assert.Equal(t, design.AtBatteryNegative, back.To.Kind, where)
				assert.False(t, v.Sensor, where)
				assert.InDelta(t, feedOf(c), float64(back.Length), 1e-9, where)
			}
		}
	})
}

// TestOrderOfDevicesChangesNothing but the order of the circuits.
func TestOrderOfDevicesChangesNothing(t *testing.T) {
	random := rand.New(rand.NewPCG(5, 5))
	designer := design.New(demoShop(t))
	forAnySystem(t, func(name string, _ *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		devices := slices.Clone(s.Devices)
		random.Shuffle(len(devices), func(i, k int) { devices[i], devices[k] = devices[k], devices[i] })
		other, err := designer.Design(v, design.System{Devices: devices, Layout: s.Layout})
		require.NoError(t, err, name)
		require.Len(t, other.Circuits, len(got.Circuits), name)
		for i := range other.Circuits {
			c := &other.Circuits[i]
			k := slices.IndexFunc(got.Circuits, func(o design.Circuit) bool { return o.ID == c.ID })
			require.GreaterOrEqual(t, k, 0, name)
			o := &got.Circuits[k]
			assert.Equal(t, o.Protection.Fuse.SKU, c.Protection.Fuse.SKU, name)
			assert.Equal(t, o.Protection.Holder.SKU, c.Protection.Holder.SKU, name)
			// Sums in another order may differ in the last digit.
			assert.InEpsilon(t, float64(o.Running.Drop), float64(c.Running.Drop), 1e-12, name)
			for r := range c.Runs {
				assert.Equal(t, o.Runs[r].Conductor.SKU, c.Runs[r].Conductor.SKU, name)
				assert.Equal(t, o.Runs[r].Ends, c.Runs[r].Ends, name)
			}
		}
		assert.ElementsMatch(t, got.Conflicts, other.Conflicts, name)
		assert.Equal(t, codesOf(got.Notes), codesOf(other.Notes), name)
		assert.Equal(t, got.Work, other.Work, name)
	})
}

func codesOf(notes []design.Note) []string {
	var codes []string
	for _, n := range notes {
		codes = append(codes, n.Code)
	}
	return codes
}

// TestSameJobSameDesign: a designer of its own, on a catalog read again, gives the
// same answer.
func TestSameJobSameDesign(t *testing.T) {
	other := design.New(demoShop(t))
	forAnySystem(t, func(name string, _ *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		again, err := other.Design(v, s)
		require.NoError(t, err, name)
		require.Equal(t, got, again, name)
	})
}

// TestShortAtTheFarEndIsCleared, by the figures that are written down.
func TestShortAtTheFarEndIsCleared(t *testing.T) {
	forAnySystem(t, func(name string, _ *catalog.Catalog, v *catalog.Vehicle, _ design.System, got *design.Design) {
		for i := range got.Circuits {
			clearedAsWritten(t, name+" "+got.Circuits[i].ID, v, &got.Circuits[i])
		}
	})
}

// clearedAsWritten works a dead short at the far end of a feed of its own out from its
// runs, ends and fuse.
func clearedAsWritten(t *testing.T, where string, v *catalog.Vehicle, c *design.Circuit) {
	t.Helper()
	at := &feeding{vehicle: v, battery: &v.Batteries[0]}
	at.rest = 12.6 * float64(v.Nominal) / 12
	if at.battery.Chemistry == electrical.Lithium {
		at.rest = 12.8 * float64(v.Nominal) / 12
	}
	ohm, soldered := jointOhms(c, design.Feed)+jointOhms(c, design.Return)+bodyOhms(c, v.Category), false
	w := &cabled{conductor: c.Runs[0].Conductor.Conductor}
	for _, r := range c.Runs {
		ohm += float64(r.Resistance)
		for k := range r.Ends {
			soldered = soldered || isSoldered(&r.Ends[k].Plan)
		}
		// The ambient, from the temperature under load: T = Ta + (Tins − Ta)·(I/Iz)².
		side, share := &w.sides[0], math.Pow(float64(c.Load/r.Ampacity), 2)
		if r.Polarity == design.Return {
			side = &w.sides[1]
		}
		side.iz, side.ambient = float64(r.Ampacity), (float64(r.Temperature)-float64(r.Conductor.Rating)*share)/(1-share)
	}
	assert.True(t, at.clears(w, c.Protection.Fuse, ohm, soldered), where)
	_, high := at.bank().Resistance()
	assert.InEpsilon(t, at.rest/(float64(high)+ohm), float64(c.Short.Fault), 1e-6, where)
	assert.True(t, c.Short.Cleared, where)
}

// TestShortTimeMotors: the fuse of a winch may lie above the cable's ampacity on
// the road, and a fault at the far end is then cleared before the cable is harmed.
func TestShortTimeMotors(t *testing.T) {
	cat := demoShop(t)
	designer := design.New(cat)
	v := demoVehicle(t, cat, "side-by-side")
	above := 0
	for amps := quantity.Amps(40); amps <= 240; amps += 10 {
		got, err := designer.Design(v, oneDevice(design.Device{ID: "winch", Kind: electrical.Winch, Zone: "seat_base", Load: electrical.Load{Current: amps},
			Duty: electrical.Duty{Kind: electrical.Intermittent, On: 5 * time.Second, Off: 75 * time.Second}}))
		if _, ok := unmet(err); ok {
			continue
		}
		require.NoError(t, err)
		c := &got.Circuits[0]
		fuse := c.Protection.Fuse
		feed := c.Runs[len(c.Runs)-2]
		// On 5 s of 80 s: the heating current is a quarter of the pull.
		assert.InDelta(t, float64(amps)/4, float64(c.Load), 1e-9)
		if fuse.Rating <= feed.Ampacity {
			continue
		}
		above++
		clearedAsWritten(t, fmt.Sprintf("%v A", float64(amps)), v, c)
	}
	assert.Positive(t, above, "some winch has its fuse above the ampacity")
}
