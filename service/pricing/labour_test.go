package pricing_test

import (
	"math"
	"slices"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/termination"
)

func TestHoursAreRoundedToTheStep(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name         string
		step         int
		milliMinutes int64
		want, amount string
		hours        float64
	}{
		{"whole tenths stay", 10, 12_000, "0.2", "20.00", 0.2},
		{"half a tenth rounds up", 10, 15_000, "0.3", "30.00", 0.3},
		{"just under half rounds down", 10, 14_999, "0.2", "20.00", 0.2},
		{"anything done is a tenth", 10, 1, "0.1", "10.00", 0.1},
		{"quarters", 4, 22_500, "0.5", "50.00", 0.5},
		{"just under half a quarter rounds down", 4, 22_499, "0.25", "25.00", 0.25},
		{"anything done is a quarter", 4, 1, "0.25", "25.00", 0.25},
		{"whole hours", 4, 120_000, "2", "200.00", 2},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.LabourStep = tt.step
			d := &design.Design{Work: []catalog.Work{minutes(operation("TEST", catalog.TaskTestSystem), tt.milliMinutes)}}
			lines := price(t, cat, d, pricing.Terms{}).Lines
			require.Len(t, lines, 1)
			assert.Equal(t, tt.want, lines[0].Quantity)
			assert.Equal(t, tt.amount, lines[0].Amount.Number())
			assert.Equal(t, tt.hours, lines[0].Hours)
		})
	}
}

func TestOneOperationIsOneLineOverTheJob(t *testing.T) {
	t.Parallel()
	crimp := operation("CRIMP", catalog.TaskCrimpEnd)
	cabin, engine := minutes(crimp, 5000), minutes(crimp, 6000) // the same work in two zones
	end := func(w catalog.Work) termination.Plan { return termination.Plan{Work: []catalog.Work{w}} }
	d := &design.Design{
		Work: []catalog.Work{cabin},
		Circuits: []design.Circuit{
			{ID: "amp", Runs: []design.Run{run(nil, 1, end(cabin), end(engine))}},
			{ID: "lamp", Work: []catalog.Work{engine}, Runs: []design.Run{run(nil, 1, end(engine))}},
		},
	}
	q := price(t, plainShop(), d, pricing.Terms{})
	// 5 + 5 + 6 + 6 + 6 = 28 minutes, 0.47 h; each rounded for itself would be 0.5 h.
	require.Equal(t, []string{"l1 - CRIMP 0.5 h 100.00 50.00 why.labour"}, rows(q))
	require.Equal(t, 5.0, q.Lines[0].Figures[0].Value, "times")
	require.Equal(t, 28.0, q.Lines[0].Figures[1].Value, "minutes")
}

func TestLabourStandsInTheOrderOfTheWork(t *testing.T) {
	t.Parallel()
	var work []catalog.Work
	for _, task := range catalog.Tasks() {
		work = append(work, minutes(operation(string(task), task), 6000))
	}
	slices.Reverse(work)
	work = append(work, minutes(operation("added later", "new_task"), 6000), minutes(operation("another_access", catalog.TaskAccess), 6000))
	var got []string
	for _, l := range price(t, plainShop(), &design.Design{Work: work}, pricing.Terms{}).Lines {
		got = append(got, l.Operation)
	}
	require.Equal(t, []string{"access", "another_access", "battery", "blade_holder", "bolt_holder", "block_base", "block_way", "ground_point", "ground_strap", "relay", "switch",
		"bulkhead_pass", "pull_cable", "loom", "crimp_end", "solder_add", "solder_splice", "ferrule", "push_on", "fit_device", "label", "test_circuit", "test_system",
		"added later"}, got)
}

func TestWorkWithoutTimeIsNoLine(t *testing.T) {
	t.Parallel()
	require.Empty(t, price(t, plainShop(), &design.Design{Work: []catalog.Work{minutes(operation("FREE", catalog.TaskLabel), 0)}}, pricing.Terms{}).Lines)
}

func TestLabourIsMadeUpToTheMinimum(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name         string
		minimum      float64
		milliMinutes int64
		want         []string
	}{
		{"below", 0.5, 12_000, []string{"c1 - - 1 each 30.00 30.00 why.minimum_labour"}},
		{"at", 0.5, 30_000, nil},
		{"above", 0.5, 36_000, nil},
		{"a minimum that is no step", 0.25, 12_000, []string{"c1 - - 1 each 5.00 5.00 why.minimum_labour"}},
		{"none", 0, 12_000, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.LabourMinimum = tt.minimum
			q := price(t, cat, &design.Design{Work: []catalog.Work{minutes(operation("TEST", catalog.TaskTestSystem), tt.milliMinutes)}}, pricing.Terms{})
			require.Equal(t, tt.want, rows(&pricing.Quote{Lines: only(q, catalog.Charges)}))
		})
	}
}

