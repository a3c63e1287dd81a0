package quoting

import (
	"cmp"
	"context"
	"slices"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/pricing"

	"github.com/bojanz/currency"
)

// Shortages is what the shop lacks, and what it has to buy.
type Shortages struct {
	// Parts is what is short, by supplier and then SKU; parts without a supplier come
	// last.
	Parts []ShortPart
	// Suppliers is each supplier of Parts once, in that order.
	Suppliers []SupplierOrder
	// Uncounted is how many parts are wanted whose stock is not counted.
	Uncounted int
}

// ShortPart is a part of which more is wanted than is on hand.
type ShortPart struct {
	PartStock
	Open     Thousandths // what open quotes would take
	Missing  Thousandths // above 0
	Supplier string      // empty: not stated
	// Order is how many whole units of sale cover what is missing; 0 where the catalog
	// has the part no longer. OrderUnit is that unit.
	Order     int64
	OrderUnit pricing.Unit
	Cost      currency.Amount // of Order, with HasCost
	HasCost   bool
}

// SupplierOrder is what to buy from one supplier.
type SupplierOrder struct {
	Supplier string // empty: the parts without one
	Parts    int
	Cost     currency.Amount // with HasCost: that of every part is known
	HasCost  bool
}

// ListShortages sets what accepted quotes have set aside, and where asked for what the
// open ones would take, against what is on hand. partsOf reads the parts of a revision
// from what it keeps.
func (s *Service) ListShortages(ctx context.Context, withOpen bool, partsOf func(Revision) ([]Part, error)) (*Shortages, error) {
	at := s.clock()
	var balances []Balance
	open := map[string]Thousandths{}
	err := s.store.View(ctx, func(r Reader) error {
		var err error
		if balances, err = r.Stocks(nil); err != nil || !withOpen {
			return err
		}
		open, err = openNeeds(r, at, partsOf)
		return err
	})
	if err != nil {
		return nil, err
	}
	return shortagesOf(s.Current().Catalog(), balances, open)
}

// openPage is how many open quotes are looked at at a time.
const openPage = 200

// openNeeds gives by SKU what the open quotes would set aside.
func openNeeds(r Reader, at time.Time, partsOf func(Revision) ([]Part, error)) (map[string]Thousandths, error) {
	needs := map[string]Thousandths{}
	f := Filter{States: []StateAt{Open.in(at)}, Limit: openPage}
	for {
		heads, err := r.Heads(f)
		if err != nil || len(heads) == 0 {
			return needs, err
		}
		for _, h := range heads {
			revision, err := r.Revision(h.Number, h.Revision)
			if err != nil {
				return nil, err
			}
			parts, err := summed(partsOf, revision)
			if err != nil {
				return nil, err
			}
			for _, p := range parts {
				needs[p.SKU] += p.thousandths()
			}
		}
		f.BeforeRunning = heads[len(heads)-1].Running
	}
}

// shortagesOf works out what is short of what.
func shortagesOf(cat *catalog.Catalog, balances []Balance, open map[string]Thousandths) (*Shortages, error) {
	out := &Shortages{}
	counted := map[string]bool{}
	for _, b := range balances {
		wanted := b.Reserved + open[b.SKU]
		counted[b.SKU] = b.Counted
		if missing := wanted - b.OnHand; b.Counted && missing > 0 {
			short, err := shortPart(cat, ShortPart{PartStock: partStock(cat, b), Open: open[b.SKU], Missing: missing})
			if err != nil {
				return nil, err
			}
			out.Parts = append(out.Parts, short)
		}
		if !b.Counted && b.Reserved > 0 && open[b.SKU] == 0 {
			out.Uncounted++
		}
	}
	for sku, quantity := range open {
		if !counted[sku] && quantity > 0 {
			out.Uncounted++
		}
	}
	slices.SortFunc(out.Parts, func(a, b ShortPart) int { return cmp.Or(bySupplier(a.Supplier, b.Supplier), cmp.Compare(a.SKU, b.SKU)) })
	var err error
	out.Suppliers, err = orders(out.Parts)
	return out, err
}

// bySupplier orders suppliers by name, and none last.
func bySupplier(a, b string) int {
	if (a == "") != (b == "") {
		return cmp.Compare(b, a)
	}
	return cmp.Compare(a, b)
}

// shortPart adds what to buy.
func shortPart(cat *catalog.Catalog, p ShortPart) (ShortPart, error) {
	part, ok := cat.Part(p.SKU)
	if !ok {
		return p, nil
	}
	p.Supplier, p.OrderUnit = part.Supplier, p.Unit
	unit := int64(1000)
	if part.SoldBy == catalog.ByPack && part.Broken { // sold by the piece, bought by the pack
		p.OrderUnit = pricing.Pack
		unit *= int64(max(1, part.PackQty))
	}
	p.Order = (int64(p.Missing) + unit - 1) / unit
	if !part.HasCost {
		return p, nil
	}
	var err error
	p.Cost, err = pricing.CostOf(&part, p.Order)
	p.HasCost = err == nil
	return p, err
}

// orders gathers by supplier what to buy.
func orders(parts []ShortPart) ([]SupplierOrder, error) {
	var list []SupplierOrder
	for i := range parts {
		p := &parts[i]
		if n := len(list); n == 0 || list[n-1].Supplier != p.Supplier {
			list = append(list, SupplierOrder{Supplier: p.Supplier, Parts: 1, Cost: p.Cost, HasCost: p.HasCost})
			continue
		}
		o := &list[len(list)-1]
		o.Parts++
		if o.HasCost = o.HasCost && p.HasCost; !o.HasCost {
			continue
		}
		var err error
		if o.Cost, err = o.Cost.Add(p.Cost); err != nil {
			return nil, err
		}
	}
	return list, nil
}
