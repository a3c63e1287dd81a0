package catalog

import (
	"reflect"
	"slices"

	"example.com/lugbook/api/quantity"

	"github.com/bojanz/currency"
)

// Difference is what a new revision of a catalog changes, for the person who is about
// to bring it into force. Lists are sorted.
type Difference struct {
	Parts, Operations, Vehicles Changes
	// Prices is the parts whose price of one piece or one metre moves.
	Prices []PriceMove
	// Shop tells that the shop's own rules change.
	Shop bool
}

// Changes is SKUs, codes or ids.
type Changes struct{ Added, Changed, Withdrawn []string }

// None tells that nothing changes.
func (c Changes) None() bool { return len(c.Added)+len(c.Changed)+len(c.Withdrawn) == 0 }

// PriceMove is one price that moves.
type PriceMove struct {
	SKU      string
	Old, New currency.Amount // per unit of sale, which may have changed too
	// Percent is by how much the price of one piece or one metre rises, below 0 where
	// it falls. The two prices are not in one currency where HasPercent is false.
	Percent    quantity.Percent
	HasPercent bool
}

// None tells that the two catalogs are alike.
func (d *Difference) None() bool {
	return d.Parts.None() && d.Operations.None() && d.Vehicles.None() && !d.Shop
}

// Compare tells what a new catalog changes against an old one.
func Compare(before, after *Catalog) *Difference {
	d := &Difference{Shop: !reflect.DeepEqual(before.Shop, after.Shop)}
	was, is := before.entries(), after.entries()
	d.Parts = changes(was, is)
	d.Operations = changes(byName(before.Operations, func(o *Operation) string { return o.Code }), byName(after.Operations, func(o *Operation) string { return o.Code }))
	d.Vehicles = changes(byName(before.Vehicles, func(v *Vehicle) string { return v.ID }), byName(after.Vehicles, func(v *Vehicle) string { return v.ID }))
	for _, sku := range d.Parts.Changed {
		if move, ok := priceMove(was[sku].common(), is[sku].common()); ok {
			d.Prices = append(d.Prices, move)
		}
	}
	return d
}

func byName[T any](items []T, name func(*T) string) map[string]*T {
	all := make(map[string]*T, len(items))
	for i := range items {
		all[name(&items[i])] = &items[i]
	}
	return all
}

// changes compares what stands under each name.
func changes[T any](before, after map[string]T) Changes {
	var c Changes
	for name, was := range before {
		is, ok := after[name]
		switch {
		case !ok:
			c.Withdrawn = append(c.Withdrawn, name)
		case !reflect.DeepEqual(was, is):
			c.Changed = append(c.Changed, name)
		}
	}
	for name := range after {
		if _, ok := before[name]; !ok {
			c.Added = append(c.Added, name)
		}
	}
	slices.Sort(c.Added)
	slices.Sort(c.Changed)
	slices.Sort(c.Withdrawn)
	return c
}

// priceMove compares the prices of one piece or one metre.
func priceMove(was, is *Part) (PriceMove, bool) {
	alike := was.Price.CurrencyCode() == is.Price.CurrencyCode()
	if alike && was.UnitNano == is.UnitNano {
		return PriceMove{}, false
	}
	m := PriceMove{SKU: is.SKU, Old: was.Price, New: is.Price}
	if alike && was.UnitNano > 0 {
		m.Percent, m.HasPercent = quantity.Percent(float64(is.UnitNano-was.UnitNano)/float64(was.UnitNano)*100), true
	}
	return m, true
}
