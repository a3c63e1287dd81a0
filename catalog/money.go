package catalog

import (
	"fmt"
	"math/big"
	"strings"

	"github.com/bojanz/currency"
)

// purse reads amounts in the one currency of a shop. Without a valid currency
// it still checks the figures, so that all other faults come out at once.
type purse struct {
	code   string
	digits int // decimal places of the currency
}

// purseOf gives the purse of a currency code; false for a code that is none.
func purseOf(code string) (purse, bool) {
	digits, ok := currency.GetDigits(code)
	if !ok {
		return purse{}, false
	}
	return purse{code, int(digits)}, true
}

// maxAmount bounds every amount of a catalog; with it a price in billionths
// stays within int64.
const maxAmount = 1_000_000

// amount reads a plain decimal of the shop's currency. Zero is an amount only
// where it may be.
func (p purse) amount(text string, mayBeZero bool) (a currency.Amount, problem, allowed string) {
	span := above(0, maxAmount, p.code)
	if mayBeZero {
		span = from(0, maxAmount, p.code)
	}
	if _, problem = parseNumber(text, span); problem != "" {
		return currency.Amount{}, problem, span.String()
	}
	if p.code == "" {
		return currency.Amount{}, "", ""
	}
	if _, places, _ := strings.Cut(text, "."); len(places) > p.digits {
		return currency.Amount{}, fmt.Sprintf("%s has %d decimal places", text, len(places)),
			fmt.Sprintf("up to %d for %s", p.digits, p.code)
	}
	if d, _ := parseDecimal(text); d.places == p.digits { // the same figure, sooner
		if a, err := currency.NewAmountFromInt64(d.digits, p.code); err == nil {
			return a, "", ""
		}
	}
	a, err := currency.NewAmount(text, p.code)
	if err != nil {
		return currency.Amount{}, quote(text) + " is not an amount", span.String()
	}
	return a, "", ""
}

// exact gives the amount as a fraction.
func exact(a currency.Amount) *big.Rat {
	r, ok := new(big.Rat).SetString(a.Number())
	if !ok {
		return new(big.Rat)
	}
	return r
}

// exactText gives a plain decimal as a fraction; false where it is none.
func exactText(text string) (*big.Rat, bool) {
	if !plainDecimal(text) {
		return nil, false
	}
	return new(big.Rat).SetString(text)
}

// marked gives a cost with a percentage on it, rounded half up to the minor unit.
func (p purse) marked(cost currency.Amount, percent *big.Rat) currency.Amount {
	r := new(big.Rat).Add(percent, big.NewRat(100, 1))
	r.Quo(r.Mul(r, exact(cost)), big.NewRat(100, 1))
	scale := int64(1)
	for range p.digits {
		scale *= 10
	}
	a, err := currency.NewAmountFromInt64(scaled(r, scale), p.code)
	if err != nil {
		return currency.Amount{} // not reached: the code is a currency's
	}
	return a
}

// A foot is 0.3048 m exactly (international yard and pound agreement, 1959), so what a
// foot costs is this many times as much by the metre: 1250 / 381.
const (
	metresOver  = 1250
	metresUnder = 381
)

// unitNano gives the price of one piece or one metre in billionths of the currency
// unit, of a price as it is written: exact arithmetic, rounded half up once. It does
// not overflow, since maxAmount bounds the price.
func unitNano(price string, by SoldBy, packQty int) int64 {
	nano := nanoOf(price)
	switch {
	case by == ByFoot:
		return (2*metresOver*nano + metresUnder) / (2 * metresUnder)
	case by == ByPack && packQty > 1:
		q := int64(packQty)
		return (2*nano + q) / (2 * q)
	}
	return nano
}

// nanoOf gives an amount that the purse took in billionths of the currency unit. No
// currency has nearly as many places.
func nanoOf(amount string) int64 {
	d, _ := parseDecimal(amount)
	nano, _ := d.nano()
	return nano
}

// scaled gives a non-negative fraction times a scale, rounded half up.
func scaled(r *big.Rat, scale int64) int64 {
	num := new(big.Int).Mul(r.Num(), big.NewInt(2*scale))
	num.Add(num, r.Denom())
	return num.Div(num, new(big.Int).Lsh(r.Denom(), 1)).Int64()
}
