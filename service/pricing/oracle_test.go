package pricing_test

import (
	"math"
	"math/big"
	"slices"
	"sort"
	"strconv"
	"testing"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
)

// oracle prices a drawn job a second time, from the rules as docs/catalog.md has them,
// in fractions of the minor unit and without a look at the lines of the quote.
type oracle struct {
	t    *rapid.T
	shop *catalog.Shop
	job  job
	// sales is what is sold of each part, line by line, in units of sale.
	sales map[string][]*big.Rat
	parts map[string]*catalog.Part
	// pieces is what is used of parts sold by the pack.
	pieces map[string]int64
}

func one() *big.Rat          { return big.NewRat(1, 1) }
func whole(n int64) *big.Rat { return big.NewRat(n, 1) }
func zero() *big.Rat         { return new(big.Rat) }
func (o *oracle) share(p quantity.Percent) *big.Rat {
	return quo(rat(o.t, strconv.FormatFloat(float64(p), 'f', -1, 64)), hundred)
}

// floorOf gives the largest whole number that is not above.
func floorOf(r *big.Rat) *big.Rat {
	n := new(big.Int)
	n.Div(r.Num(), r.Denom())
	return new(big.Rat).SetInt(n)
}

func rounded(r *big.Rat) *big.Rat { return floorOf(add(r, big.NewRat(1, 2))) }

func ceiling(r *big.Rat) *big.Rat { return new(big.Rat).Neg(floorOf(new(big.Rat).Neg(r))) }

func (o *oracle) money(a currency.Amount) *big.Rat { return minor(o.t, a) }

func (o *oracle) sell(p *catalog.Part, units *big.Rat) {
	o.parts[p.SKU] = p
	if units.Sign() > 0 {
		o.sales[p.SKU] = append(o.sales[p.SKU], units)
	}
}

// count sells pieces, or keeps them for the packs of the job.
func (o *oracle) count(p *catalog.Part, n int64) {
	o.parts[p.SKU] = p
	if p.SoldBy == catalog.ByPack {
		o.pieces[p.SKU] += n
		return
	}
	o.sell(p, whole(n))
}

// cut sells millimetres with their waste, in steps of a unit of sale.
func (o *oracle) cut(p *catalog.Part, millimetres int64, waste quantity.Percent, steps int64) {
	metres := mul(big.NewRat(millimetres, 1000), add(one(), o.share(waste)))
	if p.SoldBy == catalog.ByFoot {
		metres = quo(metres, big.NewRat(3048, 10_000))
	}
	o.sell(p, quo(ceiling(mul(metres, whole(steps))), whole(steps)))
}

// takeParts sells what the circuits and then the whole job take.
func (o *oracle) takeParts() {
	least := int64(math.Round(float64(o.shop.Allowances.MinimumCut) * 1000))
	used := map[string]int64{}
	for _, c := range o.job.design.Circuits {
		millimetres, sleeves, devices, ends := map[string]int64{}, map[string]int64{}, map[string]int64{}, map[string]int64{}
		for _, s := range c.Equipment {
			o.parts[s.Part.SKU] = &s.Part.Part
			devices[s.Part.SKU] += int64(s.Count)
		}
		for _, r := range c.Runs {
			o.parts[r.Conductor.SKU] = &r.Conductor.Part
			millimetres[r.Conductor.SKU] += max(least, int64(math.Round(float64(r.Length)*1000)))
			for _, e := range r.Ends {
				o.parts[e.Plan.Terminal.SKU], o.parts[e.Plan.Sleeve.SKU] = &e.Plan.Terminal.Part, &e.Plan.Sleeve.Part
				ends[e.Plan.Terminal.SKU]++
				used[e.Plan.Terminal.SKU]++
				sleeves[e.Plan.Sleeve.SKU] += int64(e.Plan.SleeveCut)
			}
		}
		for sku, n := range devices {
			o.count(o.parts[sku], n)
		}
		for sku, n := range ends {
			o.count(o.parts[sku], n)
		}
		for sku, mm := range millimetres {
			o.cut(o.parts[sku], mm, o.shop.Allowances.Waste, 10)
		}
		for sku, mm := range sleeves {
			o.cut(o.parts[sku], mm, o.shop.Allowances.SleeveWaste, 100)
		}
	}
	for sku, n := range used {
		spare := ceiling(mul(whole(n), o.share(o.shop.Allowances.SpareShare)))
		o.count(o.parts[sku], spare.Num().Int64())
	}
}

