package quoting

import (
	"fmt"
	"math/big"
	"time"
)

// Part is how much of a part a quote's line takes.
type Part struct {
	SKU         string
	Description string
	Quantity    string // exact decimal, 0 and up
	Unit        string
}

// Reserved is what was set aside of one part for a quote.
type Reserved struct {
	SKU         string
	Description string
	Unit        string
	Quantity    Thousandths // of all lines together
	// Missing is how much of it is not there once all that is set aside is taken away.
	// It says nothing where the stock of the part is not counted.
	Missing Thousandths
	Counted bool
}

// need is a part with what its lines add up to.
type need struct {
	Part
	sum *big.Rat
}

// thousandths rounds up: half a millimetre too much set aside harms nobody.
func (n need) thousandths() Thousandths {
	exact := new(big.Rat).Mul(n.sum, big.NewRat(1000, 1))
	whole, rest := new(big.Int).QuoRem(exact.Num(), exact.Denom(), new(big.Int))
	if rest.Sign() > 0 {
		whole.Add(whole, big.NewInt(1))
	}
	return Thousandths(whole.Int64())
}

// summed gives the parts of a revision, each SKU once, in the order of the lines.
func summed(partsOf func(Revision) ([]Part, error), r Revision) ([]need, error) {
	parts, err := partsOf(r)
	if err != nil {
		return nil, fmt.Errorf("parts of quote %s, revision %d: %w", r.Number, r.Revision, err)
	}
	var all []need
	place := map[string]int{}
	for _, p := range parts {
		sum, ok := new(big.Rat).SetString(p.Quantity)
		if !ok || sum.Sign() < 0 {
			return nil, fmt.Errorf("quote %s, revision %d: %q of %s is no quantity", r.Number, r.Revision, p.Quantity, p.SKU)
		}
		if i, ok := place[p.SKU]; ok {
			all[i].sum.Add(all[i].sum, sum)
			continue
		}
		place[p.SKU] = len(all)
		all = append(all, need{p, sum})
	}
	return all, nil
}

func reserve(w Writer, q Request, number string, parts []need, at time.Time) error {
	for _, p := range parts {
		m := Movement{SKU: p.SKU, Kind: Reserve, Quantity: p.thousandths(), Number: number, Time: at, Caller: q.Caller, Staff: q.Staff}
		if err := w.Move(m); err != nil {
			return err
		}
	}
	return nil
}

// release frees whatever is set aside for a quote.
func release(w Writer, q Request, number string, at time.Time) error {
	held, err := w.Reserved(number)
	if err != nil {
		return err
	}
	for _, m := range held {
		m.Kind, m.Time, m.Caller, m.Staff, m.Note = Release, at, q.Caller, q.Staff, ""
		if err := w.Move(m); err != nil {
			return err
		}
	}
	return nil
}

// shortages tells how much is missing of each part.
func shortages(r Reader, parts []need) ([]Reserved, error) {
	var all []Reserved
	for _, p := range parts {
		stock, err := r.Stock(p.SKU)
		if err != nil {
			return nil, err
		}
		one := Reserved{SKU: p.SKU, Description: p.Description, Unit: p.Unit, Quantity: p.thousandths(), Counted: stock.Counted}
		if stock.Counted {
			one.Missing = min(max(stock.Reserved-stock.OnHand, 0), one.Quantity)
		}
		all = append(all, one)
	}
	return all, nil
}

// Units gives a quantity of stock in its unit.
func (t Thousandths) Units() float64 { return float64(t) / 1000 }
