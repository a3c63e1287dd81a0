package catalog_test

import (
	"testing"

	"example.com/lugbook/catalog"

	"github.com/bojanz/currency"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// found gives the SKUs that a filter finds in the demo shop.
func found(t *testing.T, f catalog.Filter) []string {
	t.Helper()
	c := read(t, demoFolder(t))
	var all []string
	for _, e := range c.Find(f) {
		switch e := e.(type) {
		case *catalog.Tool:
			all = append(all, e.SKU)
		case *catalog.Fuse:
			all = append(all, e.SKU)
		case *catalog.Holder:
			all = append(all, e.SKU)
		case *catalog.Block:
			all = append(all, e.SKU)
		case *catalog.Relay:
			all = append(all, e.SKU)
		default:
			all = append(all, "other")
		}
	}
	return all
}

func TestFindPutsTheBestFitFirst(t *testing.T) {
	relays := found(t, catalog.Filter{Text: "relay"})
	require.NotEmpty(t, relays)
	assert.Contains(t, relays[0], "RL-")
	assert.Equal(t, []string{"FU-BLD-1"}, found(t, catalog.Filter{Text: "fu-bld-1", Kind: catalog.KindFuse})[:1])
	holders := found(t, catalog.Filter{Text: "holder sealed", Kind: catalog.KindHolder})
	require.NotEmpty(t, holders)
	assert.Equal(t, found(t, catalog.Filter{Text: "SEALED Holder", Kind: catalog.KindHolder}), holders)
}

func TestFindMisspeltWords(t *testing.T) {
	for misspelt, meant := range map[string]string{"hydrauliic": "hydraulic", "crimpr ratchet": "crimper ratchet", "rachet crimper": "ratchet crimper"} {
		want := found(t, catalog.Filter{Text: meant, Kind: catalog.KindTool})
		require.NotEmpty(t, want, meant)
		assert.ElementsMatch(t, want, found(t, catalog.Filter{Text: misspelt, Kind: catalog.KindTool}), misspelt)
	}
	assert.Empty(t, found(t, catalog.Filter{Text: "kettle"}))
	assert.Empty(t, found(t, catalog.Filter{Text: "xqz"}))
}

func TestFindByPriceRatingAndStud(t *testing.T) {
	most, err := currency.NewAmount("1.20", "USD")
	require.NoError(t, err)
	cheap := found(t, catalog.Filter{Kind: catalog.KindFuse, MaxPrice: most})
	assert.Contains(t, cheap, "FU-BLD-1") // at just that price
	assert.NotContains(t, cheap, "FU-MAX-60")
	euro, err := currency.NewAmount("1000.00", "EUR")
	require.NoError(t, err)
	assert.Empty(t, found(t, catalog.Filter{MaxPrice: euro}))
	assert.NotContains(t, found(t, catalog.Filter{Kind: catalog.KindRelay, Rating: 41}), "RL-040-12")
	assert.Contains(t, found(t, catalog.Filter{Kind: catalog.KindRelay, Rating: 40}), "RL-040-12")
	assert.Contains(t, found(t, catalog.Filter{Kind: catalog.KindBlock, Rating: 30}), "BK-BLD-06")
	assert.NotContains(t, found(t, catalog.Filter{Kind: catalog.KindBlock, Rating: 31}), "BK-BLD-06")
	assert.Contains(t, found(t, catalog.Filter{Kind: catalog.KindRelay, Stud: "M8"}), "RL-200-12")
}
