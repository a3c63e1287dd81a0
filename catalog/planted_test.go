package catalog_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"slices"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestThirtyPlantedFaults plants thirty slips in the demo shop, each in a row and
// column of its own, as a shop would make them, and asks for every one at its place.
func TestThirtyPlantedFaults(t *testing.T) {
	folder := demoFolder(t)
	slips := []struct {
		file   string
		row    int // counted from 1, the header's being 1
		column string
		cell   string
	}{
		{"conductors.csv", 2, "price", "0,28"}, {"conductors.csv", 7, "size", "eighteen"}, {"conductors.csv", 20, "material", "coper"},
		{"conductors.csv", 33, "insulation_c", "1050"}, {"conductors.csv", 40, "sold_by", "feet"}, {"conductors.csv", 51, "colour", ""},
		{"fuses.csv", 3, "sku", "FU-BLD-1"}, {"fuses.csv", 9, "family", "blades"}, {"fuses.csv", 15, "rating_a", "-5"}, {"fuses.csv", 30, "price", ""},
		{"holders.csv", 4, "max_rating_a", "thirty"}, {"holders.csv", 11, "stud", "M7"}, {"holders.csv", 12, "sealed", "maybe"},
		{"blocks.csv", 2, "ways", "6.5"}, {"blocks.csv", 4, "fused", ""}, {"blocks.csv", 8, "in_largest", "60 mm3"},
		{"terminals.csv", 2, "form", "rign"}, {"terminals.csv", 10, "hole_mm", "43.2"}, {"terminals.csv", 20, "barrel_inner_mm", "0"},
		{"terminals.csv", 30, "construction", "open"}, {"terminals.csv", 40, "largest", "50 AWG"},
		{"sleeves.csv", 3, "recovered_mm", "60"}, {"sleeves.csv", 5, "adhesive", "glue"},
		{"relays.csv", 2, "coil_v", "120"}, {"sundries.csv", 6, "use", "boots"}, {"sundries.csv", 9, "pack_qty", "12"},
		{"equipment.csv", 3, "class", "dd"}, {"equipment.csv", 12, "device", "bilge_pump"},
		{"tools.csv", 3, "sort", "rachet"}, {"labour.csv", 5, "minutes", "ten"},
	}
	require.Len(t, slips, 30)
	var want []string
	tables := map[string][][]string{}
	for _, s := range slips {
		if tables[s.file] == nil {
			tables[s.file] = records(t, folder[s.file].Data)
		}
		column := slices.Index(tables[s.file][0], s.column)
		require.GreaterOrEqual(t, column, 0, s.column)
		tables[s.file][s.row-1][column] = s.cell
		want = append(want, fmt.Sprintf("%s:%d:%d", s.file, s.row, column+1))
	}
	for name, table := range tables {
		var b bytes.Buffer
		require.NoError(t, csv.NewWriter(&b).WriteAll(table))
		folder[name] = &fstest.MapFile{Data: b.Bytes()}
	}
	places := func(folder fstest.MapFS, rename func(string) string) []string {
		var got []string
		for _, f := range faultsOf(t, folder) {
			got = append(got, fmt.Sprintf("%s:%d:%d", rename(f.File), f.Line, f.Column))
		}
		return got
	}
	// The number that row 3 of fuses.csv lost has rows in curves.csv only where it is
	// a fuse that has some; FU-BLD-2 has none.
	assert.ElementsMatch(t, want, places(folder, func(name string) string { return name }))
	// The same from a workbook, at the same rows and columns.
	assert.ElementsMatch(t, want, places(inWorkbook(t, folder), func(name string) string {
		return name[len("catalog.xlsx/"):] + ".csv"
	}))
}
