package termination_test

import (
	"encoding/csv"
	"os"
	"strconv"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestStripLength: by hand from the barrels of the demo catalog (common practice,
// no source): a lug's barrel and 1 mm, a push-on's and 0.5 mm, half a butt
// splice's and 0.5 mm, a ferrule's length, 20 mm of lap for a soldered splice.
func TestStripLength(t *testing.T) {
	cat := demoShop(t)
	planner := termination.NewPlanner(cat)
	tests := []struct {
		sku     string
		landing catalog.Landing
		want    quantity.Millimetres
	}{
		{"CB-08-CU-RD", catalog.Landing{Kind: catalog.OnStud, Stud: "M8"}, 13},
		{"CB-4-0-CU-RD", catalog.Landing{Kind: catalog.OnStud, Stud: "M10"}, 34},
		{"CB-14-CU-RD", catalog.Landing{Kind: catalog.OnChassis, Stud: "M6"}, 6.5},
		{"CB-14-CU-RD", catalog.Landing{Kind: catalog.OnBlade}, 6},
		{"CB-06-CU-RD", catalog.Landing{Kind: catalog.OnFlyingLead}, 7.5},
		{"CB-14-CU-RD", catalog.Landing{Kind: catalog.OnSplice}, 20},
		{"CB-04-CU-RD", catalog.Landing{Kind: catalog.OnSetScrew}, 18},
	}
	for _, tt := range tests {
		t.Run(tt.sku+" on "+string(tt.landing.Kind), func(t *testing.T) {
			plan, err := planner.Plan(termination.Joint{Landing: tt.landing, Conductor: cable(t, cat, tt.sku), Category: electrical.Car, Environment: electrical.Cabin})
			require.NoError(t, err)
			assert.InDelta(t, float64(tt.want), float64(plan.Strip), 1e-9)
		})
	}
}

// publishedPull reads testdata/pull_force.csv, newton by gauge.
func publishedPull(t *testing.T) map[string]float64 {
	t.Helper()
	f, err := os.Open("testdata/pull_force.csv")
	require.NoError(t, err)
	defer func() { require.NoError(t, f.Close()) }()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	published := map[string]float64{}
	for _, row := range rows[1:] {
		published[row[0]], err = strconv.ParseFloat(row[1], 64)
		require.NoError(t, err)
	}
	require.Len(t, published, 13)
	return published
}

func TestPullForceIsAsPublished(t *testing.T) {
	for gauge, newton := range publishedPull(t) {
		size, err := quantity.ParseSize(gauge + " AWG")
		require.NoError(t, err)
		assert.InDelta(t, newton, float64(termination.PullForce(size)), 1e-9, gauge)
	}
}

// TestPullForceBetweenRows: a size that is not listed takes the next thinner
// gauge's figure, and one below the table none.
func TestPullForceBetweenRows(t *testing.T) {
	published := publishedPull(t)
	tests := []struct {
		size quantity.Size
		want float64
	}{
		{quantity.Metric(16), published["6"]},    // 6 AWG is 13.3 mm², 4 AWG 21.15
		{quantity.Metric(10), published["8"]},    // 8 AWG is 8.37 mm²
		{quantity.Metric(2.5), published["14"]},  // 14 AWG is 2.08 mm²
		{quantity.Metric(1.5), published["16"]},  // 16 AWG is 1.31 mm²
		{quantity.AWG(7), published["8"]},        // not listed
		{quantity.Metric(70), published["2/0"]},  // 2/0 is 67.4 mm²
		{quantity.Metric(0.33), published["22"]}, // as a printed 22 AWG
		{quantity.Metric(0.2), 0},
		{quantity.AWG(24), 0},
	}
	for _, tt := range tests {
		assert.InDelta(t, tt.want, float64(termination.PullForce(tt.size)), 1e-9, tt.size.String())
	}
}

func TestPullForceNeverFallsWithSize(t *testing.T) {
	last := quantity.Newtons(0)
	for gauge := 26; gauge >= quantity.ThickestAWG; gauge-- {
		force := termination.PullForce(quantity.AWG(gauge))
		assert.GreaterOrEqual(t, force, last, "AWG %d", gauge)
		last = force
	}
	assert.Positive(t, last)
}
