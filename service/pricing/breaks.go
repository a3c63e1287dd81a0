package pricing

import (
	"fmt"
	"math/big"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
)

// priceBreaks gives each part the price that its quantity over the whole job reaches:
// the lines of a part are priced alike, however many circuits they are for. Pieces
// out of broken packs keep their price.
func (q *quoter) priceBreaks() error {
	sums := map[string]*big.Rat{}
	for i, part := range q.sold {
		if len(part.Breaks) == 0 || part.Broken {
			continue
		}
		quantity, ok := new(big.Rat).SetString(q.lines[i].Quantity)
		if !ok {
			return fmt.Errorf("quantity %q of %s: %w", q.lines[i].Quantity, part.SKU, ErrUnpriceable)
		}
		if sums[part.SKU] == nil {
			sums[part.SKU] = new(big.Rat)
		}
		sums[part.SKU].Add(sums[part.SKU], quantity)
	}
	for i, part := range q.sold {
		if sum := sums[part.SKU]; sum != nil {
			if err := q.reprice(&q.lines[i], part.PriceFrom(sum)); err != nil {
				return err
			}
		}
	}
	return nil
}

// reprice gives a line of parts another price.
func (q *quoter) reprice(l *Line, price currency.Amount) error {
	quantity, _ := new(big.Rat).SetString(l.Quantity) // read before
	amount, err := q.times(quantity, price, l.Unit)
	if err != nil {
		return fmt.Errorf("price of %s: %w", l.SKU, err)
	}
	sum := q.sums[catalog.Parts]
	sum.Add(sum.Sub(sum, l.Amount.BigInt()), amount)
	l.UnitPrice, l.Amount = price, q.amount(amount)
	if l.HasCost {
		margin := q.withoutTax(amount, catalog.Parts)
		l.Margin = q.amount(margin.Sub(margin, l.Cost.BigInt()))
	}
	return nil
}

// brokenPack sells pieces out of packs: one costs the pack's price by its pieces,
// rounded half up to the minor unit. The cost is the exact share of the pack's.
func (q *quoter) brokenPack(l Line, u *usage, size int) error {
	packs := new(big.Rat).Quo(u.sum, big.NewRat(int64(size), 1))
	exact, err := q.exact(u.part.Price)
	if err != nil {
		return fmt.Errorf("price of %s: %w", u.part.SKU, err)
	}
	piece := halfUp(exact.Quo(exact, big.NewRat(int64(size), 1)))
	l.Unit, l.WhyCode = Each, "why.broken_pack"
	return q.addPartAt(l, u.sum, u.part, q.amount(piece), packs)
}

// trip adds the drive to the customer: the shop's charge and each started kilometre
// beyond the free ones, as one piece.
func (q *quoter) trip() error {
	if q.tripKm == nil {
		return nil
	}
	charge, err := q.limit(q.shop.Rules.Trip.Charge)
	if err != nil {
		return err
	}
	perKm, err := q.limit(q.shop.Rules.Trip.PerKm)
	if err != nil {
		return err
	}
	beyond := ceil(new(big.Rat).Sub(q.tripKm, big.NewRat(int64(q.shop.Rules.Trip.FreeKm), 1)))
	if beyond.Sign() > 0 {
		charge.Add(charge, perKm.Mul(perKm, new(big.Rat).SetInt(beyond)))
	}
	if charge.Sign() == 0 {
		return nil
	}
	const metresPerKm = 1000
	l := Line{Section: catalog.Charges, Unit: Each, WhyCode: "why.trip",
		Figures: []electrical.Figure{electrical.Num("trip_m", nearest(q.tripKm)*metresPerKm, electrical.UnitM)}}
	return q.add(l, big.NewRat(1, 1), q.amount(halfUp(charge)))
}
