package pricing

import (
	"fmt"
	"math/big"
	"slices"

	"example.com/lugbook/catalog"
)

// tax is a tax component with its rate read.
type tax struct {
	*catalog.Tax
	rate *big.Rat // percent
}

func taxesOf(shop []catalog.Tax) ([]tax, error) {
	taxes := make([]tax, len(shop))
	for i := range shop {
		rate, ok := new(big.Rat).SetString(shop[i].RatePercent)
		if !ok || rate.Sign() < 0 {
			return nil, fmt.Errorf("tax %s of %q percent: %w", shop[i].Label, shop[i].RatePercent, ErrUnpriceable)
		}
		taxes[i] = tax{&shop[i], rate}
	}
	return taxes, nil
}

func (t tax) on(s catalog.Section) bool { return slices.Contains(t.On, s) }

// contained gives what part of a price of a section is net of tax or one
// component: percent/(100 + the rates of all components on the section).
func (q *quoter) contained(percent *big.Rat, s catalog.Section) *big.Rat {
	all := big.NewRat(wholePercent, 1)
	for _, t := range q.taxes {
		if t.on(s) {
			all.Add(all, t.rate)
		}
	}
	return all.Quo(percent, all)
}

// withoutTax gives a price of a section without the tax it contains, rounded half
// up; where prices do not include tax, as it is.
func (q *quoter) withoutTax(price *big.Int, s catalog.Section) *big.Int {
	if !q.shop.PricesIncludeTax {
		return new(big.Int).Set(price)
	}
	r := new(big.Rat).SetInt(price)
	return halfUp(r.Mul(r, q.contained(big.NewRat(wholePercent, 1), s)))
}

// taxLines gives the taxes on the bases: added, contained, or, for an exempt
// customer whose prices contain them, taken off.
func (q *quoter) taxLines(bases map[catalog.Section]*big.Int) []TaxLine {
	included := q.shop.PricesIncludeTax
	if q.exempt && !included {
		return nil
	}
	var lines []TaxLine
	for _, t := range q.taxes {
		base, exact := new(big.Int), new(big.Rat)
		for _, s := range catalog.Sections() {
			if !t.on(s) {
				continue
			}
			base.Add(base, bases[s])
			share := new(big.Rat).Quo(t.rate, big.NewRat(wholePercent, 1))
			if included {
				share = q.contained(t.rate, s)
			}
			exact.Add(exact, share.Mul(share, new(big.Rat).SetInt(bases[s])))
		}
		amount := halfUp(exact)
		if q.exempt {
			amount.Neg(amount)
		}
		lines = append(lines, TaxLine{Label: t.Label, RatePercent: t.RatePercent, Base: q.amount(base), Amount: q.amount(amount), Included: included && !q.exempt})
	}
	return lines
}
