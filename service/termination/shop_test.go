package termination_test

import (
	"fmt"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/require"
)

// demoShop reads the demo catalog anew, so that a test may change its copy.
func demoShop(t testing.TB) *catalog.Catalog {
	t.Helper()
	cat, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	return cat
}

// cable finds a conductor of the catalog by SKU.
func cable(t testing.TB, cat *catalog.Catalog, sku string) *catalog.Conductor {
	t.Helper()
	entry, ok := cat.Entry(sku)
	require.True(t, ok, sku)
	c, ok := entry.(*catalog.Conductor)
	require.True(t, ok, sku)
	return c
}

// landings is one landing of every kind that an end meets in a vehicle.
func landings() []catalog.Landing {
	return []catalog.Landing{
		{Kind: catalog.OnStud, Stud: "M6"}, {Kind: catalog.OnStud, Stud: "M8"}, {Kind: catalog.OnStud, Stud: "M10"}, {Kind: catalog.OnStud, Stud: "5/16"},
		{Kind: catalog.OnHolder, Stud: "M8"}, {Kind: catalog.OnBlock, Stud: "M8"},
		{Kind: catalog.OnChassis, Stud: "M8"},
		{Kind: catalog.OnSetScrew}, {Kind: catalog.OnBlock},
		{Kind: catalog.OnBlade}, {Kind: catalog.OnBlade, TabWidth: 6.3},
		{Kind: catalog.OnSplice}, {Kind: catalog.OnFlyingLead},
	}
}

// ends is every conductor of the shop on every landing in every category, each
// with the name of its case.
func ends(cat *catalog.Catalog) map[string]termination.Joint {
	all := map[string]termination.Joint{}
	for i := range cat.Conductors {
		for _, l := range landings() {
			for _, category := range electrical.Categories() {
				c := &cat.Conductors[i]
				name := fmt.Sprintf("%s on %s %s %v, %s", c.SKU, l.Kind, l.Stud, float64(l.TabWidth), category)
				all[name] = termination.Joint{Landing: l, Conductor: c, Category: category, Environment: electrical.Exposed}
			}
		}
	}
	return all
}

// millimetres prints a figure for a failure.
func millimetres(m quantity.Millimetres) string { return fmt.Sprintf("%.2f mm", float64(m)) }
