package quoting

import (
	"context"
	"fmt"
	"math/big"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/pricing"
)

// Adjustment is what was counted or received of a part.
type Adjustment struct {
	SKU      string
	Kind     MovementKind // Counted or Received
	Quantity string       // exact decimal, 0 and up; finer than a thousandth of the part's own unit is rounded, half up
	Unit     pricing.Unit // empty: the part's own
	Note     string
}

// PartStock is the stock of a part, for people. Its quantities are in Unit.
type PartStock struct {
	SKU         string
	Description string       // empty where the catalog has the part no longer
	Unit        pricing.Unit // as on the lines of quotes; empty likewise
	Stock
}

// Free is what is on hand and not set aside; below 0 where more is set aside.
func (s Stock) Free() Thousandths { return s.OnHand - s.Reserved }

// UnknownPartError tells that neither the catalog nor the ledger has a part.
type UnknownPartError struct {
	SKU     string
	Nearest string // the part number that was probably meant; empty: none is near
}

func (e *UnknownPartError) Error() string { return fmt.Sprintf("part %q: not found", e.SKU) }

// UnitError tells that a part does not come in a unit.
type UnitError struct {
	SKU     string
	Unit    pricing.Unit
	Allowed []pricing.Unit // empty where the catalog has the part no longer
}

func (e *UnitError) Error() string { return fmt.Sprintf("part %q does not come in %q", e.SKU, e.Unit) }

// AdjustStock writes down what was counted or received and gives the stock as it is
// now, also to a request that was done before. *UnknownPartError, *UnitError,
// *ReusedError.
func (s *Service) AdjustStock(ctx context.Context, q Request, a Adjustment) (PartStock, error) {
	cat, at := s.Current().Catalog(), s.clock()
	var now PartStock
	err := s.store.Update(ctx, func(w Writer) error {
		_, known, err := lookUp(w, q)
		if err == nil && !known {
			err = adjust(w, cat, q, a, Movement{SKU: a.SKU, Kind: a.Kind, Time: at, Caller: q.Caller, Staff: q.Staff, Note: a.Note})
		}
		if err != nil {
			return err
		}
		stock, err := w.Stock(a.SKU)
		now = partStock(cat, Balance{a.SKU, stock})
		return err
	})
	return now, err
}

// adjust completes a movement with its quantity, and writes it down with the answer
// to the request.
func adjust(w Writer, cat *catalog.Catalog, q Request, a Adjustment, m Movement) error {
	var err error
	if m.Quantity, err = adjusted(w, cat, a); err != nil {
		return err
	}
	if err := w.Move(m); err != nil {
		return err
	}
	return w.AddDeed(Done{Caller: q.Caller, RequestID: q.ID, Sum: q.Sum, Time: m.Time})
}

// adjusted gives the quantity in the part's own unit. What the catalog has no longer
// may be counted out as long as the ledger knows it.
func adjusted(r Reader, cat *catalog.Catalog, a Adjustment) (Thousandths, error) {
	quantity, ok := new(big.Rat).SetString(a.Quantity)
	if !ok || quantity.Sign() < 0 {
		return 0, fmt.Errorf("%q of %s is no quantity", a.Quantity, a.SKU)
	}
	part, ok := cat.Part(a.SKU)
	if !ok {
		moved, err := r.Stocks([]string{a.SKU})
		switch {
		case err != nil:
			return 0, err
		case len(moved) == 0:
			near, _ := cat.Nearest(a.SKU)
			return 0, &UnknownPartError{a.SKU, near}
		case a.Unit != "":
			return 0, &UnitError{SKU: a.SKU, Unit: a.Unit}
		}
		return nearestThousandth(quantity), nil
	}
	if a.Unit == "" {
		return nearestThousandth(quantity), nil
	}
	if quantity, ok = pricing.InOwnUnit(&part, quantity, a.Unit); !ok {
		return 0, &UnitError{a.SKU, a.Unit, pricing.UnitsOf(&part)}
	}
	return nearestThousandth(quantity), nil
}

// nearestThousandth rounds half up.
func nearestThousandth(units *big.Rat) Thousandths {
	exact := new(big.Rat).Mul(units, big.NewRat(1000, 1))
	exact.Add(exact, big.NewRat(1, 2))
	return Thousandths(new(big.Int).Quo(exact.Num(), exact.Denom()).Int64())
}

// partStock names a balance as the catalog does.
func partStock(cat *catalog.Catalog, b Balance) PartStock {
	out := PartStock{SKU: b.SKU, Stock: b.Stock}
	if part, ok := cat.Part(b.SKU); ok {
		out.Description, out.Unit = part.Description, pricing.UnitOf(&part)
	}
	return out
}

// ListStock gives every part that was ever counted, received or set aside, by SKU.
func (s *Service) ListStock(ctx context.Context) ([]PartStock, error) {
	if s.unmade() {
		return nil, nil
	}
	balances, err := s.balances(ctx, nil)
	list := make([]PartStock, 0, len(balances))
	for _, b := range balances {
		list = append(list, partStock(s.Current().Catalog(), b))
	}
	return list, err
}

// StockOf gives by SKU the stock of the named parts, of all for nil, as far as they
// were ever counted or set aside.
func (s *Service) StockOf(ctx context.Context, skus []string) (map[string]Stock, error) {
	if s.unmade() {
		return nil, nil //nolint:nilnil // nothing is in stock, as far as anybody knows
	}
	balances, err := s.balances(ctx, skus)
	stock := make(map[string]Stock, len(balances))
	for _, b := range balances {
		stock[b.SKU] = b.Stock
	}
	return stock, err
}

// unmade tells that there is no store yet, and that asking it would make it.
func (s *Service) unmade() bool {
	store, ok := s.store.(Unmade)
	return ok && store.Absent()
}

// balances reads the stock of the named parts, of all for nil.
func (s *Service) balances(ctx context.Context, skus []string) (list []Balance, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		list, err = r.Stocks(skus)
		return err
	})
	return list, err
}
