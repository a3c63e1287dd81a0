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

// The exact length of a foot in metres (international yard and pound agreement, 1959).
var footInMetres = big.NewRat(3048, 10000)

// unitNano gives the price of one piece or one metre in billionths of the
// currency unit: exact arithmetic, rounded half up once.
func unitNano(price currency.Amount, by SoldBy, packQty int) int64 {
	if nano, ok := plainNano(price.Number()); ok && (by == Each || by == ByMetre) {
		return nano
	}
	r := exact(price)
	switch {
	case by == ByFoot:
		r.Quo(r, footInMetres)
	case by == ByPack && packQty > 1:
		r.Quo(r, big.NewRat(int64(packQty), 1))
	}
	return scaled(r, 1_000_000_000)
}

// plainNano gives a plain decimal of at most nine places in billionths; false for any
// other. It spares most parts of a large catalog the fractions.
func plainNano(text string) (int64, bool) {
	const places, most = 9, 16 // maxAmount in billionths has sixteen digits
	whole, part, _ := strings.Cut(text, ".")
	if len(part) > places || len(whole)+places > most {
		return 0, false
	}
	nano := int64(0)
	for i := range len(whole) + places {
		digit := byte('0')
		switch {
		case i < len(whole):
			digit = whole[i]
		case i-len(whole) < len(part):
			digit = part[i-len(whole)]
		}
		if digit < '0' || digit > '9' {
			return 0, false
		}
		nano = 10*nano + int64(digit-'0')
	}
	return nano, true
}

// dearer tells that an amount is more than another of the same currency.
func dearer(a, b currency.Amount) bool {
	x, fine := plainNano(a.Number())
	y, plain := plainNano(b.Number())
	if fine && plain {
		return x > y
	}
	return exact(a).Cmp(exact(b)) > 0
}

// scaled gives a non-negative fraction times a scale, rounded half up.
func scaled(r *big.Rat, scale int64) int64 {
	num := new(big.Int).Mul(r.Num(), big.NewInt(2*scale))
	num.Add(num, r.Denom())
	return num.Div(num, new(big.Int).Lsh(r.Denom(), 1)).Int64()
}
