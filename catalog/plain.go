package catalog

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"slices"

	"go.yaml.in/yaml/v3"
)

// Plain gives a catalog's source files as plain CSV and YAML: commas, decimal points
// and millimetres, whatever folder or workbook they came in. Rows keep their order;
// columns without any cell are left out where they may be. Reading what it gives
// gives the same revision.
//
// A folder with faults gives them as Read does.
func Plain(fsys fs.FS) (Folder, error) {
	out := Folder{}
	d := newReading(fsys)
	d.plain = out
	if err := d.all(); err != nil {
		return nil, err
	}
	return out, nil
}

// rows is a table on its way into its plain file.
type rows struct {
	columns []column
	cells   [][]string
}

// keep adds a row in the order of the layout.
func (w *rows) keep(r *row) {
	cells := make([]string, len(w.columns))
	for i, c := range w.columns {
		cells[i] = r.optional(c.name)
	}
	w.cells = append(w.cells, cells)
}

// csv writes the table.
func (w *rows) csv() ([]byte, error) {
	var shown []int
	var header []string
	for i, c := range w.columns {
		if c.need || slices.ContainsFunc(w.cells, func(cells []string) bool { return cells[i] != "" }) {
			shown, header = append(shown, i), append(header, c.name)
		}
	}
	var b bytes.Buffer
	out := csv.NewWriter(&b)
	records := [][]string{header}
	for _, cells := range w.cells {
		record := make([]string, len(shown))
		for n, i := range shown {
			record[n] = cells[i]
		}
		records = append(records, record)
	}
	if err := out.WriteAll(records); err != nil {
		return nil, fmt.Errorf("write a table: %w", err)
	}
	return b.Bytes(), nil
}

// plainYAML gives a YAML file without the key that says how the tables were written.
func plainYAML(raw []byte, root *yaml.Node) ([]byte, error) {
	for i := 0; i+1 < len(root.Content); i += 2 {
		if root.Content[i].Value != decimalSignKey {
			continue
		}
		bare := *root
		bare.Content = slices.Delete(slices.Clone(root.Content), i, i+2)
		return yaml.Marshal(&bare)
	}
	return raw, nil
}
