package pricing_test

import (
	"strings"
	"testing"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/termination"
)

// in gives an amount of a currency, written as a decimal.
func in(code, number string) currency.Amount {
	a, err := currency.NewAmount(number, code)
	if err != nil {
		panic(err)
	}
	return a
}

func usd(number string) currency.Amount { return in("USD", number) }

// plainShop has a rate of 100 an hour in tenths and nothing else: no allowance,
// tax, charge or deposit.
func plainShop() *catalog.Catalog {
	return &catalog.Catalog{Shop: catalog.Shop{Currency: "USD", LabourRate: usd("100.00"), LabourStep: 10}}
}

func part(sku string, price currency.Amount, by catalog.SoldBy) catalog.Part {
	return catalog.Part{SKU: sku, Description: strings.ToLower(sku), Price: price, SoldBy: by, PackQty: 1}
}

func costing(p catalog.Part, cost currency.Amount) catalog.Part {
	p.Cost, p.HasCost = cost, true
	return p
}

func cable(p catalog.Part) *catalog.Conductor {
	return &catalog.Conductor{Part: p, Conductor: electrical.Conductor{Size: quantity.AWG(8)}}
}

func run(c *catalog.Conductor, l quantity.Metres, ends ...termination.Plan) design.Run {
	r := design.Run{ID: "run", Conductor: c, Length: l}
	for i, plan := range ends {
		r.Ends[i].Plan = plan
	}
	return r
}

// selling is a design of one circuit that sells pieces of a part and does the work.
func selling(p catalog.Part, count int, work ...catalog.Work) *design.Design {
	return &design.Design{Circuits: []design.Circuit{{ID: "amp",
		Equipment: []design.Supply{{Part: &catalog.Equipment{Part: p}, Label: "amplifier", Count: count}}, Work: work}}}
}

func operation(code string, task catalog.Task) *catalog.Operation {
	return &catalog.Operation{Code: code, Task: task, Description: strings.ToLower(code), Per: catalog.PerEach}
}

// minutes is work that takes thousandths of a minute in all.
func minutes(o *catalog.Operation, milliMinutes int64) catalog.Work {
	return catalog.Work{Operation: o, Milli: 1000, MilliMinutes: milliMinutes}
}

// hour is one hour of fitting.
func hour() catalog.Work { return minutes(operation("FIT", catalog.TaskFitDevice), 60_000) }

func price(t *testing.T, cat *catalog.Catalog, d *design.Design, terms pricing.Terms) *pricing.Quote {
	t.Helper()
	q, err := pricing.Price(cat, d, terms)
	require.NoError(t, err)
	return q
}

// rows writes lines as "id circuit what quantity unit unit-price amount why".
func rows(q *pricing.Quote) []string {
	var out []string
	for i := range q.Lines {
		l := &q.Lines[i]
		circuit := l.CircuitID
		if circuit == "" {
			circuit = "-"
		}
		what := l.SKU + l.Operation
		if what == "" {
			what = "-"
		}
		out = append(out, strings.Join([]string{l.ID, circuit, what, l.Quantity, string(l.Unit), l.UnitPrice.Number(), l.Amount.Number(), l.WhyCode}, " "))
	}
	return out
}

// only gives the lines of a section.
func only(q *pricing.Quote, s catalog.Section) []pricing.Line {
	var out []pricing.Line
	for _, l := range q.Lines {
		if l.Section == s {
			out = append(out, l)
		}
	}
	return out
}
