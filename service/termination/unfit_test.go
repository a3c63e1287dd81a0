package termination_test

import (
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestUnfit names what binds where an end cannot be made.
func TestUnfit(t *testing.T) {
	tests := []struct {
		name    string
		change  func(*catalog.Catalog)
		sku     string
		landing catalog.Landing
		want    string
		keys    []string
	}{
		{"thicker than the landing takes", nil, "CB-04-CU-RD", catalog.Landing{Kind: catalog.OnSetScrew, Largest: quantity.AWG(8)}, "landing.largest", []string{"largest", "conductor"}},
		{"thinner than the landing takes", nil, "CB-14-CU-RD", catalog.Landing{Kind: catalog.OnHolder, Stud: "M8", Smallest: quantity.AWG(8)}, "landing.smallest", []string{"smallest", "conductor"}},
		{"no ring for so small a stud", nil, "CB-4-0-CU-RD", catalog.Landing{Kind: catalog.OnStud, Stud: "M5"}, "terminal", []string{"form", "conductor", "stud"}},
		{"a stud that nobody knows", nil, "CB-08-CU-RD", catalog.Landing{Kind: catalog.OnStud, Stud: "M7"}, "terminal", []string{"form", "conductor", "stud"}},
		{"a blade of another width", nil, "CB-14-CU-RD", catalog.Landing{Kind: catalog.OnBlade, TabWidth: 9.5}, "terminal", []string{"form", "conductor", "stud"}},
		{"bundle thicker than the barrel", func(c *catalog.Catalog) {
			for i := range c.Terminals {
				c.Terminals[i].BarrelInner = 1
			}
		}, "CB-08-CU-RD", stud, "terminal", []string{"form", "conductor", "stud"}},
		{"no tool", func(c *catalog.Catalog) { c.Tools = nil }, "CB-08-CU-RD", stud, "tool", []string{"form", "conductor"}},
		{"no heavy tool for 4 AWG", func(c *catalog.Catalog) {
			for i := range c.Tools {
				c.Tools[i].Sort = catalog.Ratchet
			}
		}, "CB-04-CU-RD", stud, "tool", []string{"form", "conductor"}},
		{"no sleeve", func(c *catalog.Catalog) { c.Sleeves = nil }, "CB-08-CU-RD", stud, "sleeve", []string{"largest_mm", "smallest_mm"}},
		{"no sleeve with adhesive", func(c *catalog.Catalog) {
			for i := range c.Sleeves {
				c.Sleeves[i].Adhesive = false
			}
		}, "CB-14-CU-RD", lead, "sleeve", []string{"largest_mm", "smallest_mm"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			cat := demoShop(t)
			if tt.change != nil {
				tt.change(cat)
			}
			_, err := termination.NewPlanner(cat).Plan(termination.Joint{Landing: tt.landing, Conductor: cable(t, cat, tt.sku), Category: electrical.Car, Environment: electrical.Cabin})
			var unfit *termination.Unfit
			require.ErrorAs(t, err, &unfit)
			assert.Equal(t, tt.want, unfit.Constraint)
			require.ErrorContains(t, err, tt.want)
			var keys []string
			for _, f := range unfit.Figures {
				keys = append(keys, f.Key)
			}
			assert.Equal(t, tt.keys, keys)
		})
	}
}

// TestNoLabourForTheSize: a joint that the price list has no time for is refused,
// not given away.
func TestNoLabourForTheSize(t *testing.T) {
	// A soldered splice is priced up to 10 AWG; a shop that splices thicker cable so
	// has no line for it.
	cat := demoShop(t)
	cat.Shop.Termination.SpliceBelow = quantity.AWG(2)
	_, err := termination.NewPlanner(cat).Plan(termination.Joint{Landing: splice, Conductor: cable(t, cat, "CB-06-CU-RD"), Category: electrical.Car, Environment: electrical.Cabin})
	var unfit *termination.Unfit
	require.ErrorAs(t, err, &unfit)
	assert.Equal(t, "labour", unfit.Constraint)
}

// TestUntinnedTerminalsStayAshore: on a boat only tinned terminals are taken.
func TestUntinnedTerminalsStayAshore(t *testing.T) {
	cat := demoShop(t)
	for i := range cat.Terminals {
		cat.Terminals[i].Tinned = false
	}
	j := termination.Joint{Landing: stud, Conductor: cable(t, cat, "CB-08-TC-RD"), Category: electrical.Car, Environment: electrical.Cabin}
	planner := termination.NewPlanner(cat)
	_, err := planner.Plan(j)
	require.NoError(t, err)
	j.Category = electrical.Boat
	_, err = planner.Plan(j)
	var unfit *termination.Unfit
	require.ErrorAs(t, err, &unfit)
	assert.Equal(t, "terminal", unfit.Constraint)
}

// TestContactResistance: barrel and contact together, from the figures of
// service/electrical (common practice, no source).
func TestContactResistance(t *testing.T) {
	cat := demoShop(t)
	planner := termination.NewPlanner(cat)
	const barrel8, barrel14 = 0.07, 0.19 // mΩ, MIL-T-7928 drop over test current
	tests := []struct {
		name    string
		sku     string
		landing catalog.Landing
		battery bool
		want    float64 // mΩ
	}{
		{"ring on a stud", "CB-08-CU-RD", stud, false, 0.05 + barrel8},
		{"ring on a battery post", "CB-08-CU-RD", stud, true, 0.10 + barrel8},
		{"ring on bare steel", "CB-08-CU-RD", chassis, false, 0.20 + barrel8},
		{"ferrule", "CB-08-CU-RD", setScrew, false, 0.20 + barrel8},
		{"push-on", "CB-14-CU-RD", blade, false, 0.50 + barrel14},
		{"crimped splice, two crimps", "CB-08-CU-RD", splice, false, 0.25},
		{"soldered splice", "CB-14-CU-RD", splice, false, 0.05},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			plan, err := planner.Plan(termination.Joint{Landing: tt.landing, Conductor: cable(t, cat, tt.sku), Category: electrical.Car, Environment: electrical.Cabin, Battery: tt.battery})
			require.NoError(t, err)
			assert.InDelta(t, tt.want, plan.Resistance.Milliohms(), 1e-6)
		})
	}
}
