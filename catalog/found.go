package catalog

import (
	"cmp"
	"fmt"
	"slices"
	"sync"
)

// found is what one file of the folder gave besides its parts: kept apart, so that
// files can be read side by side.
type found struct {
	name   string
	shown  string // the name that faults say: a workbook's and its sheet's, or the file's
	report report
	digest *digest  // nil where nothing could be read
	codes  []stated // SKUs, or codes of operations
	plain  []byte   // the plain file, where it is wanted
}

// stated is a code and where it stands.
type stated struct {
	code         string
	line, column int
}

// place is where a code was stated first.
type place struct {
	file string
	line int
}

// file begins a file. Faults stand in the order in which files are begun.
func (d *reading) file(name string) *found {
	f := &found{name: name, shown: name}
	d.files = append(d.files, f)
	return f
}

// twice reports the codes that were there before, in this file or another. They come
// before what else is wrong with their rows.
func (f *found) twice(seen map[string]place) {
	var faults Faults
	for _, s := range f.codes {
		if first, twice := seen[s.code]; twice {
			faults = append(faults, Fault{File: f.shown, Line: s.line, Column: s.column,
				Problem: fmt.Sprintf("%s: %s is there twice, first at %s:%d", codeColumn(f.name), quote(s.code), first.file, first.line)})
			continue
		}
		seen[s.code] = place{f.shown, s.line}
	}
	if len(faults) > 0 {
		f.report.faults = append(faults, f.report.faults...)
		slices.SortStableFunc(f.report.faults, func(a, b Fault) int { return cmp.Compare(a.Line, b.Line) })
	}
}

// codeColumn names the column of a file that tells its rows apart.
func codeColumn(file string) string {
	if file == labourFile {
		return "code"
	}
	return "sku"
}

// gather brings together what the files gave. That every SKU is there once was seen
// already, and cheaply, where once tells so.
func (d *reading) gather(once bool) {
	skus, codes := map[string]place{}, map[string]place{}
	for _, f := range d.files {
		switch {
		case f.name == labourFile:
			f.twice(codes)
		case !once:
			f.twice(skus)
		}
		d.report.add(&f.report)
		if f.plain != nil {
			d.plain[f.name] = f.plain
		}
	}
}

// sideBySide does independent work at once, and waits for all of it. A workbook is
// gone through by one reader.
func (d *reading) sideBySide(work []func()) {
	if d.book.file != nil {
		for _, do := range work {
			do()
		}
		return
	}
	together(work...)
}

// together does independent work at once, and waits for all of it.
func together(work ...func()) {
	var all sync.WaitGroup
	for _, do := range work {
		all.Go(do)
	}
	all.Wait()
}
