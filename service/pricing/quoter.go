package pricing

import (
	"fmt"
	"math/big"
	"slices"
	"strconv"

	"example.com/lugbook/catalog"

	"github.com/bojanz/currency"
)

// quoter builds one quote, line by line.
type quoter struct {
	purse
	shop   *catalog.Shop
	exempt bool
	taxes  []tax
	lines  []Line
	sums   map[catalog.Section]*big.Int // of the lines so far, in minor units
	count  map[catalog.Section]int      // of the lines so far
	// packs and ends gather over the job what is sold by the pack and which
	// terminals were used.
	packs, ends tally
	sold        []*catalog.Part // by line of parts
	tripKm      *big.Rat        // nil where nobody drives
}

func newQuoter(shop *catalog.Shop, exempt bool) (*quoter, error) {
	p, err := purseOf(shop.Currency)
	if err != nil {
		return nil, err
	}
	q := &quoter{purse: p, shop: shop, exempt: exempt, sums: map[catalog.Section]*big.Int{}, count: map[catalog.Section]int{}}
	for _, s := range catalog.Sections() {
		q.sums[s] = new(big.Int)
	}
	if q.taxes, err = taxesOf(shop.Taxes); err != nil {
		return nil, err
	}
	return q, nil
}

// letters begin the ids of a section's lines.
var letters = map[catalog.Section]string{catalog.Parts: "p", catalog.Labour: "l", catalog.Supplies: "s", catalog.Charges: "c"}

// add completes a line with its number, quantity and money, and appends it.
func (q *quoter) add(l Line, quantity *big.Rat, price currency.Amount) error {
	amount, err := q.times(quantity, price, l.Unit)
	if err != nil {
		return fmt.Errorf("price of %s: %w", l.name(), err)
	}
	q.count[l.Section]++
	l.ID = letters[l.Section] + strconv.Itoa(q.count[l.Section])
	l.Quantity, l.UnitPrice, l.Amount = text(quantity), price, q.amount(amount)
	l.Taxable = !q.exempt && slices.ContainsFunc(q.taxes, func(t tax) bool { return t.on(l.Section) })
	q.sums[l.Section].Add(q.sums[l.Section], amount)
	q.lines = append(q.lines, l)
	return nil
}

// addPart is add for a part, with its cost.
func (q *quoter) addPart(l Line, quantity *big.Rat, part *catalog.Part) error {
	return q.addPartAt(l, quantity, part, part.Price, quantity)
}

// addPartAt is addPart at another price than the part's; units is the quantity in
// units of sale, for the cost.
func (q *quoter) addPartAt(l Line, quantity *big.Rat, part *catalog.Part, price currency.Amount, units *big.Rat) error {
	l.Section, l.SKU, l.Description = catalog.Parts, part.SKU, part.Description
	if err := q.add(l, quantity, price); err != nil {
		return err
	}
	q.sold = append(q.sold, part)
	if !part.HasCost {
		return nil
	}
	added := &q.lines[len(q.lines)-1]
	cost, err := q.times(units, part.Cost, added.Unit)
	if err != nil {
		return fmt.Errorf("cost of %s: %w", part.SKU, err)
	}
	margin := q.withoutTax(added.Amount.BigInt(), catalog.Parts)
	added.Cost, added.Margin, added.HasCost = q.amount(cost), q.amount(margin.Sub(margin, cost)), true
	return nil
}

// times gives quantity × price in minor units, rounded half up once.
func (q *quoter) times(quantity *big.Rat, price currency.Amount, unit Unit) (*big.Int, error) {
	r, err := q.exact(price)
	if err != nil {
		return nil, err
	}
	if unit == Percent {
		return halfUp(percentOf(r, quantity)), nil
	}
	return halfUp(r.Mul(r, quantity)), nil
}

// name tells the line apart in an error.
func (l *Line) name() string {
	switch {
	case l.SKU != "":
		return l.SKU
	case l.Operation != "":
		return l.Operation
	}
	return string(l.Section)
}
