package pricing

import (
	"math/big"
	"slices"

	"example.com/lugbook/catalog"
)

// totals sums up the lines under a discount in percent.
func (q *quoter) totals(discountPercent *big.Rat) (*Totals, error) {
	sum := new(big.Int)
	for _, s := range catalog.Sections() {
		sum.Add(sum, q.sums[s])
	}
	discount := halfUp(percentOf(new(big.Rat).SetInt(sum), discountPercent))
	bases := q.bases(discount)
	t := &Totals{
		Parts: q.amount(q.sums[catalog.Parts]), Labour: q.amount(q.sums[catalog.Labour]),
		Supplies: q.amount(q.sums[catalog.Supplies]),
		Discount: q.amount(discount), Taxes: q.taxLines(bases), ProperTermination: q.amount(q.terminationSum()),
	}
	total := sum.Sub(sum, discount)
	for i := range t.Taxes {
		if !t.Taxes[i].Included {
			total.Add(total, t.Taxes[i].Amount.BigInt())
		}
	}
	if err := q.roundToCash(total); err != nil {
		return nil, err
	}
	t.Charges, t.Total = q.amount(q.sums[catalog.Charges]), q.amount(total)
	deposit, err := q.deposit(total)
	if err != nil {
		return nil, err
	}
	t.Deposit = q.amount(deposit)
	if q.shop.Rules.HasNotToExceed {
		share, err := decimal("not to exceed", q.shop.Rules.NotToExceed)
		if err != nil {
			return nil, err
		}
		t.NotToExceed, t.HasNotToExceed = q.amount(halfUp(plus(new(big.Rat).SetInt(total), share))), true
	}
	q.margin(t, bases[catalog.Parts])
	return t, nil
}

// bases gives the sums of the sections less their shares of the discount.
func (q *quoter) bases(discount *big.Int) map[catalog.Section]*big.Int {
	sections := catalog.Sections()
	sums := make([]*big.Int, len(sections))
	for i, s := range sections {
		sums[i] = q.sums[s]
	}
	bases := make(map[catalog.Section]*big.Int, len(sections))
	for i, share := range apportion(discount, sums) {
		bases[sections[i]] = new(big.Int).Sub(sums[i], share)
	}
	return bases
}

// apportion splits a whole in proportion to weights into whole shares that add up
// to it: every share is rounded down, and what is left goes one each to the
// largest remainders, the first of equals. No share exceeds its weight as long as
// the whole does not exceed their sum. Without any weight all shares are 0.
func apportion(whole *big.Int, weights []*big.Int) []*big.Int {
	all := new(big.Int)
	for _, w := range weights {
		all.Add(all, w)
	}
	shares, remainders := make([]*big.Int, len(weights)), make([]*big.Int, len(weights))
	left := new(big.Int).Set(whole)
	byRemainder := make([]int, len(weights))
	for i, w := range weights {
		shares[i], remainders[i], byRemainder[i] = new(big.Int), new(big.Int), i
		if all.Sign() > 0 {
			shares[i].DivMod(new(big.Int).Mul(whole, w), all, remainders[i])
		}
		left.Sub(left, shares[i])
	}
	if all.Sign() <= 0 {
		return shares
	}
	slices.SortStableFunc(byRemainder, func(a, b int) int { return remainders[b].Cmp(remainders[a]) })
	for _, i := range byRemainder[:left.Int64()] {
		shares[i].Add(shares[i], big.NewInt(1))
	}
	return shares
}

func (q *quoter) terminationSum() *big.Int {
	sum := new(big.Int)
	for i := range q.lines {
		if q.lines[i].Termination {
			sum.Add(sum, q.lines[i].Amount.BigInt())
		}
	}
	return sum
}

// deposit gives what is due on ordering: above the shop's threshold its share of
// the total, at least the parts, at most the total.
func (q *quoter) deposit(total *big.Int) (*big.Int, error) {
	share, err := decimal("deposit share", q.shop.DepositShare)
	if err != nil {
		return nil, err
	}
	over, err := q.limit(q.shop.DepositOver)
	if err != nil {
		return nil, err
	}
	exact := new(big.Rat).SetInt(total)
	if share.Sign() == 0 || exact.Cmp(over) <= 0 {
		return new(big.Int), nil
	}
	due := halfUp(percentOf(exact, share))
	if parts := q.sums[catalog.Parts]; due.Cmp(parts) < 0 {
		due.Set(parts)
	}
	if due.Cmp(total) > 0 {
		due.Set(total)
	}
	return due, nil
}

// margin states cost and margin where there are parts and all have a cost.
func (q *quoter) margin(t *Totals, partsBase *big.Int) {
	cost := new(big.Int)
	for i := range q.lines {
		l := &q.lines[i]
		if l.Section != catalog.Parts {
			continue
		}
		if !l.HasCost {
			return
		}
		cost.Add(cost, l.Cost.BigInt())
	}
	if q.count[catalog.Parts] == 0 {
		return
	}
	left := q.withoutTax(partsBase, catalog.Parts)
	t.Cost, t.Margin, t.HasCost = q.amount(cost), q.amount(left.Sub(left, cost)), true
}