// partsSum prices all parts: each line at what its quantity over the job reaches.
func (o *oracle) partsSum() *big.Rat {
	sum := zero()
	for sku, n := range o.pieces {
		p := o.parts[sku]
		size := whole(int64(p.PackQty))
		if p.Broken {
			sum.Add(sum, mul(whole(n), rounded(quo(o.money(p.Price), size))))
			continue
		}
		o.sell(p, ceiling(quo(whole(n), size)))
	}
	for sku, lines := range o.sales {
		p, all := o.parts[sku], zero()
		for _, units := range lines {
			all.Add(all, units)
		}
		price := p.Price
		for _, b := range p.Breaks { // by rising quantity
			if whole(int64(b.From)).Cmp(all) <= 0 {
				price = b.Price
			}
		}
		for _, units := range lines {
			sum.Add(sum, rounded(mul(units, o.money(price))))
		}
	}
	return sum
}

// labourSum charges the time of every operation in steps of an hour; some tells that
// there is some.
func (o *oracle) labourSum() (sum *big.Rat, some bool) {
	time := map[string]int64{}
	count := func(work []catalog.Work) {
		for _, w := range work {
			time[w.Operation.Code] += w.MilliMinutes
		}
	}
	count(o.job.design.Work)
	for _, c := range o.job.design.Circuits {
		count(c.Work)
		for _, r := range c.Runs {
			count(r.Ends[0].Plan.Work)
			count(r.Ends[1].Plan.Work)
		}
	}
	sum = zero()
	for _, thousandths := range time {
		if thousandths == 0 {
			continue
		}
		some = true
		steps := rounded(quo(mul(whole(thousandths), whole(int64(o.shop.LabourStep))), whole(60_000)))
		if steps.Sign() == 0 {
			steps = one()
		}
		sum.Add(sum, rounded(mul(quo(steps, whole(int64(o.shop.LabourStep))), o.money(o.shop.LabourRate))))
	}
	return sum, some
}

func (o *oracle) suppliesSum(labour *big.Rat) *big.Rat {
	share, bound := rounded(mul(labour, o.share(o.shop.SuppliesShare))), o.money(o.shop.SuppliesCap)
	if bound.Sign() > 0 && share.Cmp(bound) > 0 {
		return bound
	}
	return share
}

func (o *oracle) chargesSum(labour *big.Rat, anyLabour bool) *big.Rat {
	sum := zero()
	if o.job.terms.Mobile {
		trip := o.shop.Rules.Trip
		sum.Add(sum, o.money(trip.Charge))
		if beyond := ceiling(sub(rat(o.t, o.job.terms.TripKm), whole(int64(trip.FreeKm)))); beyond.Sign() > 0 {
			sum.Add(sum, mul(beyond, o.money(trip.PerKm)))
		}
	}
	if anyLabour {
		hours := rat(o.t, strconv.FormatFloat(o.shop.LabourMinimum, 'f', -1, 64))
		if lacking := sub(rounded(mul(hours, o.money(o.shop.LabourRate))), labour); lacking.Sign() > 0 {
			sum.Add(sum, lacking)
		}
	}
	return sum
}

// lessDiscount takes the discount off the sections by largest remainder.
func lessDiscount(sums []*big.Rat, discount *big.Rat) []*big.Rat {
	all := zero()
	for _, s := range sums {
		all.Add(all, s)
	}
	bases := slices.Clone(sums)
	if all.Sign() == 0 {
		return bases
	}
	left, order := new(big.Rat).Set(discount), []int{0, 1, 2, 3}
	rest := make([]*big.Rat, len(sums))
	for i, s := range sums {
		exact := quo(mul(discount, s), all)
		down := floorOf(exact)
		bases[i], rest[i] = sub(s, down), sub(exact, down)
		left.Sub(left, down)
	}
	sort.SliceStable(order, func(a, b int) bool { return rest[order[a]].Cmp(rest[order[b]]) > 0 })
	for _, i := range order {
		if left.Sign() > 0 {
			bases[i], left = sub(bases[i], one()), sub(left, one())
		}
	}
	return bases
}

