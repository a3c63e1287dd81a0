package quoting_test

import (
	"context"
	"fmt"
	"math/big"
	"testing"

	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

var background = context.Background() // rapid's tests have none of their own

func (s shop) adjust(t require.TestingT, id string, a quoting.Adjustment) quoting.PartStock {
	now, err := s.AdjustStock(background, quoting.Request{Caller: "ida", ID: id, Sum: []byte(id)}, a)
	require.NoError(t, err)
	return now
}

func TestQuantitiesComeInThePartsOwnUnit(t *testing.T) {
	s := newShop(t) // cable by the foot, sleeve by the metre, fuses by the piece
	for i, c := range []struct {
		sku, quantity, unit, own string
		want                     quoting.Thousandths
	}{
		{"CB-18-CU-RD", "25", "", "ft", 25_000},
		{"CB-18-CU-RD", "7.62", "m", "ft", 25_000}, // 25 × 0.3048
		{"CB-18-CU-RD", "1", "m", "ft", 3_281},     // 3.28084 ft
		{"SL-3-03-BK", "10", "ft", "m", 3_048},
		{"SL-3-03-BK", "0.0005", "m", "m", 1}, // half up
		{"FU-BLD-1", "40", "each", "each", 40_000},
	} {
		now := s.adjust(t, fmt.Sprint(i), quoting.Adjustment{SKU: c.sku, Kind: quoting.Counted, Quantity: c.quantity, Unit: pricing.Unit(c.unit)})
		assert.Equal(t, c.own, string(now.Unit))
		assert.Equal(t, quoting.Stock{Counted: true, OnHand: c.want}, now.Stock, c)
	}
	var wrong *quoting.UnitError
	_, err := s.AdjustStock(background, quoting.Request{ID: "x"}, quoting.Adjustment{SKU: "FU-BLD-1", Kind: quoting.Counted, Quantity: "1", Unit: "ft"})
	require.ErrorAs(t, err, &wrong)
	assert.Equal(t, []any{"FU-BLD-1", "ft", "[each]"}, []any{wrong.SKU, string(wrong.Unit), fmt.Sprint(wrong.Allowed)})
}

func TestAPartThatNobodyKnows(t *testing.T) {
	s := newShop(t)
	var unknown *quoting.UnknownPartError
	_, err := s.AdjustStock(background, quoting.Request{ID: "x"}, quoting.Adjustment{SKU: "FU-BDL-1", Kind: quoting.Counted, Quantity: "1"})
	require.ErrorAs(t, err, &unknown)
	assert.Equal(t, "FU-BLD-1", unknown.Nearest)
	// One that the catalog had once can still be counted out.
	s.move(t, quoting.Movement{SKU: "OLD-1", Kind: quoting.Counted, Quantity: 3000})
	now := s.adjust(t, "y", quoting.Adjustment{SKU: "OLD-1", Kind: quoting.Counted, Quantity: "0"})
	assert.Equal(t, quoting.PartStock{SKU: "OLD-1", Stock: quoting.Stock{Counted: true}}, now)
	list, err := s.ListStock(background)
	require.NoError(t, err)
	assert.Equal(t, []quoting.PartStock{now}, list)
}

func TestAnAdjustmentIsDoneOnce(t *testing.T) {
	s := newShop(t)
	received := quoting.Adjustment{SKU: "FU-BLD-1", Kind: quoting.Received, Quantity: "10"}
	for range 3 {
		assert.Equal(t, quoting.Thousandths(10_000), s.adjust(t, "a", received).OnHand)
	}
	assert.Equal(t, quoting.Thousandths(20_000), s.adjust(t, "b", received).OnHand)
	assert.Equal(t, quoting.Thousandths(20_000), s.adjust(t, "a", received).OnHand, "as it is now")
	var reused *quoting.ReusedError
	_, err := s.AdjustStock(background, quoting.Request{Caller: "ida", ID: "a", Sum: []byte("another")}, received)
	require.ErrorAs(t, err, &reused)
}

// Whatever happens in a shop: what is on hand is the last count and what came since,
// what is set aside is that of the quotes accepted and not withdrawn, and short is what
// these take beyond what is on hand.
func TestTheLedgerUnderAnyHistory(t *testing.T) {
	skus := []string{"FU-BLD-1", "CB-18-CU-RD", "OLD-1"}
	rapid.Check(t, func(r *rapid.T) {
		s := newShop(t)
		s.move(r, quoting.Movement{SKU: "OLD-1", Kind: quoting.Received})
		hand, counted := map[string]int64{}, map[string]bool{"OLD-1": true}
		var quotes []*took
		for step := range rapid.IntRange(1, 12).Draw(r, "steps") {
			id, sku := fmt.Sprint(step), rapid.SampledFrom(skus).Draw(r, "sku")
			n := rapid.Int64Range(0, 9_999).Draw(r, "thousandths")
			switch rapid.IntRange(0, 3).Draw(r, "deed") {
			case 0:
				hand[sku], counted[sku] = n, true
				s.adjust(r, id, quoting.Adjustment{SKU: sku, Kind: quoting.Counted, Quantity: big.NewRat(n, 1000).FloatString(3)})
			case 1:
				hand[sku], counted[sku] = hand[sku]+n, true
				s.adjust(r, id, quoting.Adjustment{SKU: sku, Kind: quoting.Received, Quantity: big.NewRat(n, 1000).FloatString(3)})
			case 2:
				quotes = append(quotes, s.accepted(r, id, sku, n))
			default:
				if len(quotes) > 0 {
					q := rapid.SampledFrom(quotes).Draw(r, "quote")
					_, err := s.Withdraw(background, q.ref, quoting.Request{ID: id})
					assert.Equal(r, q.gone, err != nil, "withdrawn once")
					q.gone = true
				}
			}
		}
		aside := map[string]int64{}
		for _, q := range quotes {
			if !q.gone {
				aside[q.sku] += q.n
			}
		}
		list, err := s.ListStock(background)
		require.NoError(r, err)
		balances := map[string]quoting.Stock{}
		for _, b := range list {
			balances[b.SKU] = b.Stock
		}
		found, err := s.ListShortages(background, false, nil)
		require.NoError(r, err)
		missing := map[string]int64{}
		for _, x := range found.Parts {
			missing[x.SKU] = int64(x.Missing)
		}
		for _, sku := range skus {
			assert.Equal(r, quoting.Stock{Counted: counted[sku], OnHand: quoting.Thousandths(hand[sku]), Reserved: quoting.Thousandths(aside[sku])}, balances[sku], sku)
			want := int64(0)
			if counted[sku] {
				want = max(0, aside[sku]-hand[sku])
			}
			assert.Equal(r, want, missing[sku], sku)
		}
	})
}

// took is a quote that took some of a part.
type took struct {
	ref  quoting.Ref
	sku  string
	n    int64
	gone bool
}

// accepted makes a quote and accepts it; of its parts it takes one alone.
func (s shop) accepted(t *rapid.T, id, sku string, n int64) *took {
	made, err := s.Create(background, quoting.Request{ID: "c" + id}, lamp)
	require.NoError(t, err)
	r, ok := quoting.ParseRef(made.Head.Number)
	require.True(t, ok)
	_, _, err = s.Accept(background, r, 0, quoting.Request{ID: id}, func(quoting.Revision) ([]quoting.Part, error) {
		return []quoting.Part{{SKU: sku, Quantity: big.NewRat(n, 1000).FloatString(3)}}, nil
	})
	require.NoError(t, err)
	return &took{ref: r, sku: sku, n: n}
}

// What to buy is whole units of sale, at the shop's cost, supplier by supplier; what
// open quotes would take counts where it is asked for.
func TestWhatToBuy(t *testing.T) {
	s := newShop(t)
	for _, sku := range []string{"FU-BLD-1", "FU-BLD-2", "CB-18-CU-RD", "OLD-1"} {
		s.count(t, sku, 1500)
	}
	s.move(t,
		quoting.Movement{SKU: "FU-BLD-1", Kind: quoting.Reserve, Quantity: 4000, Number: "2026-00009"},
		quoting.Movement{SKU: "CB-18-CU-RD", Kind: quoting.Reserve, Quantity: 13_700, Number: "2026-00009"},
		quoting.Movement{SKU: "OLD-1", Kind: quoting.Reserve, Quantity: 2000, Number: "2026-00009"},
		quoting.Movement{SKU: "FU-BLD-3", Kind: quoting.Reserve, Quantity: 2000, Number: "2026-00009"}, // never counted
	)
	_, err := s.Create(t.Context(), quoting.Request{ID: "a"}, lamp)
	require.NoError(t, err)
	taken := func(quoting.Revision) ([]quoting.Part, error) {
		return []quoting.Part{{SKU: "FU-BLD-2", Quantity: "2"}, {SKU: "FU-BLD-1", Quantity: "1"}, {SKU: "FU-BLD-4", Quantity: "1"}}, nil
	}
	show := func(found *quoting.Shortages) (parts, suppliers []string) {
		for _, p := range found.Parts {
			parts = append(parts, fmt.Sprintf("%s: %d missing, %d open, buy %d %s for %s from %q", p.SKU, p.Missing, p.Open, p.Order, p.OrderUnit, p.Cost, p.Supplier))
		}
		for _, o := range found.Suppliers {
			suppliers = append(suppliers, fmt.Sprintf("%s: %d for %s", o.Supplier, o.Parts, o.Cost))
		}
		return parts, suppliers
	}
	found, err := s.ListShortages(t.Context(), false, taken)
	require.NoError(t, err)
	parts, suppliers := show(found)
	assert.Equal(t, []string{
		`FU-BLD-1: 2500 missing, 0 open, buy 3 each for 2.01 USD from "Larch Hill Fuse House"`,    // 3 × 0.67
		`CB-18-CU-RD: 12200 missing, 0 open, buy 13 ft for 2.08 USD from "Oxbow Cable Wholesale"`, // 13 × 0.16
		`OLD-1: 500 missing, 0 open, buy 0  for 0  from ""`,
	}, parts)
	assert.Equal(t, []string{"Larch Hill Fuse House: 1 for 2.01 USD", "Oxbow Cable Wholesale: 1 for 2.08 USD", ": 1 for 0 "}, suppliers)
	assert.Equal(t, 1, found.Uncounted)

	found, err = s.ListShortages(t.Context(), true, taken)
	require.NoError(t, err)
	parts, suppliers = show(found)
	assert.Equal(t, []string{
		`FU-BLD-1: 3500 missing, 1000 open, buy 4 each for 2.68 USD from "Larch Hill Fuse House"`,
		`FU-BLD-2: 500 missing, 2000 open, buy 1 each for 0.67 USD from "Larch Hill Fuse House"`,
	}, parts[:2])
	assert.Equal(t, "Larch Hill Fuse House: 2 for 3.35 USD", suppliers[0])
	assert.Equal(t, 2, found.Uncounted)

	_, err = s.Decline(t.Context(), ref(t, "1"), quoting.Request{ID: "b"})
	require.NoError(t, err)
	found, err = s.ListShortages(t.Context(), true, taken)
	require.NoError(t, err)
	assert.Len(t, found.Parts, 3, "a declined quote takes nothing")
}
