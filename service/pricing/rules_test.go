package pricing_test

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
)

// breaking is a part at 1.00, at 0.90 from 10 and at 0.75 from 50 on.
func breaking(by catalog.SoldBy) catalog.Part {
	p := part("FUSE", usd("1.00"), by)
	p.Breaks = []catalog.Break{{From: 10, Price: usd("0.90")}, {From: 50, Price: usd("0.75")}}
	return p
}

func TestPriceBreaksAtTheirEdges(t *testing.T) {
	t.Parallel()
	for pieces, want := range map[int]string{1: "1.00", 9: "9.00", 10: "9.00", 11: "9.90", 49: "44.10", 50: "37.50"} {
		q := price(t, plainShop(), selling(breaking(catalog.Each), pieces), pricing.Terms{})
		assert.Equal(t, want, q.Totals.Parts.Number(), pieces)
	}
}

// TestPriceBreaksCountTheWholeJob: six and four in two circuits are ten.
func TestPriceBreaksCountTheWholeJob(t *testing.T) {
	t.Parallel()
	d := selling(breaking(catalog.Each), 6)
	d.Circuits = append(d.Circuits, selling(breaking(catalog.Each), 4).Circuits...)
	q := price(t, plainShop(), d, pricing.Terms{})
	require.Len(t, q.Lines, 2)
	assert.Equal(t, "5.40", q.Lines[0].Amount.Number())
	assert.Equal(t, "3.60", q.Lines[1].Amount.Number())
}

func TestWholeAndBrokenPacks(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		broken bool
		pieces int
		amount string
		cost   string
	}{
		{false, 1, "3.99", "2.00"}, {false, 12, "3.99", "2.00"}, {false, 13, "7.98", "4.00"},
		{true, 1, "0.33", "0.17"}, {true, 12, "3.96", "2.00"}, {true, 13, "4.29", "2.17"}, // 3.99/12 is 0.3325
	} {
		p := costing(part("RING", usd("3.99"), catalog.ByPack), usd("2.00"))
		p.PackQty, p.Broken = 12, c.broken
		q := price(t, plainShop(), selling(p, c.pieces), pricing.Terms{})
		require.Len(t, q.Lines, 1)
		assert.Equal(t, c.amount, q.Lines[0].Amount.Number(), "%d pieces", c.pieces)
		assert.Equal(t, c.cost, q.Lines[0].Cost.Number(), "%d pieces", c.pieces)
	}
}

func TestTripAtItsEdges(t *testing.T) {
	t.Parallel()
	shop := plainShop()
	shop.Shop.Rules.Trip = catalog.Trip{Charge: usd("25.00"), PerKm: usd("0.80"), FreeKm: 20}
	for _, c := range []struct {
		terms pricing.Terms
		want  string
	}{
		{pricing.Terms{TripKm: "30"}, "0.00"}, // in the shop, however far away
		{pricing.Terms{Mobile: true}, "25.00"},
		{pricing.Terms{Mobile: true, TripKm: "20"}, "25.00"},
		{pricing.Terms{Mobile: true, TripKm: "20.001"}, "25.80"}, // a kilometre that is started
		{pricing.Terms{Mobile: true, TripKm: "30"}, "33.00"},
	} {
		q := price(t, shop, &design.Design{}, c.terms)
		assert.Equal(t, c.want, q.Totals.Charges.Number(), c.terms.TripKm)
		assert.Equal(t, c.want, q.Totals.Total.Number())
	}
	assert.Empty(t, price(t, plainShop(), &design.Design{}, pricing.Terms{Mobile: true, TripKm: "5"}).Lines)
	for _, km := range []string{"-1", "10001", "1e3", "far"} {
		_, err := pricing.Price(shop, &design.Design{}, pricing.Terms{Mobile: true, TripKm: km})
		var bad design.Violations
		require.ErrorAs(t, err, &bad, km)
		assert.Equal(t, "terms.trip_km", bad[0].Field)
	}
}

