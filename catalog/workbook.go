package catalog

import (
	"bytes"
	"fmt"
	"io"
	"io/fs"
	"path"
	"strings"

	"github.com/xuri/excelize/v2"
)

// workbook is the one spreadsheet that may stand in for the CSV files, with a sheet
// for each.
type workbook struct {
	name   string
	file   *excelize.File
	sheets map[string]string // file of the folder → sheet
}

// maxUnzipped bounds what a workbook may unpack to, so that a small file cannot
// exhaust memory.
const maxUnzipped = 8 * maxFileBytes

// sheetFile gives the file that a sheet stands for: "Fuses" for fuses.csv.
func sheetFile(sheet string) string { return strings.ToLower(strings.TrimSpace(sheet)) + ".csv" }

// workbook opens the spreadsheet of the folder, if there is one. Faults go to the
// report.
func (d *reading) openWorkbook() {
	entries, err := fs.ReadDir(d.fsys, ".")
	if err != nil {
		return // a file system that cannot list holds CSV files by name
	}
	for _, e := range entries {
		if !strings.EqualFold(path.Ext(e.Name()), ".xlsx") || strings.HasPrefix(e.Name(), "~$") {
			continue
		}
		if d.book.name != "" {
			d.report.fault(Fault{File: e.Name(), Problem: "there is another workbook: " + d.book.name, Allowed: "one workbook"})
			continue
		}
		d.book.name = e.Name()
		raw, ok := d.load(e.Name(), &d.report)
		if !ok {
			continue
		}
		if d.book.file, err = parseWorkbook(raw); err != nil {
			d.report.fault(Fault{File: e.Name(), Problem: "is no workbook: " + oneLine(err.Error()), Allowed: ".xlsx, without a password"})
			continue
		}
		d.listSheets()
	}
}

// listSheets notes which sheet stands for which file.
func (d *reading) listSheets() {
	d.book.sheets = map[string]string{}
	for _, sheet := range d.book.file.GetSheetList() {
		file := sheetFile(sheet)
		switch {
		case Columns(file) == nil:
			names := tableNames()
			d.report.advise(Fault{File: d.book.name + "/" + oneLine(sheet), Problem: "the sheet is not read: " + unknownWord("name", sheet, names)})
		case d.book.sheets[file] != "":
			d.report.fault(Fault{File: d.book.name + "/" + sheet, Problem: "there is another sheet of that name: " + d.book.sheets[file]})
		default:
			d.book.sheets[file] = sheet
		}
	}
}

// tableNames lists the names of sheets.
func tableNames() []string {
	var names []string
	for _, file := range Files() {
		if bare, ok := strings.CutSuffix(file, ".csv"); ok {
			names = append(names, bare)
		}
	}
	return names
}

// parseWorkbook unpacks a workbook. The library answers some malformed input with a
// panic, which is an error here.
func parseWorkbook(raw []byte) (file *excelize.File, err error) {
	defer func() {
		if v := recover(); v != nil {
			file, err = nil, fmt.Errorf("the reader gave up: %v", v)
		}
	}()
	return excelize.OpenReader(bytes.NewReader(raw), excelize.Options{UnzipSizeLimit: maxUnzipped, UnzipXMLSizeLimit: maxUnzipped})
}

func oneLine(text string) string { return strings.Join(strings.Fields(text), " ") }

// sheetSource is a sheet of a workbook. Cells are taken as they are shown, which is
// what the same sheet saved as CSV would hold; only money shown with its sign or
// with grouped thousands is taken as the number behind it.
type sheetSource struct {
	file  *excelize.File
	sheet string
	rows  *excelize.Rows
	row   int
}

func (s *sheetSource) line(int) int { return s.row }

func (s *sheetSource) next() (record []string, err error) {
	defer func() {
		if v := recover(); v != nil {
			record, err = nil, fmt.Errorf("the reader gave up: %v", v)
		}
	}()
	if !s.rows.Next() {
		if err := s.rows.Error(); err != nil {
			return nil, err
		}
		return nil, io.EOF
	}
	s.row++
	record, err = s.rows.Columns()
	for i, cell := range record {
		if dressed(cell) {
			record[i] = s.bare(i, cell)
		}
	}
	return record, err
}

// dressed tells that a cell is shown as money or with grouped thousands.
func dressed(cell string) bool {
	return strings.ContainsAny(cell, "$€£¥,") && strings.Trim(cell, "0123456789$€£¥,.-() \u00a0") == ""
}

// bare gives the number behind a cell, or the cell where there is none.
func (s *sheetSource) bare(field int, shown string) string {
	at, err := excelize.CoordinatesToCellName(field+1, s.row)
	if err != nil {
		return shown
	}
	raw, err := s.file.GetCellValue(s.sheet, at, excelize.Options{RawCellValue: true})
	if err != nil || !plainDecimal(raw) {
		return shown
	}
	return raw
}

// openSheet gives the records of a sheet; false where it cannot be read, which is
// reported.
func (t *table) openSheet(book *workbook, sheet string) bool {
	rows, err := book.file.Rows(sheet)
	if err != nil {
		t.fault(0, 0, "cannot be read: "+oneLine(err.Error()), "")
		return false
	}
	t.source = &sheetSource{file: book.file, sheet: sheet, rows: rows}
	return true
}
