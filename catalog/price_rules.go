package catalog

import (
	"fmt"
	"math/big"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"

	"github.com/bojanz/currency"
)

// PriceRules is what a shop may add to its usual way of pricing; the zero PriceRules
// adds nothing.
type PriceRules struct {
	// Markups price what has a cost and no price: the first whose UpTo is not below
	// the cost. They stand by rising UpTo.
	Markups []Markup
	// Trip is charged for work away from the shop.
	Trip Trip
	// NotToExceed is the share of the total by which a bill may be above the quote.
	// HasNotToExceed tells that the shop promises such a limit.
	NotToExceed    quantity.Percent
	HasNotToExceed bool
	// DiscountLimits is the largest discount that a caller may give; one that is not
	// there may give any.
	DiscountLimits map[Caller]quantity.Percent
	// CashStep is the smallest amount that can be paid in cash, to which totals are
	// rounded; the zero Amount, or one of 0, rounds nothing.
	CashStep currency.Amount
}

// Markup is what goes on a cost.
type Markup struct {
	UpTo    currency.Amount // highest cost it is for
	All     bool            // it is for every cost, whatever UpTo
	Percent string          // exact decimal
}

// Trip is what a drive to the customer costs.
type Trip struct {
	Charge currency.Amount // per job
	PerKm  currency.Amount // per started kilometre beyond FreeKm
	FreeKm int
}

// Caller is who prices a job: the service's role that gives discounts.
type Caller string

// The callers.
const (
	Counter Caller = "counter"
	Owner   Caller = "owner"
)

// Callers lists every caller that may give discounts.
func Callers() []Caller { return []Caller{Counter, Owner} }

// Break is a price that holds from a number of units of sale on.
type Break struct {
	From  int
	Price currency.Amount
}

// The keys of the price rules.
var (
	markupKeys = []string{"up_to", "percent"}
	tripKeys   = []string{"charge", "per_km", "free_km"}
)

// Spans of the price rules (own choice, no source).
var (
	spanMarkup = from(0, 1000, "percent")
	spanFreeKm = from(0, 10_000, "km")
	spanBreak  = from(2, 1_000_000, "units of sale")
)

// priceRules reads the optional keys of shop.yaml on prices.
func (d *reading) priceRules(f fields) PriceRules {
	r := PriceRules{Markups: d.markups(f), DiscountLimits: map[Caller]quantity.Percent{}}
	if t, ok := f.sub("trip", tripKeys...); ok {
		r.Trip = Trip{Charge: d.money(t, "charge", false, true), PerKm: d.money(t, "per_km", false, true), FreeKm: t.whole("free_km", spanFreeKm, 0)}
	}
	if _, ok := f.has("cash_step"); ok {
		r.CashStep = d.money(f, "cash_step", false, false)
	}
	limit, stated := f.number("not_to_exceed_percent", spanPercent)
	r.NotToExceed, r.HasNotToExceed = quantity.Percent(limit), stated
	if l, ok := f.sub("discount_limits", plainWords(Callers())...); ok {
		for _, c := range Callers() {
			if v, ok := l.number(string(c), spanPercent); ok {
				r.DiscountLimits[c] = quantity.Percent(v)
			}
		}
	}
	return r
}

// markups reads the list of markups: each up to a higher cost than the one before,
// the last for all costs if it states none.
func (d *reading) markups(f fields) []Markup {
	var all []Markup
	for _, m := range f.each("markups", markupKeys...) {
		_, bounded := m.has("up_to")
		one := Markup{All: !bounded, Percent: m.needText("percent"), UpTo: d.money(m, "up_to", false, true)}
		if _, problem := parseNumber(one.Percent, spanMarkup); problem != "" && one.Percent != "" {
			m.fault(m.values["percent"], "percent: "+problem, spanMarkup.String())
		}
		if len(all) > 0 {
			before := all[len(all)-1]
			if before.All || !one.All && exact(one.UpTo).Cmp(exact(before.UpTo)) <= 0 {
				m.fault(m.at, "the markup is never reached", "rising up_to; at most the last without it")
			}
		}
		all = append(all, one)
	}
	return all
}

// markedUp gives the price of what costs so much, rounded half up to the minor unit;
// false where no markup is for the cost.
func (d *reading) markedUp(cost currency.Amount) (currency.Amount, bool) {
	for _, m := range d.catalog.Shop.Rules.Markups {
		if !m.All && exact(cost).Cmp(exact(m.UpTo)) > 0 {
			continue
		}
		percent, ok := exactText(m.Percent)
		if !ok {
			return currency.Amount{}, false // reported already
		}
		return d.purse.marked(cost, percent), true
	}
	return currency.Amount{}, false
}

// breaks reads a cell of price breaks, "10=0.95 100=0.80": from so many units of sale
// on, each costs so much.
func (d *reading) breaks(r *row, p *Part) {
	const allowed = "quantity=price, separated by spaces, such as 10=0.95 100=0.80; rising quantities, falling prices"
	last, price := 1, p.Price
	for _, text := range strings.Fields(r.optional("breaks")) {
		from, amount, ok := strings.Cut(text, "=")
		n, err := strconv.Atoi(from)
		if !ok || err != nil || !spanBreak.admits(float64(n)) {
			r.wrong("breaks", quote(text)+" is no price break", allowed)
			return
		}
		at, problem, _ := d.purse.amount(amount, false)
		switch {
		case problem != "":
			r.wrong("breaks", problem, allowed)
			return
		case n <= last:
			r.wrong("breaks", fmt.Sprintf("the break at %d does not come after that at %d", n, last), allowed)
			return
		case exact(at).Cmp(exact(price)) >= 0 && price.CurrencyCode() != "":
			r.wrong("breaks", fmt.Sprintf("the price from %d on is not below the one before", n), allowed)
			return
		}
		last, price = n, at
		p.Breaks = append(p.Breaks, Break{n, at})
	}
}

// PriceFrom gives the price of one unit of sale where so many are sold.
func (p *Part) PriceFrom(units *big.Rat) currency.Amount {
	price := p.Price
	for _, b := range p.Breaks {
		if units.Cmp(big.NewRat(int64(b.From), 1)) >= 0 {
			price = b.Price
		}
	}
	return price
}
