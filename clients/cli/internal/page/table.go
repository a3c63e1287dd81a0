package page

import (
	"slices"
	"strings"
)

// leastFlexible is the least width of the column that wraps.
const leastFlexible = 12

// Column is one column of a table.
type Column struct {
	Title string
	Right bool // set against its right edge, as numbers are
	Wraps bool // takes what width the others leave, and shares it with its like
}

// Table is a table with a line of titles.
type Table struct {
	Indent  int
	Full    bool // as wide as the page, so that the right edges of tables meet
	Columns []Column
	Rows    [][]string // as many cells as there are columns; missing ones are empty, others left out
}

// Table writes a table. Titles are left out where all of them are empty.
func (p *Page) Table(t Table) {
	widths := t.widths(p.width)
	titles, named := make([]string, len(t.Columns)), false
	for i, c := range t.Columns {
		titles[i] = c.Title
		named = named || c.Title != ""
	}
	if named {
		p.row(t, widths, titles)
	}
	for _, row := range t.Rows {
		p.row(t, widths, row)
	}
}

// widths gives each column the width of its longest cell, and those that wrap no
// more than what is left.
func (t Table) widths(page int) []int {
	widths := make([]int, len(t.Columns))
	left := page - t.Indent - gap*(len(t.Columns)-1)
	var flexible []int
	for i, c := range t.Columns {
		widths[i] = Width(c.Title)
		for _, row := range t.Rows {
			widths[i] = max(widths[i], Width(Clean(cell(row, i))))
		}
		if c.Wraps {
			flexible = append(flexible, i)
			continue
		}
		left -= widths[i]
	}
	t.share(widths, flexible, left)
	return widths
}

// share divides the columns that are left among those that wrap, the narrowest
// first: one that needs less than its part leaves the rest to the others.
func (t Table) share(widths, flexible []int, left int) {
	slices.SortStableFunc(flexible, func(a, b int) int { return widths[a] - widths[b] })
	for n, i := range flexible {
		part := max(left/(len(flexible)-n), leastFlexible)
		if last := n == len(flexible)-1; !t.Full || !last {
			part = min(widths[i], part)
		}
		widths[i] = part
		left -= part
	}
}

// row writes one row, of as many lines as its wrapped cell needs.
func (p *Page) row(t Table, widths []int, cells []string) {
	columns, height := make([][]string, len(t.Columns)), 1
	for i, c := range t.Columns {
		columns[i] = []string{Clean(cell(cells, i))}
		if c.Wraps {
			columns[i] = wrap(cell(cells, i), widths[i])
		}
		height = max(height, len(columns[i]))
	}
	for n := range height {
		line := strings.Repeat(" ", t.Indent)
		for i, c := range t.Columns {
			text := cell(columns[i], n)
			fill := strings.Repeat(" ", max(widths[i]-Width(text), 0))
			if i > 0 {
				line += strings.Repeat(" ", gap)
			}
			if c.Right {
				line += fill + text
			} else {
				line += text + fill
			}
		}
		p.line(line)
	}
}

// cell gives one text of a list, empty beyond its end.
func cell(texts []string, i int) string {
	if i >= len(texts) {
		return ""
	}
	return texts[i]
}
