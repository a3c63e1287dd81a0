package catalog_test

import (
	"fmt"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/require"
)

// large gives the minimal folder with so many fuses and terminals besides.
func large(b *testing.B, parts int) fstest.MapFS {
	b.Helper()
	folder := minimal(b)
	families := electrical.Families()
	var fuses, terminals []string
	for n := range parts / 2 {
		fuses = append(fuses, fmt.Sprintf("F%06d,fuse,%d.50,,each,,,%s,%d,,,", n, n%50+1, families[n%len(families)], n%200+1))
		terminals = append(terminals, fmt.Sprintf("T%06d,ferrule,%d.50,,each,,,ferrule,%s,%s,,,,10,12,20,closed,,", n, n%50+1, sizes[n%len(sizes)], sizes[n%len(sizes)]))
	}
	file(folder, "fuses.csv", fuses)
	file(folder, "terminals.csv", terminals)
	return folder
}

func BenchmarkRead(b *testing.B) {
	for _, parts := range []int{1_000, 100_000} {
		folder := large(b, parts)
		b.Run(fmt.Sprint(parts), func(b *testing.B) {
			for b.Loop() {
				_, err := catalog.Read(folder)
				require.NoError(b, err)
			}
		})
	}
}

// BenchmarkLookup shows by the ratio of its two runs that no lookup goes
// through all parts.
func BenchmarkLookup(b *testing.B) {
	for _, parts := range []int{1_000, 100_000} {
		c, err := catalog.Read(large(b, parts))
		require.NoError(b, err)
		size := c.Conductors[0].Size
		habit := c.Shop.Habits[electrical.Van]
		b.Run(fmt.Sprint(parts), func(b *testing.B) {
			for b.Loop() {
				_, ok := c.Part("F000100")
				require.True(b, ok)
				require.NotEmpty(b, c.FuseLadder(electrical.Blade))
				require.NotEmpty(b, c.TerminalsFor(catalog.Ferrule, size))
				require.NotEmpty(b, c.ConductorsFor(habit))
			}
		})
	}
}
