package pricing

import (
	"math/big"
	"strings"

	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// maxDiscountPlaces is how finely a discount may be stated (own choice, no source).
const maxDiscountPlaces = 4

// wholePercent is all of something.
const wholePercent = 100

// discount gives the discount in percent, 0 where none is given, or every fault
// of the terms.
func (t Terms) discount() (*big.Rat, error) {
	if t.DiscountPercent == "" {
		return new(big.Rat), nil
	}
	var bad design.Violations
	percent, ok := parseDiscount(t.DiscountPercent)
	switch {
	case !ok:
		bad = append(bad, design.Violation{Field: "terms.discount_percent", Code: "decimal",
			Figures: []electrical.Figure{electrical.Name("given", t.DiscountPercent), electrical.Num("places", maxDiscountPlaces, electrical.UnitCount)}})
	case percent.Sign() < 0 || percent.Cmp(big.NewRat(wholePercent, 1)) > 0:
		bad = append(bad, design.Violation{Field: "terms.discount_percent", Code: "range",
			Figures: []electrical.Figure{electrical.Num("given", nearest(percent), electrical.UnitPercent),
				electrical.Num("low", 0, electrical.UnitPercent), electrical.Num("high", wholePercent, electrical.UnitPercent)}})
	}
	if ok && percent.Sign() > 0 && strings.TrimSpace(t.DiscountReason) == "" {
		bad = append(bad, design.Violation{Field: "terms.discount_reason", Code: "required"})
	}
	if len(bad) > 0 {
		return nil, bad
	}
	return percent, nil
}

// parseDiscount reads digits with an optional leading minus and at most one
// point: no exponent and no fraction, which big.Rat would take.
func parseDiscount(text string) (*big.Rat, bool) {
	const maxBytes = 20
	whole, places, _ := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	if whole == "" || len(text) > maxBytes || len(places) > maxDiscountPlaces || strings.Trim(whole+places, "0123456789") != "" {
		return nil, false
	}
	return new(big.Rat).SetString(text)
}
