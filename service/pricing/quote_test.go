package pricing_test

import (
	"fmt"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/termination"
)

// usualShop charges what a shop usually does (invented figures).
func usualShop() *catalog.Catalog {
	return &catalog.Catalog{Shop: catalog.Shop{
		Currency: "USD", LabourRate: usd("110.00"), LabourStep: 10, LabourMinimum: 0.5, SuppliesShare: 5, SuppliesCap: usd("35.00"),
		Taxes:        []catalog.Tax{{Label: "sales tax", RatePercent: "8.25", On: []catalog.Section{catalog.Parts, catalog.Supplies}}},
		DepositShare: 30, DepositOver: usd("300.00"),
		Allowances: catalog.Allowances{Waste: 5, SleeveWaste: 10, MinimumCut: 0.3, SpareShare: 5},
	}}
}

// amplifierJob is one amplifier fed from the battery and returned to the chassis.
func amplifierJob() *design.Design {
	crimpOp, ferruleOp := operation("CRIMP-8", catalog.TaskCrimpEnd), operation("FERRULE", catalog.TaskFerrule)
	crimpOp.Termination, ferruleOp.Termination = true, true
	ferrules := part("FERRULE-8", usd("5.00"), catalog.ByPack)
	ferrules.PackQty = 25
	lug := termination.Plan{
		Terminal: &catalog.Terminal{Part: part("LUG-8", usd("2.40"), catalog.Each)}, SleeveCut: 35,
		Sleeve: &catalog.Sleeve{Part: part("SLEEVE", usd("6.00"), catalog.ByMetre), Supplied: 12}, Work: []catalog.Work{minutes(crimpOp, 8000)},
	}
	ferrule := termination.Plan{Terminal: &catalog.Terminal{Part: ferrules}, Work: []catalog.Work{minutes(ferruleOp, 4000)}}
	red, black := cable(part("CABLE-RED", usd("1.85"), catalog.ByFoot)), cable(part("CABLE-BLACK", usd("1.85"), catalog.ByFoot))
	pull := operation("PULL", catalog.TaskPull)
	pull.Per = catalog.PerMetre
	return &design.Design{
		Circuits: []design.Circuit{{
			ID: "amp", Load: 42,
			Protection: design.Overcurrent{Fuse: &catalog.Fuse{Part: part("FUSE-60", usd("6.50"), catalog.Each), Rating: 60},
				Holder: &catalog.Holder{Part: part("HOLDER", usd("18.00"), catalog.Each), MaxRating: 100}},
			Runs:      []design.Run{run(red, 0.2, lug, lug), run(red, 5.5, lug, ferrule), run(black, 1.2, lug, lug)},
			Equipment: []design.Supply{{Part: &catalog.Equipment{Part: part("AMP-4", usd("249.00"), catalog.Each)}, Label: "amplifier", Count: 1}, {Label: "customer's own", Count: 1}},
			Sundries: []design.Material{{Sundry: &catalog.Sundry{Part: part("LOOM", usd("1.10"), catalog.ByFoot), Use: catalog.UseLoom}, Milli: 5500},
				{Sundry: &catalog.Sundry{Part: part("CLAMP", usd("0.45"), catalog.Each), Use: catalog.UseClamp}, Milli: 10_000}},
			Work: []catalog.Work{minutes(operation("HOLDER", catalog.TaskBoltHolder), 21_600), {Operation: pull, Milli: 5500, MilliMinutes: 22_000},
				minutes(operation("TEST", catalog.TaskTestCircuit), 8000)},
		}},
		Sundries: []design.Material{{Sundry: &catalog.Sundry{Part: part("GROMMET", usd("1.25"), catalog.Each), Use: catalog.UseGrommet}, Milli: 1000}},
		Work:     []catalog.Work{minutes(operation("BATTERY", catalog.TaskBattery), 12_000), minutes(operation("TRIM", catalog.TaskAccess), 40_000)},
	}
}

