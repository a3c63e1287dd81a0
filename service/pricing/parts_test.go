package pricing_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/termination"
)

func TestCableIsChargedInTenthsRoundedUp(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name       string
		by         catalog.SoldBy
		lengths    []quantity.Metres
		waste      quantity.Percent
		minimumCut quantity.Metres
		want       string
		unit       pricing.Unit
	}{
		{"a whole tenth stays", catalog.ByMetre, []quantity.Metres{2.5}, 0, 0, "2.5", pricing.Metre},
		{"one millimetre more is the next tenth", catalog.ByMetre, []quantity.Metres{2.501}, 0, 0, "2.6", pricing.Metre},
		{"a binary fraction is no millimetre", catalog.ByMetre, []quantity.Metres{quantity.Metres(math.Nextafter(0.3, 1))}, 0, 0, "0.3", pricing.Metre},
		{"waste is on top of the cut", catalog.ByMetre, []quantity.Metres{4}, 5, 0, "4.2", pricing.Metre},
		{"waste counts as the decimal it is written as", catalog.ByMetre, []quantity.Metres{10}, 0.1, 0, "10.1", pricing.Metre},
		{"rounded after the sum, not for each run", catalog.ByMetre, []quantity.Metres{1.01, 1.01, 1.01}, 0, 0, "3.1", pricing.Metre},
		{"each run is at least the shortest cut", catalog.ByMetre, []quantity.Metres{0.1, 0.1, 1}, 0, 0.3, "1.6", pricing.Metre},
		{"the shortest cut itself", catalog.ByMetre, []quantity.Metres{0.3}, 0, 0.3, "0.3", pricing.Metre},
		{"a run of no length is not cut", catalog.ByMetre, []quantity.Metres{0, 1}, 0, 0.3, "1", pricing.Metre},
		{"a foot is 0.3048 m exactly", catalog.ByFoot, []quantity.Metres{3.048}, 0, 0, "10", pricing.Foot},
		{"a millimetre over ten feet", catalog.ByFoot, []quantity.Metres{3.049}, 0, 0, "10.1", pricing.Foot},
		{"the waste in feet", catalog.ByFoot, []quantity.Metres{3.048}, 5, 0, "10.5", pricing.Foot},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.Allowances = catalog.Allowances{Waste: tt.waste, MinimumCut: tt.minimumCut}
			c := cable(part("CABLE", usd("1.00"), tt.by))
			d := &design.Design{Circuits: []design.Circuit{{ID: "amp"}}}
			for _, l := range tt.lengths {
				d.Circuits[0].Runs = append(d.Circuits[0].Runs, run(c, l))
			}
			lines := price(t, cat, d, pricing.Terms{}).Lines
			require.Len(t, lines, 1)
			assert.Equal(t, tt.want, lines[0].Quantity)
			assert.Equal(t, tt.unit, lines[0].Unit)
		})
	}
}

func TestSleeveIsChargedInHundredthsRoundedUp(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name string
		by   catalog.SoldBy
		cuts [2]quantity.Millimetres
		want string
	}{
		{"with ten percent of waste", catalog.ByMetre, [2]quantity.Millimetres{50, 50}, "0.11"},
		{"part of a hundredth is one", catalog.ByMetre, [2]quantity.Millimetres{50, 55}, "0.12"},
		{"in feet", catalog.ByFoot, [2]quantity.Millimetres{50, 50}, "0.37"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.Allowances.SleeveWaste = 10
			sleeve := &catalog.Sleeve{Part: part("SLEEVE", usd("9.00"), tt.by)}
			ends := []termination.Plan{{Sleeve: sleeve, SleeveCut: tt.cuts[0]}, {Sleeve: sleeve, SleeveCut: tt.cuts[1]}}
			lines := price(t, cat, &design.Design{Circuits: []design.Circuit{{ID: "amp", Runs: []design.Run{run(nil, 1, ends...)}}}}, pricing.Terms{}).Lines
			require.Len(t, lines, 1)
			assert.Equal(t, tt.want, lines[0].Quantity)
			assert.True(t, lines[0].Termination)
		})
	}
}

// ringed is so many circuits of one run, each with a ring at both its ends.
func ringed(ring catalog.Part, circuits int) *design.Design {
	d := &design.Design{}
	end := termination.Plan{Terminal: &catalog.Terminal{Part: ring}}
	for range circuits {
		d.Circuits = append(d.Circuits, design.Circuit{ID: "amp", Runs: []design.Run{run(nil, 1, end, end)}})
	}
	return d
}

