package catalog_test

import (
	"bytes"
	"encoding/csv"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"
)

// demoFolder gives the demo shop's files to rewrite.
func demoFolder(t testing.TB) fstest.MapFS {
	t.Helper()
	folder := fstest.MapFS{}
	for _, name := range catalog.Files() {
		raw, err := fs.ReadFile(demo.Files(), name)
		require.NoError(t, err)
		folder[name] = &fstest.MapFile{Data: raw}
	}
	return folder
}

// records gives the cells of a CSV file.
func records(t testing.TB, raw []byte) [][]string {
	t.Helper()
	r := csv.NewReader(bytes.NewReader(raw))
	r.FieldsPerRecord = -1
	all, err := r.ReadAll()
	require.NoError(t, err)
	return all
}

// inWorkbook puts the tables of a folder into one workbook.
func inWorkbook(t testing.TB, folder fstest.MapFS) fstest.MapFS {
	t.Helper()
	book := excelize.NewFile()
	out := fstest.MapFS{}
	for name, file := range folder {
		sheet, isTable := strings.CutSuffix(name, ".csv")
		if !isTable {
			out[name] = file
			continue
		}
		_, err := book.NewSheet(sheet)
		require.NoError(t, err)
		for n, record := range records(t, file.Data) {
			at, err := excelize.CoordinatesToCellName(1, n+1)
			require.NoError(t, err)
			require.NoError(t, book.SetSheetRow(sheet, at, &record))
		}
	}
	require.NoError(t, book.DeleteSheet("Sheet1"))
	raw, err := book.WriteToBuffer()
	require.NoError(t, err)
	out["catalog.xlsx"] = &fstest.MapFile{Data: raw.Bytes()}
	return out
}

func TestWorkbookGivesTheSameRevision(t *testing.T) {
	for name, folder := range map[string]fstest.MapFS{"minimal": minimal(t), "demo": demoFolder(t)} {
		assert.Equal(t, read(t, folder).Revision, read(t, inWorkbook(t, folder)).Revision, name)
	}
}

// TestWorkbookCells: numbers typed as numbers count as they are shown, and money with
// its sign as the number behind it.
func TestWorkbookCells(t *testing.T) {
	folder := inWorkbook(t, minimal(t))
	book, err := excelize.OpenReader(bytes.NewReader(folder["catalog.xlsx"].Data))
	require.NoError(t, err)
	places, err := book.NewStyle(&excelize.Style{NumFmt: 2}) // 0.00
	require.NoError(t, err)
	format := `"$"#,##0.00`
	money, err := book.NewStyle(&excelize.Style{CustomNumFmt: &format})
	require.NoError(t, err)
	require.NoError(t, book.SetCellValue("fuses", "C2", 6.0))
	require.NoError(t, book.SetCellStyle("fuses", "C2", "C2", places))
	require.NoError(t, book.SetCellValue("fuses", "C3", 1012.5))
	require.NoError(t, book.SetCellStyle("fuses", "C3", "C3", money))
	require.NoError(t, book.SetCellValue("fuses", "I2", 60))
	raw, err := book.WriteToBuffer()
	require.NoError(t, err)
	folder["catalog.xlsx"] = &fstest.MapFile{Data: raw.Bytes()}
	c := read(t, folder)
	assert.Equal(t, "6.00", c.Fuses[0].Price.Number())
	assert.Equal(t, "1012.5", c.Fuses[1].Price.Number())
	assert.InDelta(t, 60, float64(c.Fuses[0].Rating), 0)
}

func TestWorkbookFaults(t *testing.T) {
	change := func(change func(*excelize.File)) fstest.MapFS {
		folder := inWorkbook(t, minimal(t))
		book, err := excelize.OpenReader(bytes.NewReader(folder["catalog.xlsx"].Data))
		require.NoError(t, err)
		change(book)
		raw, err := book.WriteToBuffer()
		require.NoError(t, err)
		folder["catalog.xlsx"] = &fstest.MapFile{Data: raw.Bytes()}
		return folder
	}
	folder := change(func(b *excelize.File) {
		require.NoError(t, b.SetCellValue("fuses", "C3", "dear"))
		require.NoError(t, b.SetCellValue("terminals", "H2", "rign"))
		require.NoError(t, b.DeleteSheet("relays"))
	})
	assert.Equal(t, []string{
		`catalog.xlsx/fuses:3:3: price: "dear" is not a number; allowed: above 0, up to 1000000 USD`,
		`catalog.xlsx/terminals:2:8: form: unknown word "rign"; did you mean ring?; allowed: ring, ferrule, push_on, butt`,
		`relays.csv: the file is missing; allowed: a file of that name; its header row alone where there is nothing to list`,
	}, strings.Split(faultsOf(t, folder).Error(), "\n"))

	folder = change(func(*excelize.File) {})
	folder["fuses.csv"] = minimal(t)["fuses.csv"]
	assert.Contains(t, faultsOf(t, folder).Error(), "catalog.xlsx/fuses: the folder has fuses.csv too")
	folder = change(func(*excelize.File) {})
	folder["other.xlsx"] = folder["catalog.xlsx"]
	assert.Contains(t, faultsOf(t, folder).Error(), "other.xlsx: there is another workbook: catalog.xlsx")
	folder = minimal(t)
	folder["prices.xlsx"] = &fstest.MapFile{Data: []byte("no zip")}
	assert.Contains(t, faultsOf(t, folder).Error(), "prices.xlsx: is no workbook")

	advice := read(t, change(func(b *excelize.File) {
		_, err := b.NewSheet("fuzes")
		require.NoError(t, err)
	})).Advice
	require.Len(t, advice, 1)
	assert.Equal(t, `catalog.xlsx/fuzes: the sheet is not read: unknown name "fuzes"; did you mean fuses?`, advice[0].Error())
}

