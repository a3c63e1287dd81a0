package design_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// heaters gives a system of heaters in the rear of a van, of so many amperes each.
func heaters(amps ...quantity.Amps) design.System {
	var s design.System
	for i, a := range amps {
		d := draws(electrical.Heater, a)
		d.ID, d.DropClass = fmt.Sprintf("d%d", i), electrical.General
		s.Devices = append(s.Devices, d)
	}
	s.Layout = design.SingleFeeds
	return s
}

// hungryVan is a van so long that return cables cost more than straps.
func hungryVan() *catalog.Vehicle {
	v := van()
	v.Charging.Kind = catalog.Alternator
	v.Routes[1].Length = 9
	return v
}

// TestStrapsAboveTheBodysLimit: where return cables would cost more, all returns go
// over the body, and it gets a strap from the battery and one from the engine, each
// loaded to 80 % of what it carries at most.
func TestStrapsAboveTheBodysLimit(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	for _, tt := range []struct {
		name   string
		change func(*catalog.Vehicle)
		from   []design.Point
	}{
		{"engine with alternator", func(*catalog.Vehicle) {}, []design.Point{{Kind: design.AtBatteryNegative, ID: "main"}, {Kind: design.AtEngine, ID: "engine"}}},
		{"battery sensor", func(v *catalog.Vehicle) { v.Sensor = true }, []design.Point{{Kind: design.AtSensor, ID: "main"}, {Kind: design.AtEngine, ID: "engine"}}},
		{"no alternator", func(v *catalog.Vehicle) { v.Charging.Kind = catalog.NoCharging }, []design.Point{{Kind: design.AtBatteryNegative, ID: "main"}}},
	} {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			v := hungryVan()
			tt.change(v)
			got := made(t, cat, v, heaters(70, 60, 50))
			require.NotNil(t, got.Straps)
			for i := range got.Circuits {
				runs := got.Circuits[i].Runs
				assert.Equal(t, design.AtChassis, runs[len(runs)-1].To.Kind)
			}
			var from []design.Point
			for _, r := range got.Straps.Runs {
				from = append(from, r.From)
				assert.Equal(t, design.Point{Kind: design.AtChassis, ID: "engine"}, r.To)
				assert.InDelta(t, 180, float64(r.Current), 1e-9)
				assert.GreaterOrEqual(t, float64(r.Ampacity), 180/0.8)
				assert.InDelta(t, 0.6, float64(r.Length), 1e-9)
				assert.Equal(t, catalog.OnChassis, r.Ends[1].Landing.Kind)
			}
			assert.Equal(t, tt.from, from)
			assert.Len(t, got.Straps.Work, len(from))
			assert.False(t, slices.ContainsFunc(got.Advice, func(a design.Advice) bool { return a.Code == "body_straps" }), "said by the straps themselves")
			last := got.Alternatives[len(got.Alternatives)-1]
			assert.Nil(t, last.Design.Straps)
			assert.Equal(t, "layout.returns_instead", last.Differences[len(last.Differences)-1].Rule)
		})
	}
}

// TestStrapsOfEveryBattery: each battery whose circuits return over the body gets a
// strap for its share.
func TestStrapsOfEveryBattery(t *testing.T) {
	t.Parallel()
	v, s := hungryVan(), heaters(70, 60, 50)
	v.Routes[1].Length = 13
	v.Batteries = append(v.Batteries, catalog.Battery{ID: "house", Chemistry: electrical.AGM, Capacity: 200, Zone: "engine", Stud: "M8", Count: 1, Role: catalog.House})
	s.Devices[2].FedFrom = "house"
	got := made(t, demoShop(t), v, s)
	require.NotNil(t, got.Straps)
	share := map[string]quantity.Amps{}
	for _, r := range got.Straps.Runs {
		share[r.From.ID] = r.Current
	}
	assert.Equal(t, map[string]quantity.Amps{"main": 130, "house": 50, "engine": 180}, share)
}

// TestNoStrapsWithinTheLimit, on a body that is no return, or in a shop without a
// time for them.
func TestNoStrapsWithinTheLimit(t *testing.T) {
	t.Parallel()
	cat := demoShop(t)
	assert.Nil(t, made(t, cat, hungryVan(), heaters(70, 60, 20)).Straps, "150 A are within the limit")
	aluminium := hungryVan()
	aluminium.Body = catalog.Aluminium
	assert.Nil(t, made(t, cat, aluminium, heaters(70, 60, 50)).Straps)
	assert.Nil(t, made(t, readShop(t, demoFolder(t)), hungryVan(), heaters(70, 60, 50)).Straps)
}