func TestASaleWithoutLabourHasNoMinimum(t *testing.T) {
	t.Parallel()
	cat := plainShop()
	cat.Shop.LabourMinimum = 0.5
	q := price(t, cat, selling(part("AMP", usd("1.00"), catalog.Each), 1), pricing.Terms{})
	require.Equal(t, []string{"p1 amp AMP 1 each 1.00 1.00 why.equipment"}, rows(q))
}

func TestSuppliesAreAShareOfLabourUpToTheCap(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name  string
		share quantity.Percent
		limit string // the cap, empty for none
		hours int64
		want  []string
	}{
		{"below the cap", 5, "10.00", 1, []string{"s1 - - 5 percent 100.00 5.00 why.supplies"}},
		{"at the cap", 5, "10.00", 2, []string{"s1 - - 5 percent 200.00 10.00 why.supplies"}},
		{"above the cap", 5, "10.00", 3, []string{"s1 - - 1 each 10.00 10.00 why.supplies"}},
		{"no cap", 5, "", 30, []string{"s1 - - 5 percent 3000.00 150.00 why.supplies"}},
		{"a cap of nothing is none", 5, "0.00", 30, []string{"s1 - - 5 percent 3000.00 150.00 why.supplies"}},
		{"rounded half up", 1.005, "", 1, []string{"s1 - - 1.005 percent 100.00 1.01 why.supplies"}},
		{"no share", 0, "10.00", 3, nil},
		{"no labour", 5, "10.00", 0, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.SuppliesShare = tt.share
			if tt.limit != "" {
				cat.Shop.SuppliesCap = usd(tt.limit)
			}
			q := price(t, cat, &design.Design{Work: []catalog.Work{minutes(operation("TEST", catalog.TaskTestSystem), tt.hours*60_000)}}, pricing.Terms{})
			require.Equal(t, tt.want, rows(&pricing.Quote{Lines: only(q, catalog.Supplies)}))
		})
	}
}

func TestShopsThatCannotPrice(t *testing.T) {
	t.Parallel()
	nan := quantity.Percent(math.NaN())
	tests := []struct {
		name string
		make func(*catalog.Shop)
	}{
		{"no currency", func(s *catalog.Shop) { s.Currency = "" }},
		{"no step", func(s *catalog.Shop) { s.LabourStep = 0 }},
		{"a step that is no decimal", func(s *catalog.Shop) { s.LabourStep = 3 }},
		{"no rate", func(s *catalog.Shop) { s.LabourRate = in("EUR", "1") }},
		{"no minimum", func(s *catalog.Shop) { s.LabourMinimum = math.Inf(1) }},
		{"no supplies share", func(s *catalog.Shop) { s.SuppliesShare = nan }},
		{"a cap in another currency", func(s *catalog.Shop) { s.SuppliesShare, s.SuppliesCap = 5, in("EUR", "1") }},
		{"no deposit share", func(s *catalog.Shop) { s.DepositShare = nan }},
		{"a threshold in another currency", func(s *catalog.Shop) { s.DepositOver = in("EUR", "1") }},
		{"no waste", func(s *catalog.Shop) { s.Allowances.Waste = nan }},
		{"no shortest cut", func(s *catalog.Shop) { s.Allowances.MinimumCut = quantity.Metres(nan) }},
		{"no spare share", func(s *catalog.Shop) { s.Allowances.SpareShare = nan }},
		{"a tax rate in words", func(s *catalog.Shop) { s.Taxes = []catalog.Tax{{RatePercent: "eight"}} }},
		{"a tax rate below zero", func(s *catalog.Shop) { s.Taxes = []catalog.Tax{{RatePercent: "-8"}} }},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			tt.make(&cat.Shop)
			d := &design.Design{Work: []catalog.Work{hour()}, Circuits: []design.Circuit{{Runs: []design.Run{run(cable(part("CABLE", usd("1.00"), catalog.ByMetre)), 1)}}}}
			_, err := pricing.Price(cat, d, pricing.Terms{})
			require.ErrorIs(t, err, pricing.ErrUnpriceable)
		})
	}
	t.Run("work without an operation", func(t *testing.T) {
		t.Parallel()
		_, err := pricing.Price(plainShop(), &design.Design{Work: []catalog.Work{{MilliMinutes: 1}}}, pricing.Terms{})
		require.ErrorIs(t, err, pricing.ErrUnpriceable)
	})
	t.Run("work that gives time back", func(t *testing.T) {
		t.Parallel()
		_, err := pricing.Price(plainShop(), &design.Design{Work: []catalog.Work{minutes(operation("TEST", catalog.TaskTestSystem), -1)}}, pricing.Terms{})
		require.ErrorIs(t, err, pricing.ErrUnpriceable)
	})
}
