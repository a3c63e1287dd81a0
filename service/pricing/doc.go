// Package pricing turns a design into money: the lines of a quote and their
// sums, with the discount, the taxes, the deposit and, for the owner, cost and
// margin.
//
// It builds on catalog (prices and the shop's rules) and service/design (what the
// job takes); it knows no customer, no clock and no prose: a line carries a code
// and figures, and the wording makes the sentence.
//
//	quote, err := pricing.Price(cat, designed, pricing.Terms{DiscountPercent: "5", DiscountReason: "trade"})
//
// # Arithmetic
//
// Amounts are exact decimals of the shop's one currency. In between, sums and
// shares are whole minor units and fractions, never binary floating point. Where
// the catalog states a percentage or a length as a float64, the shortest decimal
// that names it is meant: 8.1 is 81/10. Everything is rounded half up, to the
// currency's minor unit, and once:
//
//   - a line: quantity × unit price;
//   - the discount: its percentage of the sum of all lines;
//   - each tax component: its rate on its base;
//   - the deposit: its share of the total.
//
// The total is the sum of the lines, less the discount, plus the taxes that are
// not included in the prices. It holds to the minor unit because every charge is
// a line.
//
// # Breaks, packs and trips
//
// Where a part has price breaks, all its lines have the price that their quantities
// reach together. A pack that may be broken is sold by the piece, at the pack's price
// by its pieces, rounded half up to the minor unit. A trip is the shop's charge and
// every started kilometre beyond the free ones. What a bill may at most come to, where
// the shop promises it, is the total and the promised share of it, rounded half up.
//
// Where the shop rounds to what can be paid in cash, the difference between the total
// and the nearest multiple of that step is the last line, a charge without tax and
// discount.
//
// # Discount and tax bases
//
// The discount is apportioned to the four sections in proportion to their sums,
// by largest remainder (of equal remainders the section that comes first in a
// quote), so that the sections less their shares add up to the sum of the lines
// less the discount. A tax is charged on the sections it names, less their shares.
//
// Where prices include tax, the tax that they contain is shown and not added. One
// component of rate r contains base·r/(100 + r). Where several components are on
// the same section, r in the divisor is the sum of their rates, since all of them
// are in the price.
//
// A customer exempt from tax gets no tax lines where prices are without tax.
// Where prices include tax, that customer must not pay it: each component is then
// a tax line that is not included and has a negative amount, so that the shelf
// prices stand and the sum still holds.
//
// # Deposit
//
// Up to and including the shop's threshold no deposit is asked, nor by a shop
// whose share is 0. Above it, the deposit is the share of the total, but at least
// the sum of the parts (before discount and tax: what the shop has to order) and
// at most the total.
//
// # Cost and margin
//
// Only parts have a cost. Labour has none in the catalog, so the margin is the
// margin on parts: their price less their share of the discount and less any tax
// contained in it, less their cost. It is stated only where every parts line has
// a cost.
package pricing
