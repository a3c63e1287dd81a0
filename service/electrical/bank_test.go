package electrical_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// ABYC E-11 table V-A: what the main device must interrupt, by total cold-cranking
// amps; both ends of each row, at a terminal where the bank gives more than that.
func TestRequiredInterruptingIsABYCTableVA(t *testing.T) {
	for _, r := range readRows(t, "abyc_v_a.csv") {
		for _, end := range []string{"cca_from", "cca_to"} {
			cca := max(300, r.number(t, end)) // below 300 CCA the bank itself gives less
			b := electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 100, ColdCranking: quantity.Amps(cca)}
			require.Greater(t, float64(b.Prospective(12.6, 0)), r.number(t, "main_a"), "%v", r)
			got := b.RequiredInterrupting(12.6, 0)
			assert.Equal(t, quantity.Amps(r.number(t, "main_a")), got.Required, "%v CCA", cca)
			assert.Equal(t, "fuse.interrupting_table", got.Reason.Rule)
		}
	}
}

// Cable, holder and fuse before the device bring the current down: 650 CCA gives
// 2200/650 = 3.385 mΩ, with 10 mΩ 12.6/13.385 mΩ = 941.4 A.
func TestRequiredInterruptingBehindResistance(t *testing.T) {
	b := electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 70, ColdCranking: 650}
	within(t, 941.4, float64(b.RequiredInterrupting(12.6, 10*quantity.Milliohm).Required), 1e-4)
}

func TestRequiredInterruptingWhereNoTableHolds(t *testing.T) {
	tests := []struct {
		name   string
		bank   electrical.Bank
		source quantity.Volts
		want   float64
	}{
		{"lithium by the maker's figure", electrical.Bank{Chemistry: electrical.Lithium, Nominal: 12, Capacity: 100, ShortCircuit: 4700}, 12, 4700},
		{"lithium by the low bound: 12.8 V/2 mΩ", electrical.Bank{Chemistry: electrical.Lithium, Nominal: 12, Capacity: 100}, 12.8, 6400},
		{"lithium with a cranking figure is still lithium", electrical.Bank{Chemistry: electrical.Lithium, Nominal: 12, Capacity: 100, ColdCranking: 600}, 12.8, 6400},
		{"no cranking figure: AGM 12.6 V/2.5 mΩ", electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 100}, 12.6, 5040},
		{"over 2200 CCA: 12.6 V/(2200/2400 mΩ)", electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 400, ColdCranking: 2400}, 12.6, 13745.45},
		{"over 500 Ah", electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 501, ColdCranking: 1000, Internal: 1 * quantity.Milliohm}, 12.6, 12600},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.bank.RequiredInterrupting(tt.source, 0)
			within(t, tt.want, float64(got.Required), 1e-6)
			assert.Equal(t, "fuse.interrupting_prospective", got.Reason.Rule)
		})
	}
}

// Bounds by hand, in mΩ. SAE J537 lets a battery fall by 5.4 V at its CCA, which
// at 600 A is 9 mΩ cold; the high bound is 1.5 times that.
func TestBankResistance(t *testing.T) {
	tests := []struct {
		name      string
		bank      electrical.Bank
		low, high float64
	}{
		{"starting battery", electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 70, ColdCranking: 600}, 3.6667, 13.5},
		{"two of them in series", electrical.Bank{Chemistry: electrical.Flooded, Nominal: 24, Capacity: 70, ColdCranking: 600}, 7.3333, 27},
		{"deep cycle", electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 200}, 2, 6},
		{"AGM", electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 50}, 5, 16},
		{"gel goes with AGM", electrical.Bank{Chemistry: electrical.Gel, Nominal: 12, Capacity: 100}, 2.5, 8},
		{"lithium 48 V", electrical.Bank{Chemistry: electrical.Lithium, Nominal: 48, Capacity: 100}, 8, 40},
		{"stated resistance", electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 100, ColdCranking: 600, Internal: 5 * quantity.Milliohm}, 5, 5},
		{"stated short circuit", electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 100, ShortCircuit: 2000}, 6, 8},
		{"stated short circuit below the high bound's", electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 100, ShortCircuit: 1000}, 12, 12},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			low, high := tt.bank.Resistance()
			within(t, tt.low, low.Milliohms(), 1e-4)
			within(t, tt.high, high.Milliohms(), 1e-4)
		})
	}
}

func TestAcceptsRoadFamilies(t *testing.T) {
	starting := electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 95, ColdCranking: 1100}
	for _, f := range electrical.Families() {
		iso8820 := f == electrical.Blade || f == electrical.Mini || f == electrical.Maxi || f == electrical.BoltSmall || f == electrical.BoltLarge
		assert.Equal(t, iso8820, starting.AcceptsRoadFamilies(f, electrical.Truck), "%s", f)
		assert.False(t, starting.AcceptsRoadFamilies(f, electrical.Boat), "%s on a boat", f)
	}
	large, lithium, unknown := starting, starting, starting
	large.ColdCranking, lithium.Chemistry, unknown.ColdCranking = 1101, electrical.Lithium, 0
	for name, b := range map[string]electrical.Bank{"large": large, "lithium": lithium, "not stated": unknown} {
		assert.False(t, b.AcceptsRoadFamilies(electrical.Blade, electrical.Car), name)
	}
}

// A source that limits itself gives at most its limit and is only sure of its rated
// current; behind enough resistance it is Ohm's law again.
func TestSelfLimitingSource(t *testing.T) {
	b := electrical.Bank{Nominal: 12, Rated: 20, Limit: 25}
	assert.True(t, b.SelfLimiting())
	assert.Equal(t, quantity.Amps(25), b.Prospective(13.8, 10*quantity.Milliohm))
	assert.Equal(t, quantity.Amps(20), b.LeastFault(13.8, 10*quantity.Milliohm))
	within(t, 6.9, float64(b.Prospective(13.8, 2)), 1e-9)
	within(t, 6.9, float64(b.LeastFault(13.8, 2)), 1e-9)
	got := b.RequiredInterrupting(13.8, 10*quantity.Milliohm)
	assert.Equal(t, quantity.Amps(25), got.Required)
	assert.Equal(t, "fuse.interrupting_limited", got.Reason.Rule)
	assert.False(t, electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, Capacity: 100}.SelfLimiting())
}
