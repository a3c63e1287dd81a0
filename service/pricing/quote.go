package pricing

import (
	"errors"
	"fmt"
	"strconv"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
)

// ErrUnpriceable is the kind of every fault of a design or catalog that keeps it
// from being priced: a length that is no number, a price in another currency,
// cable that is sold by the piece. Neither a design of package design nor a
// catalog that was read has one.
var ErrUnpriceable = errors.New("cannot be priced")

// Terms is what of one job differs from the shop's usual terms.
type Terms struct {
	// DiscountPercent is an exact decimal from 0 to 100 with up to four decimal
	// places, such as "7.5"; empty means none.
	DiscountPercent string
	// DiscountReason is required with a discount above 0.
	DiscountReason string
	// TaxExempt tells that the customer pays no tax.
	TaxExempt bool
	// Caller is who gives the discount; empty is anybody whom no limit binds.
	Caller catalog.Caller
	// Mobile tells that the work is done at the customer's place.
	Mobile bool
	// TripKm is the way there and back, an exact decimal from 0 up; empty is 0.
	TripKm string
}

// Quote is a priced design.
type Quote struct {
	// Lines stand by section in the order of catalog.Sections.
	Lines  []Line
	Totals Totals
}

// Unit is what a line's quantity counts.
type Unit string

// The units of lines. With Percent the quantity is a percentage of the unit
// price: 5 percent of 110.00.
const (
	Each    Unit = "each"
	Foot    Unit = "ft"
	Metre   Unit = "m"
	Pack    Unit = "pack"
	Hour    Unit = "h"
	Percent Unit = "percent"
)

// Line is one line of a quote.
type Line struct {
	// ID is unique within the quote: the section's letter (p, l, s, c) and a
	// number from 1. The same design at the same catalog gives the same ids.
	ID          string
	Section     catalog.Section
	CircuitID   string // empty for what belongs to the whole job
	SKU         string // empty for labour, supplies and charges
	Description string // as the catalog has it; empty for supplies and charges, which WhyCode names
	// Quantity is an exact decimal, such as "12.6".
	Quantity  string
	Unit      Unit
	UnitPrice currency.Amount
	Amount    currency.Amount // quantity × unit price, rounded once, half up
	Taxable   bool            // a tax of the shop is charged on its section, and the customer pays it
	Operation string          // code; empty but for labour
	Hours     float64         // as charged; 0 but for labour
	// Termination tells that it is part of what proper joints take.
	Termination bool
	// Cost is what the line costs the shop, Margin the amount less contained tax
	// less cost, before any discount. Both are set only with HasCost.
	Cost, Margin currency.Amount
	HasCost      bool
	// WhyCode and Figures say why the line is needed.
	WhyCode string
	Figures []electrical.Figure
}

// QuantityFloat gives the quantity as the nearest float64, for interfaces that
// carry no decimals. Money is never reckoned from it.
func (l *Line) QuantityFloat() float64 {
	v, err := strconv.ParseFloat(l.Quantity, 64)
	if err != nil {
		return 0 // a Line that Price did not make
	}
	return v
}

// Totals is the sums of a quote.
type Totals struct {
	// Sums of the lines by section.
	Parts, Labour, Supplies, Charges currency.Amount
	Discount                         currency.Amount // taken off, as a positive amount
	Taxes                            []TaxLine       // in the shop's order
	// Total is what the customer pays: the lines, less the discount, plus the
	// taxes that are not included.
	Total currency.Amount
	// ProperTermination is the sum of the lines that are part of what proper joints
	// take, before the discount.
	ProperTermination currency.Amount
	Deposit           currency.Amount // due on ordering, part of Total; 0 where none is asked
	// NotToExceed is what a bill comes to at most, whatever turns up. Set only with
	// HasNotToExceed: the shop promises a limit.
	NotToExceed    currency.Amount
	HasNotToExceed bool
	// Cost is that of the parts, Margin what is left on the parts after their share
	// of the discount and any contained tax: labour has no cost in the catalog.
	// Both are set only with HasCost: there are parts, and all have a cost.
	Cost, Margin currency.Amount
	HasCost      bool
}

// TaxLine is one tax component of a quote.
type TaxLine struct {
	Label       string
	RatePercent string          // exact decimal as the shop states it
	Base        currency.Amount // after the discount's share; the price with tax where prices include it
	// Amount is the tax, rounded once, half up. It is negative where the tax that
	// prices include is taken off for an exempt customer.
	Amount   currency.Amount
	Included bool // the prices hold it already, and it is not added
}

// Price prices a design at the prices and by the rules of a catalog.
//
// Terms that are not allowed give design.Violations with the fields
// "terms.discount_percent", "terms.discount_reason" and "terms.trip_km", together. A design or
// catalog that cannot be priced gives an error that wraps ErrUnpriceable.
func Price(cat *catalog.Catalog, d *design.Design, terms Terms) (*Quote, error) {
	discount, km, err := terms.read(&cat.Shop)
	if err != nil {
		return nil, err
	}
	q, err := newQuoter(&cat.Shop, terms.TaxExempt)
	if err != nil {
		return nil, err
	}
	q.tripKm = km
	for _, section := range []func(*design.Design) error{q.parts, q.labour, q.supplies, q.charges} {
		if err := section(d); err != nil {
			return nil, err
		}
	}
	totals, err := q.totals(discount)
	if err != nil {
		return nil, err
	}
	return &Quote{Lines: q.lines, Totals: *totals}, nil
}

// BeforeTax gives what the lines come to less the discount, before taxes that are
// added.
func (q *Quote) BeforeTax() (currency.Amount, error) {
	t := &q.Totals
	sum, err := t.Parts.Add(t.Labour)
	for _, part := range []currency.Amount{t.Supplies, t.Charges} {
		if err == nil {
			sum, err = sum.Add(part)
		}
	}
	if err != nil {
		return currency.Amount{}, fmt.Errorf("sum before tax: %w", err)
	}
	return sum.Sub(t.Discount)
}
