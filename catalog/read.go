package catalog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"slices"

	"go.yaml.in/yaml/v3"
)

// reading is one pass over a catalog folder.
type reading struct {
	fsys    fs.FS
	book    workbook
	comma   bool // the decimal sign of the tables is a comma
	report  report
	purse   purse
	catalog *Catalog
	files   []*found
	gates   map[string][]gateRow // by SKU
	plain   Folder               // takes the plain files where it is not nil
}

func newReading(fsys fs.FS) *reading {
	return &reading{fsys: fsys, catalog: &Catalog{}, gates: map[string][]gateRow{}}
}

// Read reads a catalog folder: shop.yaml, labour.csv, vehicles.yaml and the
// files of parts, all of which must be there (a file without rows is its header
// row). docs/catalog.md has their columns and keys.
//
// It reads everything before it gives up: the error is a Faults with every fault
// of the folder. What is allowed but looks like a slip is in Catalog.Advice.
//
// The tables may be the sheets of one workbook (.xlsx) instead, the YAML files beside
// it.
//
// A byte-order mark, either line end, empty rows, and columns and keys in any
// order are accepted. Space around a cell is dropped. A file may have up to
// 64 MiB and 5,000,000 rows, a cell up to 4 KiB.
func Read(fsys fs.FS) (*Catalog, error) {
	d := newReading(fsys)
	if err := d.all(); err != nil {
		return nil, err
	}
	d.report.advice.sort()
	d.catalog.Advice = d.report.advice
	d.catalog.Revision = revision(d.files)
	d.catalog.arrange()
	return d.catalog, nil
}

// all reads every file and gives the faults of all together. The shop's own rules come
// first, since prices need its currency, and then its labour, which vehicles name.
func (d *reading) all() error {
	d.openWorkbook()
	d.document(d.file(shopFile), d.shop)
	d.table(d.file(labourFile), labourColumns, (*reading).operation)
	var work []func()
	for _, f := range partFiles {
		file := d.file(f.name)
		work = append(work, func() { d.table(file, f.columns, f.read) })
	}
	curves, vehicles := d.file(curvesFile), d.file(vehiclesFile)
	work = append(work, func() { d.table(curves, curvesColumns, (*reading).gate) }, func() { d.document(vehicles, d.vehicles) })
	d.sideBySide(work)
	d.curves(&curves.report)
	d.gather(d.catalog.enter())
	d.strangers()
	return d.report.err()
}

// Files lists the files of a catalog folder in the order shown to people.
func Files() []string {
	names := make([]string, 0, len(partFiles)+4)
	for _, f := range partFiles {
		names = append(names, f.name)
	}
	return append(names, curvesFile, labourFile, vehiclesFile, shopFile)
}

// Columns lists the columns of a CSV file of the folder, in the order shown to
// people; nil for any other name.
func Columns(file string) []string {
	columns := labourColumns
	switch file {
	case labourFile:
	case curvesFile:
		columns = curvesColumns
	default:
		i := slices.IndexFunc(partFiles, func(f partFile) bool { return f.name == file })
		if i < 0 {
			return nil
		}
		columns = partFiles[i].columns
	}
	names := make([]string, len(columns))
	for i, c := range columns {
		names[i] = c.name
	}
	return names
}

func (d *reading) table(f *found, columns []column, read func(*reading, *row)) {
	t := &table{file: f.name, columns: columns, found: f, comma: d.comma}
	if sheet, ok := d.book.sheets[f.name]; ok {
		t.file = d.book.name + "/" + sheet
		f.shown = t.file
		if _, err := fs.Stat(d.fsys, f.name); err == nil {
			t.fault(0, 0, "the folder has "+f.name+" too", "the sheet or the file")
		}
		ok = t.openSheet(&d.book, sheet)
		if !ok {
			return
		}
		f.digest = &digest{file: f.name}
	} else {
		raw, ok := d.load(f.name, &f.report)
		if !ok || !t.openCSV(string(raw)) {
			return
		}
		lines := min(bytes.Count(raw, []byte("\n")), len(raw)/leastRow)
		f.digest = &digest{file: f.name, rows: make([]sum, 0, lines)}
		f.codes = make([]stated, 0, lines)
		d.expect(f.name, lines)
	}
	kept := &rows{columns: columns}
	t.read(func(r *row) {
		if d.plain != nil {
			kept.keep(r)
		}
		read(d, r)
	})
	sortSums(f.digest.rows)
	d.keep(f, kept.csv)
}

// leastRow is fewer bytes than any row of a part takes: a file of empty lines must not
// ask for room for parts.
const leastRow = 32

// keep puts a file among the plain ones, where they are wanted.
func (d *reading) keep(f *found, write func() ([]byte, error)) {
	if d.plain == nil {
		return
	}
	raw, err := write()
	if err != nil {
		f.report.fault(Fault{File: f.name, Problem: err.Error()})
	}
	f.plain = raw
}

func (d *reading) document(f *found, read func(*document, *yaml.Node)) {
	raw, ok := d.load(f.name, &f.report)
	if !ok {
		return
	}
	if doc, root := openDocument(f.name, raw, &f.report); doc != nil {
		f.digest = &digest{file: f.name}
		f.digest.document(root)
		read(doc, root)
		d.keep(f, func() ([]byte, error) { return plainYAML(raw, root) })
	}
}

// load gives a file's bytes; false where it cannot be had, which is reported.
func (d *reading) load(name string, rep *report) ([]byte, bool) {
	file, err := d.fsys.Open(name)
	if err != nil {
		problem := "cannot be opened: " + err.Error()
		if errors.Is(err, fs.ErrNotExist) {
			problem = "the file is missing"
		}
		rep.fault(Fault{File: name, Problem: problem, Allowed: "a file of that name; its header row alone where there is nothing to list"})
		return nil, false
	}
	defer file.Close()
	raw, err := readUpTo(file, maxFileBytes+1)
	switch {
	case err != nil:
		rep.fault(Fault{File: name, Problem: "cannot be read: " + err.Error()})
		return nil, false
	case len(raw) > maxFileBytes:
		rep.fault(Fault{File: name, Problem: "the file is too large", Allowed: fmt.Sprintf("up to %d MiB", maxFileBytes>>20)})
		return nil, false
	}
	return raw, true
}

// readUpTo reads a file to its end or so many bytes, into room of the size that the
// file says it has.
func readUpTo(file fs.File, most int64) ([]byte, error) {
	var b bytes.Buffer
	if info, err := file.Stat(); err == nil && info.Size() < most {
		b.Grow(int(info.Size()) + bytes.MinRead)
	}
	_, err := b.ReadFrom(io.LimitReader(file, most))
	return b.Bytes(), err
}

// strangers advises of tables in the folder that nobody reads: mostly a misspelt
// name.
func (d *reading) strangers() {
	entries, err := fs.ReadDir(d.fsys, ".")
	if err != nil {
		return // a file system that cannot list has no strangers to show
	}
	for _, e := range entries {
		switch path.Ext(e.Name()) {
		case ".csv", ".yaml", ".yml":
			if !slices.Contains(Files(), e.Name()) {
				d.report.advise(Fault{File: e.Name(), Problem: "the file is not read: " + unknownWord("name", e.Name(), Files())})
			}
		}
	}
}
