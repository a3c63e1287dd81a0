package pricing_test

import (
	"fmt"
	"strconv"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/termination"
)

// job is a drawn shop, design and terms.
type job struct {
	cat    *catalog.Catalog
	design *design.Design
	terms  pricing.Terms
}

func anyMoney(code string, least int64) *rapid.Generator[currency.Amount] {
	return rapid.Map(rapid.Int64Range(least, 2_000_000), func(minor int64) currency.Amount {
		a, err := currency.NewAmountFromInt64(minor, code)
		if err != nil {
			panic(err)
		}
		return a
	})
}

func anyPercent(most int) *rapid.Generator[string] {
	return rapid.Map(rapid.IntRange(0, most*1000), func(milli int) string {
		return fmt.Sprintf("%d.%03d", milli/1000, milli%1000)
	})
}

func percent(t *rapid.T, most int, label string) quantity.Percent {
	v, err := strconv.ParseFloat(anyPercent(most).Draw(t, label), 64)
	require.NoError(t, err)
	return quantity.Percent(v)
}

func anyShop(t *rapid.T) catalog.Shop {
	code := rapid.SampledFrom([]string{"USD", "EUR", "JPY", "KWD"}).Draw(t, "currency")
	s := catalog.Shop{
		Currency: code, LabourRate: anyMoney(code, 1).Draw(t, "rate"), LabourStep: rapid.SampledFrom([]int{10, 4}).Draw(t, "step"),
		LabourMinimum: float64(rapid.IntRange(0, 8).Draw(t, "minimum quarters")) / 4,
		SuppliesShare: percent(t, 20, "supplies"), SuppliesCap: anyMoney(code, 0).Draw(t, "cap"),
		PricesIncludeTax: rapid.Bool().Draw(t, "prices include tax"),
		DepositShare:     percent(t, 100, "deposit"), DepositOver: anyMoney(code, 0).Draw(t, "deposit over"),
		Allowances: catalog.Allowances{Waste: percent(t, 20, "waste"), SleeveWaste: percent(t, 20, "sleeve waste"), SpareShare: percent(t, 20, "spares"),
			MinimumCut: quantity.Metres(rapid.IntRange(0, 500).Draw(t, "minimum cut")) / 1000},
	}
	s.Rules = catalog.PriceRules{Trip: catalog.Trip{Charge: anyMoney(code, 0).Draw(t, "trip"), PerKm: anyMoney(code, 0).Draw(t, "per km"), FreeKm: rapid.IntRange(0, 60).Draw(t, "free km")},
		NotToExceed: percent(t, 20, "not to exceed"), HasNotToExceed: true}
	// One component for each section shows all bases; one more covers several.
	for _, section := range catalog.Sections() {
		s.Taxes = append(s.Taxes, catalog.Tax{Label: string(section), RatePercent: anyPercent(30).Draw(t, "rate"), On: []catalog.Section{section}})
	}
	s.Taxes = append(s.Taxes, catalog.Tax{Label: "several", RatePercent: anyPercent(30).Draw(t, "rate"),
		On: rapid.SliceOfNDistinct(rapid.SampledFrom(catalog.Sections()), 0, 4, rapid.ID).Draw(t, "on")})
	return s
}

// anyJob draws a job from a small stock, so that parts and operations meet again.
func anyJob() *rapid.Generator[job] {
	return rapid.Custom(func(t *rapid.T) job {
		shop := anyShop(t)
		stocked := func(sku string, by catalog.SoldBy) catalog.Part {
			p := part(sku, anyMoney(shop.Currency, 0).Draw(t, sku), by)
			p.PackQty = rapid.IntRange(1, 20).Draw(t, "pack")
			p.Broken = by == catalog.ByPack && rapid.Bool().Draw(t, "broken")
			from := 2
			for range rapid.IntRange(0, 3).Draw(t, "breaks") {
				p.Breaks = append(p.Breaks, catalog.Break{From: from, Price: anyMoney(shop.Currency, 0).Draw(t, "break")})
				from += rapid.IntRange(1, 20).Draw(t, "step")
			}
			return costing(p, anyMoney(shop.Currency, 0).Draw(t, sku+" cost"))
		}
		cables := []*catalog.Conductor{cable(stocked("CABLE-A", catalog.ByMetre)), cable(stocked("CABLE-B", catalog.ByFoot))}
		rings := []*catalog.Terminal{{Part: stocked("RING-A", catalog.Each)}, {Part: stocked("RING-B", catalog.ByPack)}}
		sleeve := &catalog.Sleeve{Part: stocked("SLEEVE", catalog.ByMetre)}
		device := &catalog.Equipment{Part: stocked("DEVICE", catalog.Each)}
		var operations []*catalog.Operation
		for i, task := range catalog.Tasks() {
			o := operation(fmt.Sprintf("OP-%d", i), task)
			o.Termination = i%3 == 0
			operations = append(operations, o)
		}
		anyWork := rapid.SliceOfN(rapid.Custom(func(t *rapid.T) catalog.Work {
			return minutes(rapid.SampledFrom(operations).Draw(t, "operation"), rapid.Int64Range(0, 200_000).Draw(t, "milliminutes"))
		}), 0, 5)
		anyEnd := func() termination.Plan {
			return termination.Plan{Terminal: rapid.SampledFrom(rings).Draw(t, "ring"), Sleeve: sleeve,
				SleeveCut: quantity.Millimetres(5 * rapid.IntRange(3, 20).Draw(t, "sleeve cut")), Work: anyWork.Draw(t, "end work")}
		}
		d := &design.Design{Work: anyWork.Draw(t, "job work")}
		for i := range rapid.IntRange(0, 3).Draw(t, "circuits") {
			c := design.Circuit{ID: strconv.Itoa(i), Work: anyWork.Draw(t, "circuit work"),
				Equipment: []design.Supply{{Part: device, Count: rapid.IntRange(0, 3).Draw(t, "devices")}}}
			for range rapid.IntRange(0, 3).Draw(t, "runs") {
				l := quantity.Metres(rapid.IntRange(1, 9000).Draw(t, "mm")) / 1000
				c.Runs = append(c.Runs, run(rapid.SampledFrom(cables).Draw(t, "cable"), l, anyEnd(), anyEnd()))
			}
			d.Circuits = append(d.Circuits, c)
		}
		return job{&catalog.Catalog{Shop: shop}, d, pricing.Terms{DiscountPercent: anyPercent(100).Draw(t, "discount"), DiscountReason: "drawn",
			TaxExempt: rapid.Bool().Draw(t, "exempt"), Mobile: rapid.Bool().Draw(t, "mobile"), TripKm: anyPercent(100).Draw(t, "km")}}
	})
}

func (j job) price(t *rapid.T) *pricing.Quote {
	q, err := pricing.Price(j.cat, j.design, j.terms)
	require.NoError(t, err)
	return q
}
