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
