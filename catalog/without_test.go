package catalog_test

import (
	"fmt"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

// skuLess drops rows from the text of every table, by the SKU that they begin with.
func skuLess(folder fstest.MapFS, skus map[string]bool) fstest.MapFS {
	out := fstest.MapFS{}
	for name, file := range folder {
		if !strings.HasSuffix(name, ".csv") {
			out[name] = file
			continue
		}
		var kept strings.Builder
		for line := range strings.Lines(string(file.Data)) {
			if sku, _, _ := strings.Cut(line, ","); !skus[strings.TrimSpace(sku)] {
				kept.WriteString(line)
			}
		}
		out[name] = &fstest.MapFile{Data: []byte(kept.String())}
	}
	return out
}

// A catalog without some parts is the one that is read from files without their rows.
func TestWithoutIsAsIfTheRowsWereNotThere(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		folder := random(t, r)
		whole := read(t, folder)
		before := listed(whole)
		dropped := map[string]bool{"none": true}
		for _, kind := range []string{"C", "F", "T", "X"} {
			for n := range 25 {
				if rapid.Bool().Draw(r, "drop") {
					dropped[fmt.Sprintf("%s%d", kind, n)] = true
				}
			}
		}
		got, want := whole.Without(dropped), read(t, skuLess(folder, dropped))
		assert.Equal(r, whole.Revision, got.Revision)
		assert.Equal(r, listed(want), listed(got))
		for _, sku := range listed(whole) {
			wanted, there := want.Entry(sku)
			found, ok := got.Entry(sku)
			assert.Equal(r, there, ok, sku)
			assert.Equal(r, wanted, found, sku)
		}
		size := anySize(r)
		for _, form := range catalog.Forms() {
			assert.Equal(r, want.TerminalsFor(form, size), got.TerminalsFor(form, size))
			assert.Equal(r, want.ToolsFor(form, size), got.ToolsFor(form, size))
		}
		for _, family := range electrical.Families() {
			assert.Equal(r, want.FuseLadder(family), got.FuseLadder(family))
		}
		assert.Equal(r, want.ConductorsFor(want.Shop.Habits[electrical.Van]), got.ConductorsFor(got.Shop.Habits[electrical.Van]))
		for _, task := range catalog.Tasks() {
			wanted, there := want.Operation(task, size)
			found, ok := got.Operation(task, size)
			assert.Equal(r, there, ok)
			assert.Equal(r, wanted, found)
		}
		assert.Equal(r, before, listed(whole), "the whole one is as it was")
	})
}

// listed gives the SKUs of the parts that random makes, in order.
func listed(c *catalog.Catalog) []string {
	return slices.Concat(
		skus(c.Conductors, func(p catalog.Conductor) string { return p.SKU }), skus(c.Fuses, func(p catalog.Fuse) string { return p.SKU }),
		skus(c.Terminals, func(p catalog.Terminal) string { return p.SKU }), skus(c.Tools, func(p catalog.Tool) string { return p.SKU }))
}

func TestNearestPart(t *testing.T) {
	c := read(t, minimal(t))
	for typed, want := range map[string]string{"LM-01": "LM-10", "lm 10": "LM-10", "EQ-FRG-4": "EQ-FRG-40", "something else": ""} {
		got, ok := c.Nearest(typed)
		assert.Equal(t, want, got, typed)
		assert.Equal(t, want != "", ok, typed)
	}
}
