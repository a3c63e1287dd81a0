package catalog

import (
	"fmt"
	"strings"
	"unicode"

	"example.com/lugbook/api/quantity"

	"go.yaml.in/yaml/v3"
)

// scalar gives a key's value as it is written; false where it is not there or
// no single value.
func (f fields) scalar(key string) (string, *yaml.Node, bool) {
	n, ok := f.has(key)
	if !ok {
		return "", nil, false
	}
	text, ok := f.plain(n, key)
	return text, n, ok
}

// plain gives the text of a single value, of one line.
func (d *document) plain(n *yaml.Node, what string) (string, bool) {
	text := strings.TrimSpace(n.Value)
	switch {
	case n.Kind != yaml.ScalarNode:
		d.fault(n, what+" is not a single value", "")
	case len(text) > maxCellBytes:
		d.fault(n, fmt.Sprintf("%s has %d bytes", what, len(text)), fmt.Sprintf("up to %d", maxCellBytes))
	case strings.ContainsFunc(text, unicode.IsControl):
		d.fault(n, what+" holds a line break or another control character", "")
	default:
		return text, true
	}
	return "", false
}

// text gives a key's text, empty where it is not there.
func (f fields) text(key string) string {
	text, _, _ := f.scalar(key)
	return text
}

// needText gives the text of a key that must be there.
func (f fields) needText(key string) string {
	if _, ok := f.has(key); !ok {
		f.missing(key, "")
	}
	return f.text(key)
}

// number gives a key's number and whether it is stated.
func (f fields) number(key string, b bounds) (v float64, stated bool) {
	text, n, ok := f.scalar(key)
	if !ok {
		return 0, false
	}
	v, problem := parseNumber(text, b)
	if problem != "" {
		f.fault(n, key+": "+problem, b.String())
	}
	return v, problem == ""
}

// value is number for a key whose absence is the number 0.
func (f fields) value(key string, b bounds) float64 {
	v, _ := f.number(key, b)
	return v
}

// needNumber gives the number of a key that must be there.
func (f fields) needNumber(key string, b bounds) float64 {
	if _, ok := f.has(key); !ok {
		f.missing(key, b.String())
	}
	return f.value(key, b)
}

// whole gives a key's count, the fallback where it is not there.
func (f fields) whole(key string, b bounds, fallback int) int {
	text, node, ok := f.scalar(key)
	if !ok {
		return fallback
	}
	n, problem := parseWhole(text, b)
	if problem != "" {
		f.fault(node, key+": "+problem, b.String())
	}
	return n
}

// yes gives a key's answer; no where it is not there.
func (f fields) yes(key string) bool {
	text, n, ok := f.scalar(key)
	if !ok {
		return false
	}
	switch strings.ToLower(text) {
	case "yes", "true":
		return true
	case "no", "false":
	default:
		f.fault(n, key+": "+quote(text)+" is neither yes nor no", "yes, no, true, false")
	}
	return false
}

// keyWord gives a key's word, empty where it is not there.
func keyWord[T ~string](f fields, key string, known []T) T {
	text, n, ok := f.scalar(key)
	if !ok {
		return ""
	}
	w, ok := oneOf(text, known)
	if !ok {
		f.fault(n, key+": "+unknownWord("word", text, known), list(known))
	}
	return w
}

// needKeyWord gives the word of a key that must be there.
func needKeyWord[T ~string](f fields, key string, known []T) T {
	if _, ok := f.has(key); !ok {
		f.missing(key, list(known))
	}
	return keyWord(f, key, known)
}

// keyWords gives the words of a list that must be there and hold at least one,
// each once.
func keyWords[T ~string](f fields, key string, known []T) []T {
	var all []T
	for _, n := range f.needItems(key, list(known)) {
		text, ok := f.plain(n, key)
		if !ok {
			continue
		}
		w, ok := oneOf(text, known)
		if !ok {
			f.fault(n, key+": "+unknownWord("word", text, known), list(known))
			continue
		}
		if _, twice := oneOf(text, all); twice {
			f.fault(n, fmt.Sprintf("%s: %s is there twice", key, w), "")
			continue
		}
		all = append(all, w)
	}
	return all
}

// needItems gives the nodes of a list that must be there and not be empty.
func (f fields) needItems(key, allowed string) []*yaml.Node {
	if _, ok := f.has(key); !ok {
		f.missing(key, allowed)
		return nil
	}
	items := f.items(key)
	if n := f.values[key]; len(items) == 0 && n.Kind == yaml.SequenceNode {
		f.fault(n, key+" is an empty list", allowed)
	}
	return items
}

// texts gives the texts of a list; none where the key is not there.
func (f fields) texts(key string) []string {
	var all []string
	for _, n := range f.items(key) {
		if text, ok := f.plain(n, key); ok {
			all = append(all, text)
		}
	}
	return all
}

// needSize gives the conductor size of a key that must be there.
func (f fields) needSize(key string) quantity.Size {
	text, n, ok := f.scalar(key)
	if !ok {
		if _, there := f.has(key); !there {
			f.missing(key, sizeExamples)
		}
		return quantity.Size{}
	}
	s, err := quantity.ParseSize(text)
	if err != nil {
		f.fault(n, key+": "+err.Error(), sizeExamples)
	}
	return s
}
