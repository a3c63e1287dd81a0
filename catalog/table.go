package catalog

import (
	"bytes"
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"
)

// Bounds on what is read, so that a wrong file cannot exhaust memory.
const (
	maxFileBytes = 64 << 20
	maxCellBytes = 4 << 10
	maxRows      = 5_000_000
)

// column is one column of a CSV file.
type column struct {
	name string
	need bool // the column must be there and no cell of it empty
}

func must(name string) column { return column{name, true} }
func may(name string) column  { return column{name, false} }

// table is one CSV file while it is read.
type table struct {
	file    string
	columns []column
	report  *report
	reader  *csv.Reader
	place   map[string]int // column name → field of the record; absent where the file lacks it
	named   []bool         // by field: the header names it
	digest  *digest
}

// readTable goes through a CSV file and hands each row that has the right shape
// to the function. Rows with all cells empty, as spreadsheets leave them behind,
// are passed over. Faults go to the report.
func readTable(file string, raw []byte, columns []column, rep *report, sum *digest, each func(*row)) {
	t := &table{file: file, columns: columns, report: rep, digest: sum}
	raw = bytes.TrimPrefix(raw, []byte("\ufeff"))
	if bytes.HasPrefix(raw, []byte{0xff, 0xfe}) || bytes.HasPrefix(raw, []byte{0xfe, 0xff}) {
		t.fault(1, 1, "the file is in UTF-16", "CSV in UTF-8")
		return
	}
	t.reader = csv.NewReader(bytes.NewReader(raw))
	t.reader.FieldsPerRecord = -1
	t.reader.ReuseRecord = true
	if !t.header() {
		return
	}
	for n := 0; ; n++ {
		record, err := t.reader.Read()
		switch {
		case errors.Is(err, io.EOF):
			return
		case err != nil:
			t.syntax(err, len(record))
			continue
		case n >= maxRows:
			t.fault(t.line(0), 0, "too many rows", fmt.Sprintf("up to %d", maxRows))
			return
		}
		if r, ok := t.row(record); ok {
			each(r)
		}
	}
}

func (t *table) fault(line, col int, problem, allowed string) {
	t.report.fault(Fault{File: t.file, Line: line, Column: col, Problem: problem, Allowed: allowed})
}

// line gives the line on which a field of the current record begins.
func (t *table) line(field int) int {
	line, _ := t.reader.FieldPos(field)
	return line
}

// syntax reports a record that is not CSV; before counts its fields that are.
func (t *table) syntax(err error, before int) {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		t.fault(0, 0, "cannot be read: "+err.Error(), "")
		return
	}
	switch {
	case errors.Is(err, csv.ErrBareQuote):
		t.fault(parse.StartLine, before+1, `quote sign inside a cell that is not quoted`, `the whole cell in quotes, the sign doubled: "5/16"" stud"`)
	default:
		t.fault(parse.StartLine, before+1, `quoted cell that does not end at a comma`, `quote signs inside a quoted cell doubled: "5/16"" stud"`)
	}
}

// header reads the first record; false where nothing below it makes sense.
func (t *table) header() bool {
	record, err := t.reader.Read()
	if errors.Is(err, io.EOF) {
		t.fault(1, 1, "the file is empty", "a first row with the column names: "+t.names())
		return false
	}
	if err != nil {
		t.syntax(err, len(record))
		return false
	}
	if len(record) == 1 && strings.ContainsAny(record[0], ";\t") {
		t.fault(1, 1, "cells are not separated by commas", "CSV with commas and the decimal point")
		return false
	}
	t.named = make([]bool, len(record))
	t.place = make(map[string]int, len(record))
	for i, cell := range record {
		t.headerCell(i, strings.TrimSpace(cell))
	}
	whole := true
	for _, c := range t.columns {
		if _, ok := t.place[c.name]; !ok && c.need {
			t.fault(1, 0, fmt.Sprintf("column %s is missing", c.name), "")
			whole = false
		}
	}
	return whole
}

func (t *table) headerCell(i int, name string) {
	if name == "" {
		return // left over at the edge of a spreadsheet; its cells must be empty
	}
	t.named[i] = true
	known := make([]string, len(t.columns))
	for j, c := range t.columns {
		known[j] = c.name
		if c.name != name {
			continue
		}
		if first, twice := t.place[name]; twice {
			t.fault(t.line(i), i+1, fmt.Sprintf("column %s is there twice, first as column %d", name, first+1), "")
			return
		}
		t.place[name] = i
		return
	}
	t.fault(t.line(i), i+1, unknownWord("column", name, known), t.names())
}

func (t *table) names() string {
	names := make([]string, len(t.columns))
	for i, c := range t.columns {
		names[i] = c.name
	}
	return list(names)
}

// row makes a row of a record; false where it is empty or has the wrong shape.
func (t *table) row(record []string) (*row, bool) {
	empty := true
	for i, cell := range record {
		record[i] = strings.TrimSpace(cell)
		empty = empty && record[i] == ""
	}
	if empty {
		return nil, false
	}
	r := &row{table: t, cells: record}
	for i, cell := range record {
		if cell != "" && (i >= len(t.named) || !t.named[i]) {
			r.at(i, "the cell stands under no column name", "no more cells than the header; a cell with a comma in quotes")
			return nil, false
		}
		if problem := t.cellFault(cell); problem != "" {
			r.at(i, problem, "")
			return nil, false
		}
	}
	t.digest.row(r)
	return r, true
}

// cellFault tells what makes a cell no text of one line.
func (t *table) cellFault(cell string) string {
	if len(cell) > maxCellBytes {
		return fmt.Sprintf("the cell has %d bytes; at most %d are read", len(cell), maxCellBytes)
	}
	if !utf8.ValidString(cell) {
		return "the cell is not in UTF-8"
	}
	if strings.ContainsFunc(cell, unicode.IsControl) {
		return "the cell holds a line break or another control character"
	}
	return ""
}
