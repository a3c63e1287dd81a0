package jobfile

import "strings"

// Source remembers where in a file each field of a message was written. The zero
// value remembers nothing.
type Source struct {
	name  string
	marks map[string]mark
}

// mark is a place in a file, both numbers from 1.
type mark struct{ line, column int }

// Name gives the file's name as it was given to Read.
func (s *Source) Name() string { return s.name }

// Position gives the place of a field by its path in proto field names, such as
// "system.devices[2].zone". Where the field itself was not written it is the
// place of the nearest message around it. ok is false only where nothing at all
// was read.
func (s *Source) Position(fieldPath string) (line, column int, ok bool) {
	for path := fieldPath; ; path = parent(path) {
		if m, found := s.marks[path]; found {
			return m.line, m.column, true
		}
		if path == "" {
			return 0, 0, false
		}
	}
}

// parent cuts the last field name or list index off a path.
func parent(path string) string {
	return path[:max(strings.LastIndexAny(path, ".["), 0)]
}

// join puts a field name behind a path.
func join(path, field string) string {
	if path == "" {
		return field
	}
	return path + "." + field
}