// with writes cells with another separator, and decimals with a comma.
func with(t testing.TB, raw []byte, separator string, comma bool) []byte {
	t.Helper()
	var b strings.Builder
	all := records(t, raw)
	for n, record := range all {
		for i, cell := range record {
			if i > 0 {
				b.WriteString(separator)
			}
			column := all[0][i]
			prose := column == "sku" || column == "description" || column == "supplier" || column == "dies" || column == "source" || column == "code"
			if comma && n > 0 && !prose {
				cell = strings.Replace(cell, ".", ",", 1)
			}
			if strings.ContainsAny(cell, `",;`) {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			b.WriteString(cell)
		}
		b.WriteString("\r\n")
	}
	return []byte(b.String())
}

func TestSemicolonsAndDecimalCommas(t *testing.T) {
	want := read(t, demoFolder(t)).Revision
	for _, comma := range []bool{false, true} {
		for _, separator := range []string{",", ";"} {
			folder := demoFolder(t)
			for name, file := range folder {
				if strings.HasSuffix(name, ".csv") {
					folder[name] = &fstest.MapFile{Data: with(t, file.Data, separator, comma)}
				}
			}
			if comma {
				folder["shop.yaml"] = &fstest.MapFile{Data: append([]byte("decimal_sign: comma\n"), folder["shop.yaml"].Data...)}
			}
			assert.Equal(t, want, read(t, folder).Revision, "separator %s, comma %v", separator, comma)
		}
	}
	folder := demoFolder(t)
	folder["shop.yaml"] = &fstest.MapFile{Data: append([]byte("decimal_sign: comma\n"), folder["shop.yaml"].Data...)}
	assert.Contains(t, faultsOf(t, folder).Error(), `sleeves.csv:2:3: price: "10.00" has a decimal point; allowed: a decimal comma, as decimal_sign in shop.yaml says`)
}

func TestInches(t *testing.T) {
	folder := minimal(t)
	change(t, folder, "sleeves.csv", "supplied_mm", "supplied_in")
	change(t, folder, "sleeves.csv", ",12,4,", ",0.5,4,")
	c := read(t, folder)
	assert.InDelta(t, 12.7, float64(c.Sleeves[0].Supplied), 1e-12) // exact: 1 in = 25.4 mm
	same := minimal(t)
	change(t, same, "sleeves.csv", ",12,4,", ",12.7,4,")
	assert.Equal(t, read(t, same).Revision, c.Revision)

	change(t, folder, "sleeves.csv", "recovered_mm", "supplied_mm")
	assert.Contains(t, faultsOf(t, folder).Error(), "column supplied_mm is there twice, first as column 8")
}

func TestEmptyOptionalKeyKeepsTheRevision(t *testing.T) {
	want := read(t, minimal(t)).Revision
	folder := minimal(t)
	folder["shop.yaml"].Data = append(bytes.Clone(folder["shop.yaml"].Data), []byte("decimal_sign:\n")...)
	assert.Equal(t, want, read(t, folder).Revision)
}

// FuzzReadWorkbook holds what Read promises for any bytes in place of a workbook.
func FuzzReadWorkbook(f *testing.F) {
	folder := inWorkbook(f, minimal(f))
	sound := folder["catalog.xlsx"].Data
	f.Add(sound)
	f.Add(sound[:len(sound)/2])
	f.Add([]byte("PK\x03\x04"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		changed := fstest.MapFS{"shop.yaml": folder["shop.yaml"], "vehicles.yaml": folder["vehicles.yaml"], "catalog.xlsx": {Data: raw}}
		c, err := catalog.Read(changed)
		if err == nil {
			requireSound(t, c)
			return
		}
		var faults catalog.Faults
		require.ErrorAs(t, err, &faults)
		for _, fault := range faults {
			require.NotContains(t, fault.Error(), "\n")
		}
	})
}