// TestStrapsOrReturnsWhicheverIsLess holds the designer to two designs without
// straps: one within the body's limit, and one on a body that takes all, with straps
// worked out here. It takes the cheaper, but an uncrowded post before a crowded one.
func TestStrapsOrReturnsWhicheverIsLess(t *testing.T) {
	straps, returns := 0, 0
	for shop := range uint64(40) {
		random := rand.New(rand.NewPCG(shop, 150150))
		folder := leanFolder(t, random)
		without, unbounded := readShop(t, folder), readShop(t, folder)
		unbounded.Shop.Defaults.ChassisMax = 1e6
		folder[labourFile].Data = append(folder[labourFile].Data, []byte(strapOperation+",ground_strap,Strap,10,each,,,,yes,no\n")...)
		with := readShop(t, folder)
		v := hungryVan()
		v.Routes[1].Length = quantity.Metres(between(random, 2, 14))
		s := heaters(quantity.Amps(between(random, 40, 90)), quantity.Amps(between(random, 40, 90)), quantity.Amps(between(random, 40, 90)))
		within, err := design.New(without).Design(v, s)
		over, fails := design.New(unbounded).Design(v, s)
		got, gotErr := design.New(with).Design(v, s)
		sum := s.Devices[0].Load.Current + s.Devices[1].Load.Current + s.Devices[2].Load.Current
		strapped, can := int64(0), fails == nil && allOverBody(over)
		if can {
			strapped, can = strapCost(with, v, float64(sum))
			strapped += priceOf(unbounded, over)
		}
		name := fmt.Sprintf("shop %d, %.0f A over %.1f m", shop, float64(sum), float64(v.Routes[1].Length))
		switch {
		case err != nil && !can:
			require.Error(t, gotErr, name)
		case sum <= 150 || !can:
			require.NoError(t, gotErr, name)
			assert.Nil(t, got.Straps, name)
		case err != nil || within.Crowded == over.Crowded && strapped < priceOf(without, within) || within.Crowded && !over.Crowded:
			straps++
			require.NoError(t, gotErr, name)
			require.NotNil(t, got.Straps, name)
			assert.Equal(t, strapped, priceOf(with, got)+priceOfStraps(with, got.Straps), name)
		default:
			returns++
			require.NoError(t, gotErr, name)
			assert.Nil(t, got.Straps, name)
			assert.Equal(t, priceOf(without, within), priceOf(with, got), name)
		}
	}
	assert.Greater(t, straps, 5)
	assert.Greater(t, returns, 5)
}

func allOverBody(d *design.Design) bool {
	return !slices.ContainsFunc(d.Circuits, func(c design.Circuit) bool { return c.Runs[len(c.Runs)-1].To.Kind != design.AtChassis })
}

// strapCost is the least cost of a strap from the van's battery and one from its
// engine, both in its engine bay; false where none can be made.
func strapCost(cat *catalog.Catalog, v *catalog.Vehicle, amps float64) (int64, bool) {
	planner := termination.NewPlanner(cat)
	body := catalog.Landing{Kind: catalog.OnChassis, Stud: "M8"}
	sum := int64(0)
	for _, from := range []termination.Joint{{Landing: catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}, Battery: true}, {Landing: body}} {
		least, found := int64(0), false
		for i := range cat.Conductors {
			c := &cat.Conductors[i]
			if c.Colour != "black" || c.Material != electrical.Copper || !c.Size.IsAWG() || c.Rating < 105 || catalog.Thinner(c.Size, quantity.AWG(16)) {
				continue
			}
			iz, err := electrical.Ampacity(c.Conductor, cat.Shop.Defaults.SurroundingsOf(electrical.EngineSpace, 0))
			if err != nil || float64(iz) < amps/0.8 {
				continue
			}
			nano := c.LengthNano(600) + labourNano(10*zoneFactor[electrical.EngineSpace])
			made := true
			for _, j := range []termination.Joint{from, {Landing: body}} {
				j.Conductor, j.Category, j.Environment = c, v.Category, electrical.EngineSpace
				plan, err := planner.Plan(j)
				made = made && err == nil
				nano += plan.Nano
			}
			if made && (!found || nano < least) {
				least, found = nano, true
			}
		}
		if !found {
			return 0, false
		}
		sum += least
	}
	return sum, true
}

func priceOfStraps(cat *catalog.Catalog, c *design.Circuit) int64 {
	nano := int64(0)
	for _, r := range c.Runs {
		nano += r.Conductor.LengthNano(millimetres(float64(r.Length))) + r.Ends[0].Plan.Nano + r.Ends[1].Plan.Nano
	}
	for _, w := range c.Work {
		nano += cat.Shop.LabourNano(w.MilliMinutes)
	}
	return nano
}
