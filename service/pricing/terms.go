package pricing

import (
	"math/big"
	"strings"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// maxDiscountPlaces is how finely a discount may be stated (own choice, no source).
const maxDiscountPlaces = 4

// wholePercent is all of something.
const wholePercent = 100

// maxTripKm is farther than any shop drives (own choice, no source).
const maxTripKm = 10_000

// read gives the discount in percent, 0 where none is given, and the way in km, nil
// where nobody drives; or every fault of the terms.
func (t Terms) read(shop *catalog.Shop) (discount, km *big.Rat, err error) {
	var bad design.Violations
	discount, bad = t.discount(shop)
	if t.Mobile {
		km = new(big.Rat)
	}
	if t.Mobile && t.TripKm != "" {
		var ok bool
		km, ok = parseDecimal(t.TripKm)
		switch {
		case !ok:
			bad = append(bad, design.Violation{Field: "terms.trip_km", Code: "decimal", Figures: []electrical.Figure{
				electrical.Name("given", t.TripKm), electrical.Num("places", maxDiscountPlaces, electrical.UnitCount)}})
		case km.Sign() < 0 || km.Cmp(big.NewRat(maxTripKm, 1)) > 0:
			bad = append(bad, design.Violation{Field: "terms.trip_km", Code: "range", Figures: []electrical.Figure{
				electrical.Num("given", nearest(km), electrical.UnitFactor), electrical.Num("low", 0, electrical.UnitFactor), electrical.Num("high", maxTripKm, electrical.UnitFactor)}})
		}
	}
	if len(bad) > 0 {
		return nil, nil, bad
	}
	return discount, km, nil
}

// discount gives the discount in percent, 0 where none is given, and its faults.
func (t Terms) discount(shop *catalog.Shop) (*big.Rat, design.Violations) {
	if t.DiscountPercent == "" {
		return new(big.Rat), nil
	}
	var bad design.Violations
	most := big.NewRat(wholePercent, 1)
	limit, limited := shop.Rules.DiscountLimits[t.Caller]
	if limited {
		var err error
		if most, err = decimal("discount limit", limit); err != nil {
			most, limited = big.NewRat(wholePercent, 1), false // not reached: the catalog read a number
		}
	}
	percent, ok := parseDecimal(t.DiscountPercent)
	switch {
	case !ok:
		bad = append(bad, design.Violation{Field: "terms.discount_percent", Code: "decimal",
			Figures: []electrical.Figure{electrical.Name("given", t.DiscountPercent), electrical.Num("places", maxDiscountPlaces, electrical.UnitCount)}})
	case percent.Sign() < 0 || percent.Cmp(big.NewRat(wholePercent, 1)) > 0:
		bad = append(bad, design.Violation{Field: "terms.discount_percent", Code: "range",
			Figures: []electrical.Figure{electrical.Num("given", nearest(percent), electrical.UnitPercent),
				electrical.Num("low", 0, electrical.UnitPercent), electrical.Num("high", wholePercent, electrical.UnitPercent)}})
	case limited && percent.Cmp(most) > 0:
		bad = append(bad, design.Violation{Field: "terms.discount_percent", Code: "discount_limit",
			Figures: []electrical.Figure{electrical.Num("given", nearest(percent), electrical.UnitPercent), electrical.Num("high", limit, electrical.UnitPercent)}})
	}
	if ok && percent.Sign() > 0 && strings.TrimSpace(t.DiscountReason) == "" {
		bad = append(bad, design.Violation{Field: "terms.discount_reason", Code: "required"})
	}
	return percent, bad
}

// parseDecimal reads digits with an optional leading minus and at most one
// point: no exponent and no fraction, which big.Rat would take.
func parseDecimal(text string) (*big.Rat, bool) {
	const maxBytes = 20
	whole, places, _ := strings.Cut(strings.TrimPrefix(text, "-"), ".")
	if whole == "" || len(text) > maxBytes || len(places) > maxDiscountPlaces || strings.Trim(whole+places, "0123456789") != "" {
		return nil, false
	}
	return new(big.Rat).SetString(text)
}
