package shopfolder_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/cmd/internal/shopfolder"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// inWorkbook writes the invented shop's tables as one workbook with the YAML files
// beside it, and tables that belong to nobody.
func inWorkbook(t *testing.T) string {
	t.Helper()
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, demo.Files()))
	book := excelize.NewFile()
	for _, name := range catalog.Files() {
		sheet, ok := strings.CutSuffix(name, ".csv")
		if !ok {
			continue
		}
		file, err := os.Open(filepath.Join(dir, name))
		require.NoError(t, err)
		rows, err := csv.NewReader(file).ReadAll()
		require.NoError(t, err)
		require.NoError(t, file.Close())
		_, err = book.NewSheet(sheet)
		require.NoError(t, err)
		for i, row := range rows {
			at, err := excelize.CoordinatesToCellName(1, i+1)
			require.NoError(t, err)
			require.NoError(t, book.SetSheetRow(sheet, at, &row))
		}
	}
	require.NoError(t, book.SaveAs(filepath.Join(dir, "tables.xlsx")))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "other.xlsx"), []byte("no workbook"), 0o600))
	return filepath.Join(dir, "tables.xlsx")
}

func TestRead(t *testing.T) {
	invented, err := shopfolder.Read("")
	require.NoError(t, err)
	assert.False(t, invented.Named)

	path := inWorkbook(t)
	shop, err := shopfolder.Read(path)
	require.NoError(t, err, "the tables and the other workbook beside it are left alone")
	assert.True(t, shop.Named)
	assert.Equal(t, invented.Catalog.Revision, shop.Catalog.Revision)
	packed, err := shop.Packed()
	require.NoError(t, err)
	files, err := quoting.Unpack(packed)
	require.NoError(t, err)
	again, err := catalog.Read(files)
	require.NoError(t, err)
	assert.Equal(t, shop.Catalog.Revision, again.Revision, "a workbook is kept as plain files")

	_, err = shopfolder.Read(filepath.Dir(path))
	var faults catalog.Faults
	require.ErrorAs(t, err, &faults, "two workbooks, and tables twice")
	for _, nowhere := range []string{"nowhere", "nowhere.xlsx", filepath.Join(filepath.Dir(path), "fuses.csv")} {
		_, err = shopfolder.Read(nowhere)
		require.ErrorIs(t, err, shopfolder.ErrNowhere)
	}
}
