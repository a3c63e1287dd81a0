package pricing_test

import (
	"testing"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
)

// sumsOf sells one part and takes one hour, so that the sums of the parts and the
// labour are its two prices.
func sumsOf(code, parts, labour string) (*catalog.Catalog, *design.Design) {
	cat := plainShop()
	cat.Shop.Currency, cat.Shop.LabourRate = code, in(code, labour)
	return cat, selling(part("AMP", in(code, parts), catalog.Each), 1, hour())
}

func off(percent string) pricing.Terms {
	return pricing.Terms{DiscountPercent: percent, DiscountReason: "trade"}
}

// perSection taxes every section by itself at no rate, which shows its base.
func perSection() []catalog.Tax {
	var taxes []catalog.Tax
	for _, s := range catalog.Sections() {
		taxes = append(taxes, catalog.Tax{Label: string(s), RatePercent: "0", On: []catalog.Section{s}})
	}
	return taxes
}

func bases(q *pricing.Quote) []string {
	var out []string
	for _, l := range q.Totals.Taxes {
		out = append(out, l.Base.Number())
	}
	return out
}

func TestDiscountIsApportionedByLargestRemainder(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name          string
		parts, labour string
		supplies      quantity.Percent // of the labour
		percent       string
		discount      string
		bases         []string // parts, labour, supplies, charges
	}{
		{"none", "1.00", "1.00", 0, "", "0.00", []string{"1.00", "1.00", "0.00", "0.00"}},
		{"nought", "1.00", "1.00", 0, "0", "0.00", []string{"1.00", "1.00", "0.00", "0.00"}},
		{"no remainder", "10.00", "20.00", 50, "0.1", "0.04", []string{"9.99", "19.98", "9.99", "0.00"}},
		{"a tie goes to the first", "1.00", "1.00", 0, "2.5", "0.05", []string{"0.97", "0.98", "0.00", "0.00"}},
		{"a tie of three sections", "10.00", "20.00", 50, "0.25", "0.10", []string{"9.97", "19.95", "9.98", "0.00"}},
		{"the larger remainder comes before the first", "1.00", "2.00", 0, "1.34", "0.04", []string{"0.99", "1.97", "0.00", "0.00"}},
		{"half a cent rounds up", "0.10", "0.00", 0, "5", "0.01", []string{"0.09", "0.00", "0.00", "0.00"}},
		{"just under half a cent rounds down", "0.10", "0.00", 0, "4.9999", "0.00", []string{"0.10", "0.00", "0.00", "0.00"}},
		{"all of it", "1.23", "4.56", 5, "100", "6.02", []string{"0.00", "0.00", "0.00", "0.00"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat, d := sumsOf("USD", tt.parts, tt.labour)
			cat.Shop.SuppliesShare, cat.Shop.Taxes = tt.supplies, perSection()
			q := price(t, cat, d, off(tt.percent))
			assert.Equal(t, tt.discount, q.Totals.Discount.Number())
			assert.Equal(t, tt.bases, bases(q))
		})
	}
}

