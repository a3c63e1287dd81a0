package demo_test

import (
	"slices"
	"strings"
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// read gives the demo catalog; every test needs it whole.
func read(t *testing.T) *catalog.Catalog {
	t.Helper()
	c, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	return c
}

func TestReadsWithoutFaultOrAdvice(t *testing.T) {
	c := read(t)
	assert.Empty(t, c.Advice)
	assert.Equal(t, "USD", c.Shop.Currency)
	assert.Regexp(t, `^555-01\d\d$`, c.Shop.Phone, "a number reserved for fiction")
}

func TestPrices(t *testing.T) {
	// A price level of the trade (common practice, no source): copper per foot,
	// tinned 1.3 and clad 0.45 of it, and one piece of each sort.
	c := read(t)
	for sku, want := range map[string]string{
		"CB-18-CU-RD": "0.35", "CB-08-CU-RD": "1.90", "CB-08-TC-RD": "2.47", "CB-02-CU-BK": "6.50", "CB-1-0-CU-RD": "9.50",
		"CB-08-CA-RD": "0.86", "CB-4-0-CU-BK": "18.00", "RT-1614-M6": "0.80", "LG-08-M8": "2.50", "LG-02-M8": "4.50",
		"LG-2-0-M10": "7.00", "FU-BLD-15": "1.20", "FU-MAX-60": "4.00", "FU-BSM-100": "6.00", "FU-BLG-150": "9.00",
		"FU-ANL-150": "9.00", "FU-TMT-100": "16.00", "FU-CLT-200": "38.00", "HD-BLD-20S": "9.00", "HD-BSM-M5": "18.00",
		"HD-CLT-516": "45.00", "BK-BLD-06": "45.00", "BK-PLN-0408": "32.00",
	} {
		p, ok := c.Part(sku)
		require.True(t, ok, sku)
		assert.Equal(t, want, p.Price.Number(), sku)
		assert.True(t, p.HasCost, sku)
	}
}

func TestMetricCableCostsBetweenItsNeighbouringGauges(t *testing.T) {
	c := read(t)
	price := func(sku string) int64 {
		p, ok := c.Part(sku)
		require.True(t, ok, sku)
		return p.UnitNano
	}
	for metric, gauges := range map[string][2]string{
		"CB-2.5MM-CU-RD": {"CB-14-CU-RD", "CB-12-CU-RD"}, "CB-10MM-CU-RD": {"CB-08-CU-RD", "CB-06-CU-RD"},
		"CB-35MM-TC-YE": {"CB-02-TC-YE", "CB-01-TC-YE"}, "CB-95MM-CU-BK": {"CB-3-0-CU-BK", "CB-4-0-CU-BK"},
	} {
		assert.Greater(t, price(metric), price(gauges[0]), metric)
		assert.Less(t, price(metric), price(gauges[1]), metric)
	}
}

func TestShopRules(t *testing.T) {
	s := read(t).Shop
	assert.Equal(t, amount(t, "110.00"), s.LabourRate)
	assert.Equal(t, amount(t, "35.00"), s.SuppliesCap)
	assert.Equal(t, []catalog.Tax{{Label: "Sales tax", RatePercent: "8.25", On: []catalog.Section{catalog.Parts, catalog.Supplies}}}, s.Taxes)
	assert.Equal(t, electrical.Standard(), s.Defaults, "the demo shop overrides no figure")
	assert.Equal(t, []electrical.Material{electrical.TinnedCopper}, s.Habits[electrical.Boat].Materials)
	for category, h := range s.Habits {
		assert.NotContains(t, h.Materials, electrical.CopperClad, category)
	}
}

func amount(t *testing.T, text string) currency.Amount {
	t.Helper()
	a, err := currency.NewAmount(text, "USD")
	require.NoError(t, err)
	return a
}

func TestVehiclesOfEveryCategory(t *testing.T) {
	c := read(t)
	for _, id := range []string{"camper-van", "touring-motorcycle", "open-boat", "side-by-side", "service-truck-24v", "sedan"} {
		_, ok := c.Vehicle(id)
		assert.True(t, ok, id)
	}
	for _, category := range electrical.Categories() {
		assert.True(t, slices.ContainsFunc(c.Vehicles, func(v catalog.Vehicle) bool { return v.Category == category }), category)
	}
}

func TestVehiclesHangTogether(t *testing.T) {
	c := read(t)
	for _, v := range c.Vehicles {
		t.Run(v.ID, func(t *testing.T) {
			assert.Len(t, reachable(v), len(v.Zones), "every zone can be reached from the first battery")
			for _, b := range v.Batteries {
				assert.NotEmpty(t, b.Stud, b.ID)
			}
			steel := v.Body == catalog.Steel && slices.Contains([]electrical.Category{electrical.Car, electrical.Van, electrical.Truck}, v.Category)
			for _, z := range v.Zones {
				assert.True(t, !z.ChassisGround || steel, "%s returns over a body that is no conductor", z.ID)
				assert.Equal(t, z.ChassisGround, z.GroundStud != "", z.ID)
			}
			for _, r := range v.Routes {
				for _, code := range r.Access {
					op, ok := c.OperationByCode(code)
					require.True(t, ok, code)
					assert.Equal(t, catalog.TaskAccess, op.Task, code)
				}
			}
		})
	}
}

// reachable gives the zones that routes join to the first battery's zone.
func reachable(v catalog.Vehicle) map[string]bool {
	seen := map[string]bool{v.Batteries[0].Zone: true}
	for grown := true; grown; {
		grown = false
		for _, r := range v.Routes {
			if seen[r.From] != seen[r.To] {
				seen[r.From], seen[r.To], grown = true, true, true
			}
		}
	}
	return seen
}

func TestEquipmentStatesALoad(t *testing.T) {
	c := read(t)
	for _, e := range c.Equipment {
		nominal := electrical.Standard().Volts12
		context := electrical.LoadContext{Kind: e.Device, Nominal: 12, Source: nominal, Lowest: 12.3}
		if strings.Contains(e.SKU, "-24") {
			context = electrical.LoadContext{Kind: e.Device, Nominal: 24, Source: electrical.Standard().Volts24, Lowest: 24.6}
		}
		demand, err := electrical.DemandOf(e.Load, context)
		require.NoError(t, err, e.SKU)
		if e.MakerFuse > 0 {
			assert.GreaterOrEqual(t, e.MakerFuse, demand.Design, "%s: the maker's fuse is below the load", e.SKU)
		}
		if e.Surge.Current > 0 {
			assert.Greater(t, e.Surge.Current, demand.Design, "%s: the surge is below the load", e.SKU)
		}
	}
}
