package quoting

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"math/big"
	"slices"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"

	"github.com/bojanz/currency"
)

// Shelf is what the shop has of the parts of a quote when it is made.
type Shelf struct {
	// Unknown tells that it could not be looked up; all else is empty then.
	Unknown bool
	// Stock holds the parts of the quote whose stock is counted, by SKU.
	Stock map[string]Stock
	// Short lists the parts of which the quote takes more than is free, by SKU.
	Short []Short
	// Way is the job without the parts that are short; nil where none of them can be
	// done without, or none is short.
	Way *Way
}

// Short is a part of which a quote takes more than is free.
type Short struct {
	PartStock
	Needed  Thousandths // by all lines together
	Missing Thousandths // above 0
	// Substitute takes its place in Way on most lines; nil where it stays, or no one
	// part does.
	Substitute *catalog.Part
	// Replaced tells that Way does without it.
	Replaced bool
}

// Way is a job built without parts that are short. It passes every rule, since it is
// designed as any other from a catalog that lacks them.
type Way struct {
	Design            *design.Design
	Price             *pricing.Quote
	Total, Difference currency.Amount // to the customer; Difference is below 0 where it is cheaper
	// Complete tells that nothing in it is short.
	Complete bool

	was, now map[role]*catalog.Part
	short    map[string]Thousandths
}

// Substitute gives the part that takes the place of another on a circuit, on any for
// the empty one; false where it is still there, or none that is on hand does.
func (w *Way) Substitute(sku, circuit string) (*catalog.Part, bool) {
	for _, p := range placesOf(sku, circuit, w.was, w.now) {
		if p.SKU != sku && w.short[p.SKU] == 0 {
			return p, true
		}
	}
	return nil, false
}

// onShelf looks up what there is of the parts of a preview and, where some are short,
// what would do in their place. What is set aside for the quote of the number, which
// may be empty, counts as free.
func (s *Service) onShelf(ctx context.Context, p *Preview, job Job, number string) error {
	needs, err := needsOf(p.Price)
	if err != nil {
		return err
	}
	if s.unmade() {
		return nil
	}
	stock, err := s.stockFor(ctx, needs, number)
	switch {
	case errors.Is(err, ErrNoStore):
		return nil
	case ctx.Err() != nil:
		return ctx.Err()
	case err != nil: // a price is worth having without it
		p.Shelf.Unknown = true
		return nil //nolint:nilerr // it is told of
	}
	p.Shelf.Stock = map[string]Stock{}
	for sku := range needs {
		if stock[sku].Counted {
			p.Shelf.Stock[sku] = stock[sku]
		}
	}
	missing := missingOf(needs, stock)
	if len(missing) == 0 {
		return nil
	}
	search := &search{edition: p.Edition, job: job, vehicle: p.Vehicle, stock: stock, without: map[string]bool{}, stays: map[string]bool{}}
	if p.Shelf.Way, err = search.run(ctx, p, missing); err != nil {
		return err
	}
	for _, sku := range slices.Sorted(maps.Keys(missing)) {
		short := Short{PartStock: partStock(p.Edition.Catalog(), Balance{sku, stock[sku]}), Needed: needs[sku], Missing: missing[sku]}
		if way := p.Shelf.Way; way != nil {
			short.Replaced = search.without[sku]
			short.Substitute, _ = way.Substitute(sku, "")
		}
		p.Shelf.Short = append(p.Shelf.Short, short)
	}
	return nil
}

// needsOf gives by SKU what accepting a quote would set aside.
func needsOf(q *pricing.Quote) (map[string]Thousandths, error) {
	sums := map[string]*big.Rat{}
	for i := range q.Lines {
		l := &q.Lines[i]
		if l.SKU == "" {
			continue
		}
		quantity, ok := new(big.Rat).SetString(l.Quantity)
		if !ok {
			return nil, fmt.Errorf("line %s: %q is no quantity", l.ID, l.Quantity)
		}
		if sums[l.SKU] == nil {
			sums[l.SKU] = new(big.Rat)
		}
		sums[l.SKU].Add(sums[l.SKU], quantity)
	}
	needs := make(map[string]Thousandths, len(sums))
	for sku, sum := range sums {
		needs[sku] = need{sum: sum}.thousandths()
	}
	return needs, nil
}

// stockFor reads the stock of what is needed; where some of it is short, that of every
// part, since any may take its place. It all comes from one state of the store.
func (s *Service) stockFor(ctx context.Context, needs map[string]Thousandths, number string) (map[string]Stock, error) {
	stock := map[string]Stock{}
	err := s.store.View(ctx, func(r Reader) error {
		clear(stock)
		own, err := r.Reserved(number)
		if err != nil {
			return err
		}
		read := func(skus []string) error {
			balances, err := r.Stocks(skus)
			for _, b := range balances {
				stock[b.SKU] = b.Stock
			}
			for _, m := range own {
				if b, ok := stock[m.SKU]; ok {
					b.Reserved -= m.Quantity
					stock[m.SKU] = b
				}
			}
			return err
		}
		if err := read(slices.Sorted(maps.Keys(needs))); err != nil || len(missingOf(needs, stock)) == 0 {
			return err
		}
		return read(nil)
	})
	return stock, err
}

// missingOf gives by SKU how much of what is needed is not free, where stock is
// counted.
func missingOf(needs map[string]Thousandths, stock map[string]Stock) map[string]Thousandths {
	missing := map[string]Thousandths{}
	for sku, needed := range needs {
		if b := stock[sku]; b.Counted && needed > b.Free() {
			missing[sku] = min(needed, needed-b.Free())
		}
	}
	return missing
}
