package catalog

import (
	"encoding/csv"
	"errors"
	"fmt"
	"io"
	"strings"
	"unicode"
	"unicode/utf8"

	"example.com/lugbook/api/quantity"
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
	// later tells that it came after the first revisions, which its being empty must
	// not change.
	later bool
}

func must(name string) column  { return column{name: name, need: true} }
func may(name string) column   { return column{name: name} }
func later(name string) column { return column{name: name, later: true} }

// inInches gives the name under which a column of millimetres is stated in inches;
// empty for any other column.
func (c column) inInches() string {
	if bare, ok := strings.CutSuffix(c.name, "_mm"); ok {
		return bare + "_in"
	}
	return ""
}

// table is one CSV file while it is read.
type table struct {
	file    string
	columns []column
	found   *found
	source  source
	comma   bool // the decimal sign is a comma
	place   places
	fields  []int  // by column: field of the record, -1 where the file lacks it
	named   []bool // by field: the header names it
	inches  []bool // by field: the header states inches where the column is in mm
	inMM    bool   // no column is stated in inches
	current row
	sizes   map[string]quantity.Size // by spelling, so that each is read once
}

// source is where the records of a table come from.
type source interface {
	// next gives the next record, which holds until the next call; io.EOF after the
	// last. A record that is broken gives a *csv.ParseError and what was whole of it.
	next() ([]string, error)
	// line gives the line, or row of the sheet, on which a field of the record
	// begins.
	line(field int) int
}

// openCSV gives the records of a CSV file; false where it is none, which is
// reported. Cells are separated by what the first row is separated by.
func (t *table) openCSV(raw string) bool {
	raw = strings.TrimPrefix(raw, "\ufeff")
	if strings.HasPrefix(raw, "\xff\xfe") || strings.HasPrefix(raw, "\xfe\xff") {
		t.fault(1, 1, "the file is in UTF-16", "CSV in UTF-8")
		return false
	}
	source := &csvSource{text: raw, comma: ','}
	header, _, _ := strings.Cut(raw, "\n")
	if strings.IndexByte(header, ',') < 0 && strings.IndexByte(header, ';') >= 0 {
		source.comma = ';'
	}
	t.source = source
	return true
}

// read goes through the records and hands each row that has the right shape to the
// function. Rows with all cells empty, as spreadsheets leave them behind, are passed
// over. Faults go to the report.
func (t *table) read(each func(*row)) {
	if !t.header() {
		return
	}
	for n := 0; ; n++ {
		record, err := t.source.next()
		switch {
		case errors.Is(err, io.EOF):
			return
		case err != nil:
			if !t.syntax(err, len(record)) {
				return
			}
			continue
		case n >= maxRows:
			t.fault(t.source.line(0), 0, "too many rows", fmt.Sprintf("up to %d", maxRows))
			return
		}
		if r, ok := t.row(record); ok {
			each(r)
		}
	}
}

func (t *table) fault(line, col int, problem, allowed string) {
	t.found.report.fault(Fault{File: t.file, Line: line, Column: col, Problem: problem, Allowed: allowed})
}

// syntax reports a record that is not CSV; before counts its fields that are. False
// where nothing after it can be read either.
func (t *table) syntax(err error, before int) bool {
	var parse *csv.ParseError
	if !errors.As(err, &parse) {
		t.fault(0, 0, "cannot be read: "+err.Error(), "")
		return false
	}
	switch {
	case errors.Is(err, csv.ErrBareQuote):
		t.fault(parse.StartLine, before+1, `quote sign inside a cell that is not quoted`, `the whole cell in quotes, the sign doubled: "5/16"" stud"`)
	default:
		t.fault(parse.StartLine, before+1, `quoted cell that does not end where the next begins`, `quote signs inside a quoted cell doubled: "5/16"" stud"`)
	}
	return true
}

// header reads the first record; false where nothing below it makes sense.
func (t *table) header() bool {
	record, err := t.source.next()
	if errors.Is(err, io.EOF) {
		t.fault(1, 1, "the file is empty", "a first row with the column names: "+t.names())
		return false
	}
	if err != nil {
		t.syntax(err, len(record))
		return false
	}
	if len(record) == 1 && strings.Contains(record[0], "\t") {
		t.fault(1, 1, "cells are separated by tabs", "commas or semicolons")
		return false
	}
	t.named, t.inches = make([]bool, len(record)), make([]bool, len(record))
	t.place.fields, t.inMM = make(map[string]int, len(record)), true
	for i, cell := range record {
		t.headerCell(i, strings.TrimSpace(cell))
	}
	whole := true
	t.fields = make([]int, len(t.columns))
	for i, c := range t.columns {
		field, ok := t.place.fields[c.name]
		if !ok {
			field = -1
		}
		t.fields[i] = field
		if !ok && c.need {
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
		if inches := c.inInches(); c.name != name && (inches == "" || inches != name) {
			continue
		}
		if first, twice := t.place.fields[c.name]; twice {
			t.fault(t.source.line(i), i+1, fmt.Sprintf("column %s is there twice, first as column %d", name, first+1), "")
			return
		}
		t.place.fields[c.name], t.inches[i] = i, c.name != name
		t.inMM = t.inMM && c.name == name
		return
	}
	t.fault(t.source.line(i), i+1, unknownWord("column", name, known), t.names())
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
	t.place.begin()
	t.current = row{table: t, cells: record}
	r := &t.current
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
	if !t.measures(r) {
		return nil, false
	}
	t.found.digest.row(r)
	return r, true
}

// cellFault tells what makes a cell no text of one line.
func (t *table) cellFault(cell string) string {
	if plainASCII(cell) {
		return ""
	}
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

// plainASCII tells that a short cell is printable ASCII throughout, as nearly all are.
func plainASCII(cell string) bool {
	if len(cell) > maxCellBytes {
		return false
	}
	for i := range len(cell) {
		if cell[i] < ' ' || cell[i] > '~' {
			return false
		}
	}
	return true
}
