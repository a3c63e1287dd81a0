package pricing

import (
	"fmt"
	"math/big"

	"example.com/lugbook/catalog"

	"github.com/bojanz/currency"
)

// UnitOf gives the unit in which the lines of quotes count a part: its unit of sale,
// and pieces where its packs may be broken.
func UnitOf(p *catalog.Part) Unit {
	switch {
	case p.SoldBy == catalog.ByMetre:
		return Metre
	case p.SoldBy == catalog.ByFoot:
		return Foot
	case p.SoldBy == catalog.ByPack && !p.Broken:
		return Pack
	}
	return Each
}

// UnitsOf lists the units in which a quantity of a part may be stated, its own first.
func UnitsOf(p *catalog.Part) []Unit {
	own := UnitOf(p)
	switch {
	case own == Metre:
		return []Unit{Metre, Foot}
	case own == Foot:
		return []Unit{Foot, Metre}
	case p.SoldBy != catalog.ByPack:
		return []Unit{Each}
	case own == Pack:
		return []Unit{Pack, Each}
	}
	return []Unit{Each, Pack}
}

// InOwnUnit turns a quantity of a part into its own unit, exactly; false where the
// part does not come in the unit.
func InOwnUnit(p *catalog.Part, quantity *big.Rat, unit Unit) (*big.Rat, bool) {
	pieces := big.NewRat(int64(max(1, p.PackQty)), 1)
	switch own := UnitOf(p); {
	case unit == own:
		return quantity, true
	case own == Metre && unit == Foot:
		return new(big.Rat).Mul(quantity, footInMetres), true
	case own == Foot && unit == Metre:
		return new(big.Rat).Quo(quantity, footInMetres), true
	case own == Pack && unit == Each:
		return new(big.Rat).Quo(quantity, pieces), true
	case own == Each && unit == Pack && p.SoldBy == catalog.ByPack:
		return new(big.Rat).Mul(quantity, pieces), true
	}
	return nil, false
}

// CostOf gives what whole units of sale of a part cost the shop, rounded half up to
// the minor unit. The part must have a cost.
func CostOf(p *catalog.Part, units int64) (currency.Amount, error) {
	purse, err := purseOf(p.Cost.CurrencyCode())
	if err != nil {
		return currency.Amount{}, err
	}
	exact, err := purse.exact(p.Cost)
	if err != nil {
		return currency.Amount{}, fmt.Errorf("cost of %s: %w", p.SKU, err)
	}
	return purse.amount(halfUp(exact.Mul(exact, big.NewRat(units, 1)))), nil
}
