package catalog

import (
	"encoding/csv"
	"errors"
	"strings"
)

// csvSource is a CSV file. Records of one line each, as nearly all are, it splits
// itself, into pieces of the file's text; from the first that is anything else on,
// encoding/csv reads, whose records and faults these are.
type csvSource struct {
	text   string // from the next record on
	comma  byte
	lines  int // that are read
	first  int // the line of the record at hand
	record []string
	rest   *csv.Reader // reads on; nil while records are plain
	before int         // lines before those of rest
}

func (s *csvSource) next() ([]string, error) {
	if s.rest == nil && s.plain() {
		return s.record, nil
	}
	if s.rest == nil {
		s.rest = csv.NewReader(strings.NewReader(s.text))
		s.rest.Comma, s.rest.FieldsPerRecord, s.rest.ReuseRecord = rune(s.comma), -1, true
		s.before = s.lines
	}
	record, err := s.rest.Read()
	var parse *csv.ParseError
	if errors.As(err, &parse) {
		parse.StartLine += s.before
	}
	return record, err
}

func (s *csvSource) line(field int) int {
	if s.rest == nil {
		return s.first
	}
	line, _ := s.rest.FieldPos(field)
	return s.before + line
}

// plain splits the next line that is not empty; false where there is none or it is not
// a whole record.
func (s *csvSource) plain() bool {
	for s.text != "" {
		line, rest, _ := strings.Cut(s.text, "\n")
		line = strings.TrimSuffix(line, "\r")
		if line != "" && !s.split(line) {
			return false
		}
		s.text = rest
		s.lines++
		if line != "" {
			s.first = s.lines
			return true
		}
	}
	return false
}

// split takes a line apart; false where a quote sign stands within a cell, or a quoted
// cell does not end on the line.
func (s *csvSource) split(line string) bool {
	s.record = s.record[:0]
	quotes := strings.IndexByte(line, '"') >= 0
	for {
		var cell string
		if quotes && line != "" && line[0] == '"' {
			var ok bool
			if cell, line, ok = quoted(line); !ok || line != "" && line[0] != s.comma {
				return false
			}
		} else {
			end := 0
			for end < len(line) && line[end] != s.comma {
				end++
			}
			cell, line = line[:end], line[end:]
			if quotes && strings.IndexByte(cell, '"') >= 0 {
				return false
			}
		}
		s.record = append(s.record, cell)
		if line == "" {
			return true
		}
		line = line[1:]
	}
}

// quoted takes a quoted cell off the beginning of a line.
func quoted(line string) (cell, rest string, ok bool) {
	doubled := false
	for end := 1; end < len(line); end++ {
		switch {
		case line[end] != '"':
		case end+1 < len(line) && line[end+1] == '"':
			doubled = true
			end++
		default:
			cell = line[1:end]
			if doubled {
				cell = strings.ReplaceAll(cell, `""`, `"`)
			}
			return cell, line[end+1:], true
		}
	}
	return "", line, false
}