func TestNotToExceed(t *testing.T) {
	t.Parallel()
	assert.False(t, price(t, plainShop(), selling(part("A", usd("10.05"), catalog.Each), 1), pricing.Terms{}).Totals.HasNotToExceed)
	for share, want := range map[float64]string{0: "10.05", 10: "11.06", 100: "20.10"} { // 11.055 is rounded half up
		shop := plainShop()
		shop.Shop.Rules.HasNotToExceed = true
		shop.Shop.Rules.NotToExceed = quantity.Percent(share)
		q := price(t, shop, selling(part("A", usd("10.05"), catalog.Each), 1), pricing.Terms{})
		assert.Equal(t, want, q.Totals.NotToExceed.Number())
	}
}

func TestTotalRoundedToCash(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ price, step, total, line string }{
		{"10.02", "0.05", "10.00", "-0.02"}, {"10.03", "0.05", "10.05", "0.02"}, {"10.05", "0.05", "10.05", ""}, {"0.02", "0.05", "0.00", "-0.02"},
		{"10.05", "0.10", "10.10", "0.05"}, {"10.04", "0.10", "10.00", "-0.04"}, {"10.49", "1", "10.00", "-0.49"}, {"10.02", "0", "10.02", ""},
	} {
		shop := plainShop()
		shop.Shop.Rules.CashStep = usd(c.step)
		shop.Shop.Taxes = []catalog.Tax{{Label: "charges", RatePercent: "50", On: []catalog.Section{catalog.Charges}}} // not on the rounding
		q := price(t, shop, selling(part("A", usd(c.price), catalog.Each), 1), pricing.Terms{})
		assert.Equal(t, c.total, q.Totals.Total.Number(), c)
		assert.Zero(t, sumOf(t, q, func(pricing.Line) bool { return true }).Cmp(minor(t, q.Totals.Total)), c)
		charges := only(q, catalog.Charges)
		if c.line == "" {
			assert.Empty(t, charges, c)
			continue
		}
		require.Len(t, charges, 1)
		assert.Equal(t, c.line, charges[0].Amount.Number(), c)
		assert.Equal(t, c.line, q.Totals.Charges.Number(), c)
		assert.False(t, charges[0].Taxable)
	}
}

func TestDiscountLimitOfTheCaller(t *testing.T) {
	t.Parallel()
	shop := plainShop()
	shop.Shop.Rules.DiscountLimits = map[catalog.Caller]quantity.Percent{catalog.Counter: 10}
	for _, c := range []struct {
		caller  catalog.Caller
		percent string
		code    string
	}{
		{catalog.Counter, "10", ""}, {catalog.Counter, "10.0001", "discount_limit"}, {catalog.Counter, "101", "range"},
		{catalog.Owner, "100", ""}, {"", "60", ""},
	} {
		_, err := pricing.Price(shop, selling(part("A", usd("10.00"), catalog.Each), 1), pricing.Terms{DiscountPercent: c.percent, DiscountReason: "regular", Caller: c.caller})
		if c.code == "" {
			require.NoError(t, err)
			continue
		}
		var bad design.Violations
		require.ErrorAs(t, err, &bad)
		assert.Equal(t, c.code, bad[0].Code)
	}
}

// TestBreaksAgainstBruteForce: every line of a part has the price of the highest break
// that the sum of its lines reaches.
func TestBreaksAgainstBruteForce(t *testing.T) {
	t.Parallel()
	reached := 0
	rapid.Check(t, func(t *rapid.T) {
		p := breaking(catalog.Each)
		d := &design.Design{}
		pieces := rapid.SliceOfN(rapid.IntRange(0, 30), 1, 4).Draw(t, "pieces")
		sum := 0
		for _, n := range pieces {
			sum += n
			d.Circuits = append(d.Circuits, selling(p, n).Circuits...)
		}
		want := big.NewRat(100, 1)
		if sum >= 10 {
			want, reached = big.NewRat(90, 1), reached+1
		}
		if sum >= 50 {
			want = big.NewRat(75, 1)
		}
		q, err := pricing.Price(plainShop(), d, pricing.Terms{})
		require.NoError(t, err)
		require.Zero(t, minor(t, q.Totals.Parts).Cmp(mul(want, big.NewRat(int64(sum), 1))))
	})
	assert.Positive(t, reached)
}