// The quantities and amounts were reckoned by hand: 5.5 m + 0.3 m (shortest cut)
// with 5 % are 6.09 m or 19.98 ft, and so on.
func TestPriceGivesEveryLineOfAJob(t *testing.T) {
	t.Parallel()
	q := price(t, usualShop(), amplifierJob(), pricing.Terms{})
	require.Equal(t, []string{
		"p1 amp AMP-4 1 each 249.00 249.00 why.equipment",
		"p2 amp FUSE-60 1 each 6.50 6.50 why.fuse",
		"p3 amp HOLDER 1 each 18.00 18.00 why.holder",
		"p4 amp CABLE-RED 20 ft 1.85 37.00 why.cable",
		"p5 amp CABLE-BLACK 4.2 ft 1.85 7.77 why.cable",
		"p6 amp LUG-8 5 each 2.40 12.00 why.terminal",
		"p7 amp SLEEVE 0.2 m 6.00 1.20 why.sleeve",
		"p8 amp LOOM 18.1 ft 1.10 19.91 why.sundry",
		"p9 amp CLAMP 10 each 0.45 4.50 why.sundry",
		"p10 - GROMMET 1 each 1.25 1.25 why.sundry",
		"p11 - LUG-8 1 each 2.40 2.40 why.spare",
		"p12 - FERRULE-8 1 pack 5.00 5.00 why.pack",
		"l1 - TRIM 0.7 h 110.00 77.00 why.access",
		"l2 - BATTERY 0.2 h 110.00 22.00 why.labour",
		"l3 - HOLDER 0.4 h 110.00 44.00 why.labour",
		"l4 - PULL 0.4 h 110.00 44.00 why.labour",
		"l5 - CRIMP-8 0.7 h 110.00 77.00 why.labour",
		"l6 - FERRULE 0.1 h 110.00 11.00 why.labour",
		"l7 - TEST 0.1 h 110.00 11.00 why.labour",
		"s1 - - 5 percent 286.00 14.30 why.supplies",
	}, rows(q))

	totals := q.Totals
	assert.Equal(t, "364.53 USD", totals.Parts.String())
	assert.Equal(t, "286.00 USD", totals.Labour.String())
	assert.Equal(t, "14.30 USD", totals.Supplies.String())
	assert.Equal(t, "0.00 USD", totals.Charges.String())
	assert.Equal(t, "0.00 USD", totals.Discount.String())
	require.Len(t, totals.Taxes, 1)
	assert.Equal(t, "378.83 USD", totals.Taxes[0].Base.String())
	assert.Equal(t, "31.25 USD", totals.Taxes[0].Amount.String(), "31.253475")
	assert.Equal(t, "696.08 USD", totals.Total.String())
	assert.Equal(t, "108.60 USD", totals.ProperTermination.String(), "lugs, spare, sleeve, ferrules and the labour of both")
	assert.Equal(t, "364.53 USD", totals.Deposit.String(), "the parts are more than 30 % of the total")
	assert.False(t, totals.HasCost)
}

func TestLinesSayWhatTheyAre(t *testing.T) {
	t.Parallel()
	q := price(t, usualShop(), amplifierJob(), pricing.Terms{})
	byID := map[string]pricing.Line{}
	for _, l := range q.Lines {
		byID[l.ID] = l
	}
	assert.Equal(t, []electrical.Figure{electrical.SizeFigure("conductor", cable(catalog.Part{}).Size), electrical.Num("cuts", 2, electrical.UnitCount),
		electrical.Num("length_m", 5.8, electrical.UnitM), electrical.Num("waste_percent", 5, electrical.UnitPercent)}, byID["p4"].Figures)
	assert.Equal(t, []electrical.Figure{electrical.Num("fuse_a", 60, electrical.UnitA), electrical.Num("current_a", 42, electrical.UnitA)}, byID["p2"].Figures)
	assert.Equal(t, []electrical.Figure{electrical.Num("pieces", 2, electrical.UnitCount), electrical.Num("pack_qty", 25, electrical.UnitCount)}, byID["p12"].Figures)
	assert.Equal(t, []electrical.Figure{electrical.Num("times", 5.5, electrical.UnitM), electrical.Num("minutes", 22, electrical.UnitMinutes)}, byID["l4"].Figures)

	pulling, cut := byID["l4"], byID["p5"]
	assert.Equal(t, "pull", pulling.Description)
	assert.Equal(t, 0.4, pulling.Hours)
	assert.False(t, pulling.Taxable, "the tax is on parts and supplies")
	assert.True(t, cut.Taxable)
	assert.Equal(t, 4.2, cut.QuantityFloat())
}

func TestAnEmptyDesignCostsNothing(t *testing.T) {
	t.Parallel()
	q := price(t, usualShop(), &design.Design{}, pricing.Terms{DiscountPercent: "10", DiscountReason: "trade"})
	require.Empty(t, q.Lines)
	assert.Equal(t, "0.00 USD", q.Totals.Total.String())
	assert.Equal(t, "0.00 USD", q.Totals.Deposit.String())
}

func TestTheSameJobGivesTheSameQuote(t *testing.T) {
	t.Parallel()
	terms := pricing.Terms{DiscountPercent: "7.5", DiscountReason: "trade"}
	first := price(t, usualShop(), amplifierJob(), terms)
	require.Equal(t, first, price(t, usualShop(), amplifierJob(), terms))
}

func ExamplePrice() {
	lamp := &catalog.Equipment{Part: catalog.Part{SKU: "LAMP", Price: usd("40.00"), SoldBy: catalog.Each}}
	fit := &catalog.Operation{Code: "FIT", Task: catalog.TaskFitDevice}
	job := &design.Design{Circuits: []design.Circuit{{
		ID:        "lamp",
		Equipment: []design.Supply{{Part: lamp, Label: "work lamp", Count: 2}},
		Work:      []catalog.Work{{Operation: fit, Milli: 2000, MilliMinutes: 50_000}},
	}}}
	cat := &catalog.Catalog{Shop: catalog.Shop{Currency: "USD", LabourRate: usd("110.00"), LabourStep: 10,
		Taxes: []catalog.Tax{{Label: "sales tax", RatePercent: "8.25", On: []catalog.Section{catalog.Parts}}}}}

	quote, err := pricing.Price(cat, job, pricing.Terms{DiscountPercent: "10", DiscountReason: "two lamps"})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, l := range quote.Lines {
		fmt.Println(l.ID, l.Quantity, l.Unit, l.Amount)
	}
	fmt.Println("discount", quote.Totals.Discount)
	fmt.Println("tax", quote.Totals.Taxes[0].Amount)
	fmt.Println("total", quote.Totals.Total)
	// Output:
	// p1 2 each 80.00 USD
	// l1 0.8 h 88.00 USD
	// discount 16.80 USD
	// tax 5.94 USD
	// total 157.14 USD
}
