package catalog_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// ruled gives the minimal folder with more keys in shop.yaml.
func ruled(t *testing.T, rules string) fstest.MapFS {
	t.Helper()
	folder := minimal(t)
	folder["shop.yaml"] = &fstest.MapFile{Data: append([]byte(rules), folder["shop.yaml"].Data...)}
	return folder
}

func TestMarkupWherePriceIsNotGiven(t *testing.T) {
	const markups = "markups:\n  - {up_to: \"5.00\", percent: 100}\n  - {up_to: \"50.00\", percent: 60}\n  - {percent: 33.335}\n"
	for cost, want := range map[string]string{
		"0.01": "0.02", "5.00": "10.00", "5.01": "8.02", "50.00": "80.00", "50.01": "66.68", "100.00": "133.34", // 8.016, 66.680835 and 133.335 are rounded half up
	} {
		folder := ruled(t, markups)
		change(t, folder, "fuses.csv", "6.00,3.33", ","+cost)
		c := read(t, folder)
		f, ok := c.Part("FU-BS-060")
		require.True(t, ok)
		assert.Equal(t, want, f.Price.Number(), cost)
		assert.Positive(t, f.UnitNano)
	}
	folder := ruled(t, "markups:\n  - {up_to: \"5.00\", percent: 100}\n")
	change(t, folder, "fuses.csv", "6.00,3.33", ",5.01")
	assert.Equal(t, "fuses.csv:2:3: price: the cell is empty, and no markup of shop.yaml prices a cost of 5.01; allowed: above 0, up to 1000000 USD", faultsOf(t, folder).Error())
	folder = minimal(t)
	change(t, folder, "fuses.csv", "6.00,3.33", ",3.33")
	assert.Equal(t, "fuses.csv:2:3: price: the cell is empty; allowed: above 0, up to 1000000 USD", faultsOf(t, folder).Error())
}

func TestPriceRulesAreRead(t *testing.T) {
	c := read(t, ruled(t, "trip: {charge: \"25.00\", per_km: \"0.80\", free_km: 20}\nnot_to_exceed_percent: 10\ndiscount_limits: {counter: 7.5}\ncash_step: \"0.05\"\n"))
	r := c.Shop.Rules
	assert.Equal(t, "25.00", r.Trip.Charge.Number())
	assert.Equal(t, "0.80", r.Trip.PerKm.Number())
	assert.Equal(t, "0.05", r.CashStep.Number())
	assert.Equal(t, 20, r.Trip.FreeKm)
	assert.True(t, r.HasNotToExceed)
	assert.InDelta(t, 10, float64(r.NotToExceed), 0)
	assert.InDelta(t, 7.5, float64(r.DiscountLimits[catalog.Counter]), 0)
	_, limited := r.DiscountLimits[catalog.Owner]
	assert.False(t, limited)
}

func TestPriceRuleFaults(t *testing.T) {
	for rules, want := range map[string]string{
		"markups:\n  - {percent: 60}\n  - {percent: 50}\n":                                   "shop.yaml:3:5: the markup is never reached; allowed: rising up_to; at most the last without it",
		"markups:\n  - {up_to: \"5.00\", percent: 60}\n  - {up_to: \"5.00\", percent: 50}\n": "shop.yaml:3:5: the markup is never reached; allowed: rising up_to; at most the last without it",
		"markups:\n  - {percent: 1001}\n":                                                    "shop.yaml:2:15: percent: 1001 is out of range; allowed: 0 to 1000 percent",
		"trip: {charge: \"25.005\"}\n":                                                       "shop.yaml:1:16: charge: 25.005 has 3 decimal places; allowed: up to 2 for USD",
		"discount_limits: {conter: 5}\n":                                                     `shop.yaml:1:19: unknown key "conter"; did you mean counter?; allowed: counter, owner`,
		"cash_step: \"0\"\n":                                                                 "shop.yaml:1:12: cash_step: 0 is out of range; allowed: above 0, up to 1000000 USD",
		"not_to_exceed_percent: 101\n":                                                       "shop.yaml:1:24: not_to_exceed_percent: 101 is out of range; allowed: 0 to 100 percent",
	} {
		assert.Equal(t, want, faultsOf(t, ruled(t, rules)).Error())
	}
}

// withBreaks gives the minimal folder with the price breaks of its first fuse.
func withBreaks(t *testing.T, cell string) fstest.MapFS {
	t.Helper()
	folder := minimal(t)
	change(t, folder, "fuses.csv", "ignition_protected", "ignition_protected,breaks")
	change(t, folder, "fuses.csv", "bolt_small,60,,,", "bolt_small,60,,,,"+cell)
	return folder
}

func TestPriceBreaksAreRead(t *testing.T) {
	empty := withBreaks(t, "")
	assert.Equal(t, read(t, minimal(t)).Revision, read(t, empty).Revision, "an empty column")
	c := read(t, withBreaks(t, "10=5.50 100=4.00"))
	assert.NotEqual(t, read(t, minimal(t)).Revision, c.Revision)
	f, _ := c.Part("FU-BS-060")
	require.Len(t, f.Breaks, 2)
	assert.Equal(t, 100, f.Breaks[1].From)
	assert.Equal(t, "4.00", f.Breaks[1].Price.Number())
	for cell, problem := range map[string]string{
		"ten=5": `breaks: "ten=5" is no price break`, "1=5": `breaks: "1=5" is no price break`, "10": `breaks: "10" is no price break`,
		"10=5.505": "breaks: 5.505 has 3 decimal places", "10=5 10=4": "breaks: the break at 10 does not come after that at 10",
		"10=6.00": "breaks: the price from 10 on is not below the one before", "10=0": "breaks: 0 is out of range",
	} {
		assert.Contains(t, faultsOf(t, withBreaks(t, cell)).Error(), "fuses.csv:2:13: "+problem, cell)
	}
}

// TestMinorUnits: ISO 4217 gives the yen no minor unit, the dinar of Kuwait three
// decimals.
func TestMinorUnits(t *testing.T) {
	for code, cells := range map[string][2]string{"JPY": {"6", "6.0"}, "USD": {"6.05", "6.005"}, "KWD": {"6.005", "6.0005"}} {
		folder := minimal(t)
		for name, file := range map[string]string{"price": cells[0], "too fine": cells[1]} {
			one := fstest.MapFS{}
			for n, f := range folder {
				one[n] = f
			}
			change(t, one, "shop.yaml", "currency: USD", "currency: "+code)
			change(t, one, "fuses.csv", "6.00,3.33", file+",")
			_, err := catalog.Read(one)
			if err == nil {
				assert.Equal(t, "price", name, code)
				continue
			}
			fault := "fuses.csv:2:3: price: " + file + " has"
			assert.Equal(t, name == "too fine", strings.Contains(err.Error(), fault), "%s %s: %v", code, file, err)
		}
	}
}
