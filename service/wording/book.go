package wording

import (
	"errors"
	"fmt"
	"strings"

	"go.yaml.in/yaml/v3"
	"golang.org/x/text/language"
)

// book is one language: its messages by code, its labels by figure key, its words
// by enumeration and code. It does not change once read.
type book struct {
	tag       language.Tag
	decimal   string // the decimal mark
	notNumber string // for what is no number
	unlimited string // for what is infinite
	notStated string // for no size
	messages  map[string]message
	labels    map[string]string
	words     map[string]map[string]string
}

// marked gives a printed number the decimal mark of the language.
func (b *book) marked(number string) string {
	if b.decimal == "." {
		return number
	}
	return strings.ReplaceAll(number, ".", b.decimal)
}

// reader reads one language file and collects its faults.
type reader struct {
	name   string
	faults []error
}

// readBook reads a language file. It fails with every fault, each with file and
// line: YAML that does not parse, a key that is unknown or given twice, a message
// that cannot be taken apart, a figure that has no label.
func readBook(name string, data []byte, tag language.Tag) (*book, error) {
	var root yaml.Node
	if err := yaml.Unmarshal(data, &root); err != nil {
		return nil, fmt.Errorf("%s: %w", name, err)
	}
	if len(root.Content) == 0 {
		return nil, fmt.Errorf("%s is empty", name)
	}
	r := &reader{name: name}
	b := &book{tag: tag, messages: map[string]message{}, labels: map[string]string{}, words: map[string]map[string]string{}}
	r.book(root.Content[0], b)
	if len(r.faults) > 0 {
		return nil, errors.Join(r.faults...)
	}
	return b, nil
}

func (r *reader) fault(n *yaml.Node, format string, args ...any) {
	r.faults = append(r.faults, fmt.Errorf("%s:%d: %w", r.name, n.Line, fmt.Errorf(format, args...)))
}

// each calls for every entry of a mapping, in order; a key given twice is a fault.
func (r *reader) each(n *yaml.Node, entry func(key string, value *yaml.Node)) {
	if n.Kind != yaml.MappingNode {
		r.fault(n, "want keys with values")
		return
	}
	seen := map[string]bool{}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key := n.Content[i].Value
		if seen[key] {
			r.fault(n.Content[i], "%s is given twice", key)
			continue
		}
		seen[key] = true
		entry(key, n.Content[i+1])
	}
}

func (r *reader) text(key string, n *yaml.Node) string {
	if n.Kind != yaml.ScalarNode || strings.TrimSpace(n.Value) == "" {
		r.fault(n, "%s: %w", key, errEmpty)
		return ""
	}
	return n.Value
}

func (r *reader) book(n *yaml.Node, b *book) {
	var messages *yaml.Node
	r.each(n, func(key string, value *yaml.Node) {
		switch key {
		case "values":
			r.values(value, b)
		case "labels":
			r.each(value, func(key string, value *yaml.Node) { b.labels[key] = r.text(key, value) })
		case "words":
			r.each(value, func(group string, value *yaml.Node) { b.words[group] = r.words(value) })
		case "messages":
			messages = value
		default:
			r.fault(value, "%s is unknown; allowed: values, labels, words, messages", key)
		}
	})
	for _, missing := range []struct {
		what  string
		empty bool
	}{
		{"values.decimal", b.decimal == ""}, {"values.not_a_number", b.notNumber == ""}, {"values.unlimited", b.unlimited == ""},
		{"values.not_stated", b.notStated == ""}, {"messages", messages == nil},
	} {
		if missing.empty {
			r.fault(n, "%s is missing", missing.what)
		}
	}
	if messages != nil { // last, since its figures need their labels
		r.each(messages, func(code string, value *yaml.Node) { r.message(code, value, b) })
	}
}

func (r *reader) values(n *yaml.Node, b *book) {
	r.each(n, func(key string, value *yaml.Node) {
		text := r.text(key, value)
		switch key {
		case "decimal":
			b.decimal = text
		case "not_a_number":
			b.notNumber = text
		case "unlimited":
			b.unlimited = text
		case "not_stated":
			b.notStated = text
		default:
			r.fault(value, "values.%s is unknown; allowed: decimal, not_a_number, unlimited, not_stated", key)
		}
	})
}

func (r *reader) words(n *yaml.Node) map[string]string {
	words := map[string]string{}
	r.each(n, func(code string, value *yaml.Node) { words[code] = r.text(code, value) })
	return words
}

func (r *reader) message(code string, n *yaml.Node, b *book) {
	m, err := parseMessage(r.text(code, n))
	if err != nil {
		if !errors.Is(err, errEmpty) { // text has said so
			r.fault(n, "%s: %w", code, err)
		}
		return
	}
	for _, slot := range m.slots() {
		if _, ok := b.labels[slot]; !ok {
			r.fault(n, "%s: {%s} is no figure that has a label", code, slot)
		}
	}
	b.messages[code] = m
}
