package pricing_test

import (
	"math/big"
	"slices"
	"strconv"
	"testing"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
)

// rat reads an exact decimal.
func rat(t require.TestingT, text string) *big.Rat {
	r, ok := new(big.Rat).SetString(text)
	require.True(t, ok, text)
	return r
}

// minor gives an amount in minor units, and fails where it has a fraction of one.
func minor(t require.TestingT, a currency.Amount) *big.Rat {
	digits, ok := currency.GetDigits(a.CurrencyCode())
	require.True(t, ok, a)
	r := rat(t, a.Number())
	for range digits {
		r.Mul(r, big.NewRat(10, 1))
	}
	require.True(t, r.IsInt(), "%s has a fraction of the minor unit", a)
	return r
}

// roundsHalfUp fails unless rounded is the one whole number with
// exact − 1/2 < rounded ≤ exact + 1/2.
func roundsHalfUp(t require.TestingT, rounded, exact *big.Rat, what string) {
	off := new(big.Rat).Sub(rounded, exact)
	half := big.NewRat(1, 2)
	require.True(t, rounded.IsInt() && off.Cmp(half) <= 0 && off.Cmp(new(big.Rat).Neg(half)) > 0, "%s: %s is not %s rounded half up", what, rounded, exact)
}

func mul(a, b *big.Rat) *big.Rat { return new(big.Rat).Mul(a, b) }
func add(a, b *big.Rat) *big.Rat { return new(big.Rat).Add(a, b) }
func sub(a, b *big.Rat) *big.Rat { return new(big.Rat).Sub(a, b) }
func quo(a, b *big.Rat) *big.Rat { return new(big.Rat).Quo(a, b) }

var hundred = big.NewRat(100, 1)

func sumOf(t require.TestingT, q *pricing.Quote, counts func(pricing.Line) bool) *big.Rat {
	sum := new(big.Rat)
	for _, l := range q.Lines {
		if counts(l) {
			sum.Add(sum, minor(t, l.Amount))
		}
	}
	return sum
}

func TestEveryLineIsQuantityTimesUnitPriceRoundedOnce(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		q := anyJob().Draw(t, "job").price(t)
		for _, l := range q.Lines {
			exact := mul(rat(t, l.Quantity), minor(t, l.UnitPrice))
			if l.Unit == pricing.Percent {
				exact = quo(exact, hundred)
			}
			roundsHalfUp(t, minor(t, l.Amount), exact, l.ID)
		}
	})
}

func TestTotalIsTheLinesLessDiscountPlusAddedTaxes(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Draw(t, "job")
		q := j.price(t)
		for section, stated := range map[catalog.Section]currency.Amount{catalog.Parts: q.Totals.Parts, catalog.Labour: q.Totals.Labour,
			catalog.Supplies: q.Totals.Supplies, catalog.Charges: q.Totals.Charges} {
			sum := sumOf(t, q, func(l pricing.Line) bool { return l.Section == section })
			require.Zero(t, sum.Cmp(minor(t, stated)), section)
		}
		lines := sumOf(t, q, func(pricing.Line) bool { return true })
		discount := minor(t, q.Totals.Discount)
		roundsHalfUp(t, discount, quo(mul(lines, rat(t, j.terms.DiscountPercent)), hundred), "discount")

		total := sub(lines, discount)
		for _, tax := range q.Totals.Taxes {
			if !tax.Included {
				total.Add(total, minor(t, tax.Amount))
			}
		}
		require.Zero(t, total.Cmp(minor(t, q.Totals.Total)))
		proper := sumOf(t, q, func(l pricing.Line) bool { return l.Termination })
		require.Zero(t, proper.Cmp(minor(t, q.Totals.ProperTermination)))
	})
}

// The first four tax components of a drawn shop are on one section each.
func TestTaxBasesAddUpByLargestRemainder(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Filter(func(j job) bool { return !j.terms.TaxExempt }).Draw(t, "job")
		q := j.price(t)
		lines, discount := sumOf(t, q, func(pricing.Line) bool { return true }), minor(t, q.Totals.Discount)
		if lines.Sign() == 0 {
			return
		}
		taken, kept := []*big.Rat{}, []*big.Rat{} // remainders of the sections that bear one more, and of those that don't
		left := new(big.Rat).Set(discount)
		for i, section := range catalog.Sections() {
			sum := sumOf(t, q, func(l pricing.Line) bool { return l.Section == section })
			base := minor(t, q.Totals.Taxes[i].Base)
			require.GreaterOrEqual(t, base.Sign(), 0)
			exact, share := quo(mul(discount, sum), lines), sub(sum, base)
			left.Sub(left, share)
			switch above := sub(share, exact); {
			case above.Sign() <= 0:
				require.Negative(t, sub(exact, share).Cmp(big.NewRat(1, 1)))
				kept = append(kept, sub(exact, share))
			default:
				require.Negative(t, above.Cmp(big.NewRat(1, 1)))
				taken = append(taken, sub(big.NewRat(1, 1), above))
			}
		}
		require.Zero(t, left.Sign(), "the shares add up to the discount")
		if len(taken) > 0 && len(kept) > 0 {
			require.GreaterOrEqual(t, slices.MinFunc(taken, (*big.Rat).Cmp).Cmp(slices.MaxFunc(kept, (*big.Rat).Cmp)), 0)
		}
	})
}

