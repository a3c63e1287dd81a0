package catalog_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// plain gives the plain files of a folder that must be sound.
func plain(t require.TestingT, folder fstest.MapFS) catalog.Folder {
	out, err := catalog.Plain(folder)
	require.NoError(t, err)
	return out
}

func TestPlainFilesGiveTheSameRevision(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		folder := random(t, r)
		if rapid.Bool().Draw(r, "workbook") {
			folder = inWorkbook(t, folder)
		}
		want := read(t, folder)
		out := plain(r, folder)
		assert.ElementsMatch(r, catalog.Files(), out.Names())
		got := read(t, out)
		assert.Equal(r, want.Revision, got.Revision)
		assert.True(r, catalog.Compare(want, got).None())
	})
}

func TestPlainFilesOfOtherWritings(t *testing.T) {
	want := read(t, demoFolder(t)).Revision
	folder := demoFolder(t)
	for name, file := range folder {
		if strings.HasSuffix(name, ".csv") {
			folder[name] = &fstest.MapFile{Data: with(t, file.Data, ";", true)}
		}
	}
	folder["shop.yaml"] = &fstest.MapFile{Data: append([]byte("decimal_sign: comma\n"), folder["shop.yaml"].Data...)}
	out := plain(t, folder)
	assert.NotContains(t, string(out["shop.yaml"]), "decimal_sign")
	assert.True(t, strings.HasPrefix(string(out["sleeves.csv"]), "sku,description,price,"))
	assert.Equal(t, want, read(t, out).Revision)

	inches := minimal(t)
	change(t, inches, "sleeves.csv", "supplied_mm", "supplied_in")
	change(t, inches, "sleeves.csv", ",12,4,", ",0.5,4,")
	out = plain(t, inches)
	assert.Contains(t, string(out["sleeves.csv"]), ",12.7,4,")
	assert.Equal(t, read(t, inches).Revision, read(t, out).Revision)

	broken := minimal(t)
	delete(broken, "fuses.csv")
	_, err := catalog.Plain(broken)
	require.Error(t, err)
}

func TestCompare(t *testing.T) {
	before := read(t, minimal(t))
	assert.True(t, catalog.Compare(before, read(t, minimal(t))).None())

	folder := minimal(t)
	change(t, folder, "fuses.csv", "6.00,3.33", "6.60,3.33")
	change(t, folder, "fuses.csv", "FU-BS-080", "FU-BS-081")
	folder["curves.csv"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(string(folder["curves.csv"].Data), "FU-BS-080", "FU-BS-081"))}
	change(t, folder, "labour.csv", "13.5", "14")
	change(t, folder, "vehicles.yaml", "label: Sedan", "label: Saloon")
	change(t, folder, "tools.csv", "Hydraulic press", "Hydraulic Press")
	d := catalog.Compare(before, read(t, folder))
	assert.Equal(t, []string{"FU-BS-081"}, d.Parts.Added)
	assert.Equal(t, []string{"FU-BS-080"}, d.Parts.Withdrawn)
	assert.Equal(t, []string{"FU-BS-060", "TL-HYD"}, d.Parts.Changed)
	assert.Equal(t, []string{"CRIMP-ANY"}, d.Operations.Changed)
	assert.Equal(t, []string{"sedan"}, d.Vehicles.Changed)
	assert.False(t, d.Shop)
	require.Len(t, d.Prices, 1)
	assert.Equal(t, "6.60", d.Prices[0].New.Number())
	assert.InDelta(t, 10, float64(d.Prices[0].Percent), 1e-9)

	folder = minimal(t)
	change(t, folder, "shop.yaml", `"8.25"`, `"8.5"`)
	d = catalog.Compare(before, read(t, folder))
	assert.True(t, d.Shop)
	assert.True(t, d.Parts.None())
}