// taxes gives each component; those of an exempt customer are taken off, or none where
// prices are without tax.
func (o *oracle) taxes(bases []*big.Rat) []*big.Rat {
	if o.job.terms.TaxExempt && !o.shop.PricesIncludeTax {
		return nil
	}
	var all []*big.Rat
	for _, tax := range o.shop.Taxes {
		exact := zero()
		for i, section := range catalog.Sections() {
			if !slices.Contains(tax.On, section) {
				continue
			}
			over := new(big.Rat).Set(hundred)
			for _, other := range o.shop.Taxes {
				if o.shop.PricesIncludeTax && slices.Contains(other.On, section) {
					over.Add(over, rat(o.t, other.RatePercent))
				}
			}
			exact.Add(exact, quo(mul(bases[i], rat(o.t, tax.RatePercent)), over))
		}
		amount := rounded(exact)
		if o.job.terms.TaxExempt {
			amount.Neg(amount)
		}
		all = append(all, amount)
	}
	return all
}

func (o *oracle) deposit(total, parts *big.Rat) *big.Rat {
	if o.shop.DepositShare == 0 || total.Cmp(o.money(o.shop.DepositOver)) <= 0 {
		return zero()
	}
	due := rounded(mul(total, o.share(o.shop.DepositShare)))
	if due.Cmp(parts) < 0 {
		due = parts
	}
	if due.Cmp(total) > 0 {
		due = total
	}
	return due
}

// TestWholeQuoteAgainstExactFractions prices random jobs a second time, and wants every
// sum the same to the minor unit.
func TestWholeQuoteAgainstExactFractions(t *testing.T) {
	t.Parallel()
	rapid.Check(t, func(t *rapid.T) {
		j := anyJob().Draw(t, "job")
		j.cat.Shop.Rules.CashStep = rapid.OneOf(rapid.Just(currency.Amount{}), anyMoney(j.cat.Shop.Currency, 1)).Draw(t, "cash step")
		o := &oracle{t: t, shop: &j.cat.Shop, job: j, sales: map[string][]*big.Rat{}, parts: map[string]*catalog.Part{}, pieces: map[string]int64{}}
		got := j.price(t).Totals
		same := func(what string, want *big.Rat, got currency.Amount) {
			require.Zero(t, want.Cmp(minor(t, got)), "%s is %s, and by fractions of the minor unit %s", what, got, want)
		}

		o.takeParts()
		parts := o.partsSum()
		labour, anyLabour := o.labourSum()
		supplies, charges := o.suppliesSum(labour), o.chargesSum(labour, anyLabour)
		same("parts", parts, got.Parts)
		same("labour", labour, got.Labour)
		same("supplies", supplies, got.Supplies)

		sums := map[catalog.Section]*big.Rat{catalog.Parts: parts, catalog.Labour: labour, catalog.Supplies: supplies, catalog.Charges: charges}
		var inOrder []*big.Rat
		total := zero()
		for _, section := range catalog.Sections() {
			inOrder = append(inOrder, sums[section])
			total.Add(total, sums[section])
		}
		discount := rounded(quo(mul(total, rat(t, j.terms.DiscountPercent)), hundred))
		same("discount", discount, got.Discount)
		total.Sub(total, discount)
		taxes := o.taxes(lessDiscount(inOrder, discount))
		require.Len(t, got.Taxes, len(taxes))
		for i, tax := range taxes {
			same(got.Taxes[i].Label, tax, got.Taxes[i].Amount)
			if !o.shop.PricesIncludeTax || j.terms.TaxExempt {
				total.Add(total, tax)
			}
		}
		if step := j.cat.Shop.Rules.CashStep; step.IsPositive() {
			before := new(big.Rat).Set(total)
			total = mul(rounded(quo(total, minor(t, step))), minor(t, step))
			charges = add(charges, sub(total, before))
		}
		same("charges", charges, got.Charges)
		same("total", total, got.Total)
		same("deposit", o.deposit(total, parts), got.Deposit)
		same("the most a bill may come to", rounded(mul(total, add(one(), o.share(o.shop.Rules.NotToExceed)))), got.NotToExceed)
	})
}
