package pricing

import (
	"fmt"
	"math/big"
	"strconv"

	"github.com/bojanz/currency"
)

// purse converts between the amounts of one currency and whole numbers of its
// minor unit, in which sums are kept: the currency library cuts quotients at 19
// or 39 digits, which would round twice.
type purse struct {
	code  string
	minor *big.Rat // minor units in one unit: 100 for the dollar, 1 for the yen
}

func purseOf(code string) (purse, error) {
	digits, ok := currency.GetDigits(code)
	if !ok {
		return purse{}, fmt.Errorf("currency %q: %w", code, ErrUnpriceable)
	}
	scale := new(big.Int).Exp(big.NewInt(10), big.NewInt(int64(digits)), nil)
	return purse{code, new(big.Rat).SetInt(scale)}, nil
}

// amount gives so many minor units as an amount.
func (p purse) amount(minor *big.Int) currency.Amount {
	a, err := currency.NewAmountFromBigInt(minor, p.code)
	if err != nil {
		return currency.Amount{} // not reached: purseOf knows the currency
	}
	return a
}

// exact gives an amount in minor units, with the fraction where it has one.
func (p purse) exact(a currency.Amount) (*big.Rat, error) {
	r, ok := new(big.Rat).SetString(a.Number())
	if !ok || a.CurrencyCode() != p.code {
		return nil, fmt.Errorf("amount %q is not in %s: %w", a, p.code, ErrUnpriceable)
	}
	return r.Mul(r, p.minor), nil
}

// limit is exact for an amount that a shop may leave out, which is 0 then.
func (p purse) limit(a currency.Amount) (*big.Rat, error) {
	if a.Equal(currency.Amount{}) {
		return new(big.Rat), nil
	}
	return p.exact(a)
}

// halfUp rounds a fraction to the nearest whole number, halves upwards.
func halfUp(r *big.Rat) *big.Int {
	return floor(new(big.Rat).Add(r, big.NewRat(1, 2)))
}

func floor(r *big.Rat) *big.Int {
	return new(big.Int).Div(r.Num(), r.Denom()) // Euclidean; the denominator is positive
}

func ceil(r *big.Rat) *big.Int {
	up := floor(new(big.Rat).Neg(r))
	return up.Neg(up)
}

// upTo rounds a fraction up to the next whole multiple of 1/parts.
func upTo(r *big.Rat, parts int64) *big.Rat {
	n := ceil(new(big.Rat).Mul(r, big.NewRat(parts, 1)))
	return new(big.Rat).SetFrac(n, big.NewInt(parts))
}

// percentOf gives a percentage of a fraction.
func percentOf(r, percent *big.Rat) *big.Rat {
	share := new(big.Rat).Mul(r, percent)
	return share.Quo(share, big.NewRat(wholePercent, 1))
}

// plus gives a fraction with a percentage added.
func plus(r, percent *big.Rat) *big.Rat {
	return percentOf(r, new(big.Rat).Add(percent, big.NewRat(wholePercent, 1)))
}

// decimal gives the number that a float64 was written as: the shortest decimal
// that names it.
func decimal[T ~float64](what string, v T) (*big.Rat, error) {
	r, ok := new(big.Rat).SetString(strconv.FormatFloat(float64(v), 'f', -1, 64))
	if !ok {
		return nil, fmt.Errorf("%s %v is not a number: %w", what, v, ErrUnpriceable)
	}
	return r, nil
}

// nearest gives a fraction as the nearest float64, for figures only.
func nearest(r *big.Rat) float64 {
	v, _ := r.Float64()
	return v
}

// text writes a fraction that is a finite decimal, without trailing zeros.
func text(r *big.Rat) string {
	places, _ := r.FloatPrec()
	return r.FloatString(places)
}