func TestSparesAreRoundedUpOnceForTheJob(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name     string
		circuits int
		share    quantity.Percent
		want     string // of the spare line; empty for none
	}{
		{"five percent of two is one", 1, 5, "1"},
		{"five percent of twenty is one", 10, 5, "1"},
		{"five percent of twenty-two is two", 11, 5, "2"},
		{"no share, no spares", 10, 0, ""},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.Allowances.SpareShare = tt.share
			lines := price(t, cat, ringed(part("RING", usd("0.80"), catalog.Each), tt.circuits), pricing.Terms{}).Lines
			if tt.want == "" {
				require.Len(t, lines, tt.circuits)
				return
			}
			require.Len(t, lines, tt.circuits+1)
			spare := lines[tt.circuits]
			assert.Equal(t, tt.want, spare.Quantity)
			assert.Equal(t, "why.spare", spare.WhyCode)
			assert.Empty(t, spare.CircuitID)
			assert.True(t, spare.Termination)
		})
	}
}

func TestPacksAreWholeOverTheJob(t *testing.T) {
	t.Parallel()
	tests := []struct {
		name     string
		circuits int
		share    quantity.Percent
		want     string
	}{
		{"two of ten", 1, 0, "1"},
		{"a full pack", 5, 0, "1"},
		{"the spare opens another", 5, 5, "2"},
		{"twelve of ten", 6, 0, "2"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			cat := plainShop()
			cat.Shop.Allowances.SpareShare = tt.share
			ring := part("RING", usd("7.00"), catalog.ByPack)
			ring.PackQty = 10
			lines := price(t, cat, ringed(ring, tt.circuits), pricing.Terms{}).Lines
			require.Len(t, lines, 1, "one line for the whole job")
			assert.Equal(t, tt.want, lines[0].Quantity)
			assert.Equal(t, pricing.Pack, lines[0].Unit)
			assert.Empty(t, lines[0].CircuitID)
			assert.True(t, lines[0].Termination)
		})
	}
}

func TestPackOfSundriesIsNoTermination(t *testing.T) {
	t.Parallel()
	screws := part("SCREW", usd("4.00"), catalog.ByPack)
	screws.PackQty = 50
	d := &design.Design{Sundries: []design.Material{{Sundry: &catalog.Sundry{Part: screws}, Milli: 50_001}}}
	q := price(t, plainShop(), d, pricing.Terms{})
	require.Equal(t, []string{"p1 - SCREW 2 pack 4.00 8.00 why.pack"}, rows(q))
	assert.False(t, q.Lines[0].Termination)
}

func TestSundryMayBeAPartOfAPiece(t *testing.T) {
	t.Parallel()
	d := &design.Design{Sundries: []design.Material{{Sundry: &catalog.Sundry{Part: part("SEALANT", usd("9.00"), catalog.Each)}, Milli: 125}}}
	require.Equal(t, []string{"p1 - SEALANT 0.125 each 9.00 1.13 why.sundry"}, rows(price(t, plainShop(), d, pricing.Terms{})))
}

func TestPartsThatCannotBePriced(t *testing.T) {
	t.Parallel()
	metre := func(l quantity.Metres) *design.Design {
		return &design.Design{Circuits: []design.Circuit{{ID: "amp", Runs: []design.Run{run(cable(part("CABLE", usd("1.00"), catalog.ByMetre)), l)}}}}
	}
	tests := []struct {
		name string
		d    *design.Design
	}{
		{"no number for a length", metre(quantity.Metres(math.NaN()))},
		{"no end to a length", metre(quantity.Metres(math.Inf(1)))},
		{"a length below zero", metre(-1)},
		{"cable by the piece", &design.Design{Circuits: []design.Circuit{{Runs: []design.Run{run(cable(part("CABLE", usd("1.00"), catalog.Each)), 1)}}}}},
		{"equipment by the metre", selling(part("AMP", usd("1.00"), catalog.ByMetre), 1)},
		{"fewer than no pieces", selling(part("AMP", usd("1.00"), catalog.Each), -1)},
		{"another currency", selling(part("AMP", in("EUR", "1.00"), catalog.Each), 1)},
		{"no price", selling(catalog.Part{SKU: "AMP", SoldBy: catalog.Each}, 1)},
		{"a price that is no number", selling(part("AMP", usd("NaN"), catalog.Each), 1)},
		{"a cost in another currency", selling(costing(part("AMP", usd("1.00"), catalog.Each), in("EUR", "1.00")), 1)},
		{"no number for a sleeve", &design.Design{Circuits: []design.Circuit{{Runs: []design.Run{run(nil, 1, termination.Plan{
			Sleeve: &catalog.Sleeve{Part: part("SLEEVE", usd("1.00"), catalog.ByMetre)}, SleeveCut: quantity.Millimetres(math.NaN())})}}}}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			t.Parallel()
			_, err := pricing.Price(plainShop(), tt.d, pricing.Terms{})
			require.ErrorIs(t, err, pricing.ErrUnpriceable)
		})
	}
}