func TestTermsAreChecked(t *testing.T) {
	t.Parallel()
	const percent, reason = "terms.discount_percent", "terms.discount_reason"
	tests := []struct {
		name  string
		terms pricing.Terms
		want  []string // field, code, field, code …
	}{
		{"above all", off("100.0001"), []string{percent, "range"}},
		{"below nothing", off("-0.5"), []string{percent, "range"}},
		{"a word", off("ten"), []string{percent, "decimal"}},
		{"a fraction", off("1/3"), []string{percent, "decimal"}},
		{"an exponent", off("1e1"), []string{percent, "decimal"}},
		{"a decimal comma", off("7,5"), []string{percent, "decimal"}},
		{"no whole part", off(".5"), []string{percent, "decimal"}},
		{"two points", off("1.2.3"), []string{percent, "decimal"}},
		{"a space", off(" 5"), []string{percent, "decimal"}},
		{"five places", off("1.00001"), []string{percent, "decimal"}},
		{"endless", off("000000000000000000005"), []string{percent, "decimal"}},
		{"no reason", pricing.Terms{DiscountPercent: "5"}, []string{reason, "required"}},
		{"a blank reason", pricing.Terms{DiscountPercent: "5", DiscountReason: " "}, []string{reason, "required"}},
		{"both at once", pricing.Terms{DiscountPercent: "101"}, []string{percent, "range", reason, "required"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := pricing.Price(plainShop(), &design.Design{}, tt.terms)
			var bad design.Violations
			require.ErrorAs(t, err, &bad)
			var got []string
			for _, v := range bad {
				got = append(got, v.Field, v.Code)
			}
			require.Equal(t, tt.want, got)
		})
	}
	t.Run("nought needs no reason", func(t *testing.T) {
		t.Parallel()
		_, err := pricing.Price(plainShop(), &design.Design{}, pricing.Terms{DiscountPercent: "0.00"})
		require.NoError(t, err)
	})
}

// taxRows writes taxes as "label base amount", and "in" where they are included.
func taxRows(q *pricing.Quote) []string {
	var out []string
	for _, l := range q.Totals.Taxes {
		row := l.Label + " " + l.Base.Number() + " " + l.Amount.Number()
		if l.Included {
			row += " in"
		}
		out = append(out, row)
	}
	return out
}

func TestTaxes(t *testing.T) {
	t.Parallel()
	on := func(label, rate string, sections ...catalog.Section) catalog.Tax {
		return catalog.Tax{Label: label, RatePercent: rate, On: sections}
	}
	tests := []struct {
		name           string
		parts, labour  string
		taxes          []catalog.Tax
		include        bool
		exempt         bool
		want           []string
		total          string
		taxableSection map[catalog.Section]bool
	}{
		{"none", "10.00", "5.00", nil, false, false, nil, "15.00", nil},
		{"on parts only", "10.00", "5.00", []catalog.Tax{on("T", "8.25", catalog.Parts)}, false, false, []string{"T 10.00 0.83"}, "15.83",
			map[catalog.Section]bool{catalog.Parts: true}},
		{"two components, each rounded for itself", "99.90", "0.10", []catalog.Tax{on("A", "5", catalog.Parts, catalog.Labour), on("B", "9.975", catalog.Parts, catalog.Labour)},
			false, false, []string{"A 100.00 5.00", "B 100.00 9.98"}, "114.98", map[catalog.Section]bool{catalog.Parts: true, catalog.Labour: true}},
		{"once on the base, not by section", "0.05", "0.05", []catalog.Tax{on("T", "10", catalog.Parts, catalog.Labour)}, false, false, []string{"T 0.10 0.01"}, "0.11",
			map[catalog.Section]bool{catalog.Parts: true, catalog.Labour: true}},
		{"a section named twice is taxed once", "10.00", "5.00", []catalog.Tax{on("T", "10", catalog.Parts, catalog.Parts)}, false, false, []string{"T 10.00 1.00"}, "16.00",
			map[catalog.Section]bool{catalog.Parts: true}},
		{"exempt", "10.00", "5.00", []catalog.Tax{on("T", "8.25", catalog.Parts)}, false, true, nil, "15.00", nil},
		{"included", "90.00", "30.00", []catalog.Tax{on("V", "20", catalog.Parts, catalog.Labour)}, true, false, []string{"V 120.00 20.00 in"}, "120.00",
			map[catalog.Section]bool{catalog.Parts: true, catalog.Labour: true}},
		{"included, rounded", "100.00", "0.00", []catalog.Tax{on("V", "19", catalog.Parts)}, true, false, []string{"V 100.00 15.97 in"}, "100.00",
			map[catalog.Section]bool{catalog.Parts: true}},
		{"both components are in the price", "112.00", "0.00", []catalog.Tax{on("A", "5", catalog.Parts), on("B", "7", catalog.Parts)}, true, false,
			[]string{"A 112.00 5.00 in", "B 112.00 7.00 in"}, "112.00", map[catalog.Section]bool{catalog.Parts: true}},
		{"sections with different components", "115.00", "110.00", []catalog.Tax{on("A", "10", catalog.Parts, catalog.Labour), on("B", "5", catalog.Parts)}, true, false,
			[]string{"A 225.00 20.00 in", "B 115.00 5.00 in"}, "225.00", map[catalog.Section]bool{catalog.Parts: true, catalog.Labour: true}},
		{"included and exempt: taken off", "90.00", "30.00", []catalog.Tax{on("V", "20", catalog.Parts, catalog.Labour)}, true, true, []string{"V 120.00 -20.00"}, "100.00", nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat, d := sumsOf("USD", tt.parts, tt.labour)
			cat.Shop.Taxes, cat.Shop.PricesIncludeTax = tt.taxes, tt.include
			q := price(t, cat, d, pricing.Terms{TaxExempt: tt.exempt})
			assert.Equal(t, tt.want, taxRows(q))
			assert.Equal(t, tt.total, q.Totals.Total.Number())
			for _, l := range q.Lines {
				assert.Equal(t, tt.taxableSection[l.Section], l.Taxable, l.Section)
			}
		})
	}
}