func TestTaxesHoldToTheMinorUnit(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Draw(t, "job")
		q := j.price(t)
		shop := &j.cat.Shop
		if j.terms.TaxExempt && !shop.PricesIncludeTax {
			require.Empty(t, q.Totals.Taxes)
			return
		}
		require.Len(t, q.Totals.Taxes, len(shop.Taxes))
		for i, tax := range shop.Taxes {
			got := q.Totals.Taxes[i]
			require.Equal(t, shop.PricesIncludeTax && !j.terms.TaxExempt, got.Included)
			exact, base := new(big.Rat), new(big.Rat)
			for k, section := range catalog.Sections() {
				if !slices.Contains(tax.On, section) {
					continue
				}
				of := minor(t, q.Totals.Taxes[k].Base)
				over := hundred
				if shop.PricesIncludeTax {
					over = add(hundred, rat(t, shop.Taxes[k].RatePercent))
					if slices.Contains(shop.Taxes[4].On, section) {
						over = add(over, rat(t, shop.Taxes[4].RatePercent))
					}
				}
				base, exact = add(base, of), add(exact, quo(mul(of, rat(t, tax.RatePercent)), over))
			}
			require.Zero(t, base.Cmp(minor(t, got.Base)), tax.Label)
			amount := minor(t, got.Amount)
			if j.terms.TaxExempt {
				amount.Neg(amount)
			}
			roundsHalfUp(t, amount, exact, tax.Label)
		}
	})
}

func TestDepositIsAPartOfTheTotal(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Draw(t, "job")
		q := j.price(t)
		deposit, total, parts := minor(t, q.Totals.Deposit), minor(t, q.Totals.Total), minor(t, q.Totals.Parts)
		if total.Cmp(minor(t, j.cat.Shop.DepositOver)) <= 0 || j.cat.Shop.DepositShare == 0 {
			require.Zero(t, deposit.Sign())
			return
		}
		require.LessOrEqual(t, deposit.Cmp(total), 0)
		if deposit.Cmp(total) < 0 {
			require.GreaterOrEqual(t, deposit.Cmp(parts), 0, "the parts are covered")
			if deposit.Cmp(parts) > 0 {
				share := rat(t, strconv.FormatFloat(float64(j.cat.Shop.DepositShare), 'f', -1, 64))
				roundsHalfUp(t, deposit, quo(mul(total, share), hundred), "deposit")
			}
		}
	})
}

func TestMarginIsThePartsLessDiscountTaxAndCost(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Filter(func(j job) bool { return !j.cat.Shop.PricesIncludeTax && !j.terms.TaxExempt }).Draw(t, "job")
		q := j.price(t)
		require.Equal(t, len(only(q, catalog.Parts)) > 0, q.Totals.HasCost)
		if !q.Totals.HasCost {
			return
		}
		cost := new(big.Rat)
		for _, l := range only(q, catalog.Parts) {
			cost.Add(cost, minor(t, l.Cost))
			require.Zero(t, sub(minor(t, l.Amount), minor(t, l.Cost)).Cmp(minor(t, l.Margin)), l.ID)
		}
		require.Zero(t, cost.Cmp(minor(t, q.Totals.Cost)))
		partsBase := minor(t, q.Totals.Taxes[0].Base)
		require.Zero(t, sub(partsBase, cost).Cmp(minor(t, q.Totals.Margin)))
	})
}

func TestQuantitiesCoverTheDesignAndNoMoreThanAStep(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Draw(t, "job")
		shop := &j.cat.Shop
		foot, allowed := rat(t, "0.3048"), add(big.NewRat(1, 1), quo(rat(t, strconv.FormatFloat(float64(shop.Allowances.Waste), 'f', -1, 64)), hundred))
		for _, l := range j.price(t).Lines {
			if l.WhyCode != "why.cable" {
				continue
			}
			c, err := strconv.Atoi(l.CircuitID)
			require.NoError(t, err)
			millimetres := int64(0)
			for _, r := range j.design.Circuits[c].Runs {
				if r.Conductor.SKU == l.SKU {
					millimetres += max(int64(r.Length*1000+0.5), int64(shop.Allowances.MinimumCut*1000+0.5))
				}
			}
			need, sold, step := mul(big.NewRat(millimetres, 1000), allowed), rat(t, l.Quantity), big.NewRat(1, 10)
			if l.Unit == pricing.Foot {
				sold, step = mul(sold, foot), mul(step, foot)
			}
			over := sub(sold, need)
			require.True(t, over.Sign() >= 0 && over.Cmp(step) < 0, "%s %s sold for %s m", l.Quantity, l.Unit, need)
		}
	})
}

func TestHoursAreTheMinutesToTheNearestStep(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Draw(t, "job")
		work := map[string]int64{}
		count := func(list []catalog.Work) {
			for _, w := range list {
				work[w.Operation.Code] += w.MilliMinutes
			}
		}
		count(j.design.Work)
		for _, c := range j.design.Circuits {
			count(c.Work)
			for _, r := range c.Runs {
				count(r.Ends[0].Plan.Work)
				count(r.Ends[1].Plan.Work)
			}
		}
		steps := big.NewRat(int64(j.cat.Shop.LabourStep), 1)
		for _, l := range only(j.price(t), catalog.Labour) {
			exact := mul(big.NewRat(work[l.Operation], 60_000), steps)
			charged := mul(rat(t, l.Quantity), steps)
			if charged.Cmp(big.NewRat(1, 1)) == 0 {
				require.Negative(t, exact.Cmp(big.NewRat(3, 2)), l.Operation)
			} else {
				roundsHalfUp(t, charged, exact, l.Operation)
			}
			require.Equal(t, electrical.Num("minutes", float64(work[l.Operation])/1000, electrical.UnitMinutes), l.Figures[1])
			delete(work, l.Operation)
		}
		for code, left := range work {
			require.Zero(t, left, "%s is charged", code)
		}
	})
}
