package pricing

import (
	"math/big"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// supplies adds the shop supplies: a share of the labour, as a percentage of it,
// or the cap, as one piece, where the share comes to more. A cap of 0 is none.
func (q *quoter) supplies(*design.Design) error {
	share, err := decimal("supplies share", q.shop.SuppliesShare)
	if err != nil {
		return err
	}
	labour := q.sums[catalog.Labour]
	amount := halfUp(percentOf(new(big.Rat).SetInt(labour), share))
	if amount.Sign() <= 0 {
		return nil
	}
	bound, err := q.limit(q.shop.SuppliesCap)
	if err != nil {
		return err
	}
	l := Line{Section: catalog.Supplies, Unit: Percent, WhyCode: "why.supplies",
		Figures: []electrical.Figure{electrical.Num("share_percent", q.shop.SuppliesShare, electrical.UnitPercent)}}
	if bound.Sign() > 0 && new(big.Rat).SetInt(amount).Cmp(bound) > 0 {
		l.Unit = Each
		return q.add(l, big.NewRat(1, 1), q.shop.SuppliesCap)
	}
	return q.add(l, share, q.amount(labour))
}

// charges adds the drive and the minimum of labour.
func (q *quoter) charges(*design.Design) error {
	if err := q.trip(); err != nil {
		return err
	}
	return q.minimumLabour()
}

// minimumLabour makes the labour up to the shop's minimum for a job. A job without any
// labour is a sale over the counter and has no minimum.
func (q *quoter) minimumLabour() error {
	minimum, err := decimal("labour minimum", q.shop.LabourMinimum)
	if err != nil || q.count[catalog.Labour] == 0 {
		return err
	}
	due, err := q.times(minimum, q.shop.LabourRate, Hour)
	if err != nil {
		return err
	}
	lacking := due.Sub(due, q.sums[catalog.Labour])
	if lacking.Sign() <= 0 {
		return nil
	}
	const minutesPerHour = 60
	l := Line{Section: catalog.Charges, Unit: Each, WhyCode: "why.minimum_labour", Figures: []electrical.Figure{
		electrical.Num("minimum_minutes", q.shop.LabourMinimum*minutesPerHour, electrical.UnitMinutes),
		electrical.Num("minutes", q.hours()*minutesPerHour, electrical.UnitMinutes)}}
	return q.add(l, big.NewRat(1, 1), q.amount(lacking))
}

// hours gives the hours of labour charged, for a figure only.
func (q *quoter) hours() float64 {
	sum := 0.0
	for i := range q.lines {
		sum += q.lines[i].Hours
	}
	return sum
}

// roundToCash brings a total to the nearest amount that can be paid in cash, halves up.
// The difference is a line of its own, without tax and discount, so that the total
// stays the sum of the lines.
func (q *quoter) roundToCash(total *big.Int) error {
	step, err := q.limit(q.shop.Rules.CashStep)
	if err != nil || step.Sign() <= 0 {
		return err
	}
	exact := new(big.Rat).SetInt(total)
	steps := new(big.Rat).SetInt(halfUp(new(big.Rat).Quo(exact, step)))
	difference := halfUp(steps.Sub(steps.Mul(steps, step), exact))
	if difference.Sign() == 0 {
		return nil
	}
	if err := q.add(Line{Section: catalog.Charges, Unit: Each, WhyCode: "why.cash_rounding"}, big.NewRat(1, 1), q.amount(difference)); err != nil {
		return err
	}
	q.lines[len(q.lines)-1].Taxable = false
	total.Add(total, difference)
	return nil
}