func TestTaxIsChargedAfterTheDiscount(t *testing.T) {
	t.Parallel()
	cat, d := sumsOf("USD", "200.00", "100.00")
	cat.Shop.Taxes = []catalog.Tax{{Label: "T", RatePercent: "10", On: []catalog.Section{catalog.Parts}}}
	q := price(t, cat, d, off("10"))
	assert.Equal(t, []string{"T 180.00 18.00"}, taxRows(q))
	assert.Equal(t, "30.00", q.Totals.Discount.Number())
	assert.Equal(t, "288.00", q.Totals.Total.Number())
}

func TestCurrenciesRoundToTheirOwnMinorUnit(t *testing.T) {
	t.Parallel()
	tests := []struct {
		code, perMetre, rate string
		line, labour         string // 2.5 m and a tenth of an hour
		discount, tax, total string // 5 % off, 10 % on parts
	}{
		// 1235 × 2.5 = 3087.5; 812.5; 5 % of 3901; 10 % of 3088 − 155 (3088/3901 of 195: 154.36, the larger remainder is the labour's 40.64).
		{"JPY", "1235", "8125", "3088", "813", "195", "293", "3999"},
		// 1.235 × 2.5 = 3.0875; 5 % of 3.901; 10 % of 3.088 − 0.154.
		{"KWD", "1.235", "8.125", "3.088", "0.813", "0.195", "0.293", "3.999"},
		// 12.35 × 2.5 = 30.875; 8.125; 5 % of 39.01.
		{"EUR", "12.35", "81.25", "30.88", "8.13", "1.95", "2.93", "39.99"},
	}
	for _, tt := range tests {
		t.Run(tt.code, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.Currency, cat.Shop.LabourRate = tt.code, in(tt.code, tt.rate)
			cat.Shop.Taxes = []catalog.Tax{{Label: "T", RatePercent: "10", On: []catalog.Section{catalog.Parts}}}
			d := &design.Design{
				Circuits: []design.Circuit{{ID: "amp", Runs: []design.Run{run(cable(part("CABLE", in(tt.code, tt.perMetre), catalog.ByMetre)), 2.5)}}},
				Work:     []catalog.Work{minutes(operation("TEST", catalog.TaskTestSystem), 6000)},
			}
			q := price(t, cat, d, off("5"))
			for _, pair := range []struct {
				want string
				got  currency.Amount
			}{{tt.line, q.Lines[0].Amount}, {tt.labour, q.Lines[1].Amount}, {tt.discount, q.Totals.Discount}, {tt.tax, q.Totals.Taxes[0].Amount}, {tt.total, q.Totals.Total}} {
				assert.Equal(t, pair.want+" "+tt.code, pair.got.String())
			}
		})
	}
}

func TestDeposit(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name          string
		parts, labour string
		share         quantity.Percent
		percent       string // discount
		want          string
	}{
		{"at the threshold none", "100.00", "200.00", 30, "", "0.00"},
		{"just above it the share", "0.01", "300.00", 30, "", "90.00"},
		{"rounded half up", "0.05", "300.00", 30, "", "90.02"},
		{"the share", "100.00", "900.00", 30, "", "300.00"},
		{"the parts are always covered", "900.00", "100.00", 30, "", "900.00"},
		{"never more than the total", "900.00", "100.00", 30, "50", "500.00"},
		{"a shop that asks for none", "900.00", "100.00", 0, "", "0.00"},
		{"the discount brings it to the threshold", "300.00", "100.00", 30, "25", "0.00"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat, d := sumsOf("USD", tt.parts, tt.labour)
			cat.Shop.DepositShare, cat.Shop.DepositOver = tt.share, usd("300.00")
			assert.Equal(t, tt.want, price(t, cat, d, off(tt.percent)).Totals.Deposit.Number())
		})
	}
}

func TestCostAndMarginAreThoseOfTheParts(t *testing.T) {
	t.Parallel()
	cat, d := sumsOf("USD", "1.00", "100.00")
	d.Circuits[0].Equipment[0].Part.Part = costing(part("AMP", usd("120.00"), catalog.Each), usd("70.00"))
	d.Circuits[0].Runs = []design.Run{run(cable(costing(part("CABLE", usd("2.15"), catalog.ByMetre), usd("0.85"))), 2.5)} // 5.38, costs 2.13

	q := price(t, cat, d, pricing.Terms{})
	require.True(t, q.Totals.HasCost)
	assert.Equal(t, "72.13 USD", q.Totals.Cost.String())
	assert.Equal(t, "53.25 USD", q.Totals.Margin.String())
	assert.Equal(t, "2.13 USD", q.Lines[1].Cost.String())
	assert.Equal(t, "3.25 USD", q.Lines[1].Margin.String())
	assert.False(t, q.Lines[2].HasCost, "labour has no cost")

	// 10 % of 225.38 is 22.54, of which the parts bear 12.54.
	discounted := price(t, cat, d, off("10")).Totals
	assert.Equal(t, "40.71 USD", discounted.Margin.String())

	// 125.38 contains 20.90 of tax at 20 %; 120.00 contains 20.00.
	cat.Shop.PricesIncludeTax = true
	cat.Shop.Taxes = []catalog.Tax{{Label: "V", RatePercent: "20", On: catalog.Sections()}}
	for _, exempt := range []bool{false, true} {
		gross := price(t, cat, d, pricing.Terms{TaxExempt: exempt})
		assert.Equal(t, "32.35 USD", gross.Totals.Margin.String())
		assert.Equal(t, "30.00 USD", gross.Lines[0].Margin.String())
	}
}

func TestCostIsStatedOnlyWhereAllPartsHaveOne(t *testing.T) {
	t.Parallel()
	cat, d := sumsOf("USD", "120.00", "100.00")
	d.Circuits[0].Equipment = append(d.Circuits[0].Equipment, design.Supply{Part: &catalog.Equipment{Part: costing(part("LAMP", usd("9.00"), catalog.Each), usd("5.00"))}, Count: 1})
	q := price(t, cat, d, pricing.Terms{})
	assert.False(t, q.Lines[0].HasCost)
	assert.True(t, q.Lines[1].HasCost)
	assert.False(t, q.Totals.HasCost)
	assert.False(t, price(t, cat, &design.Design{Work: []catalog.Work{hour()}}, pricing.Terms{}).Totals.HasCost, "no parts")
}
