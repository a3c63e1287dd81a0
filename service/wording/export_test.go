package wording

import (
	"io/fs"
	"slices"

	"golang.org/x/text/language"
)

// ForIn is For over the languages of a file system.
func ForIn(fsys fs.FS, wanted string, units Units) (*Teller, error) {
	l, err := openLibrary(fsys)
	if err != nil {
		return nil, err
	}
	return &Teller{book: l.nearest(wanted), units: units}, nil
}

// ReadLanguage gives the fault of a language file.
func ReadLanguage(name, text string) error {
	_, err := readBook(name, []byte(text), language.English)
	return err
}

// ReadAll gives a teller for every embedded language, reading it anew.
func ReadAll() ([]*Teller, error) {
	l, err := openLibrary(files)
	if err != nil {
		return nil, err
	}
	var all []*Teller
	for _, read := range l.books {
		b, err := read()
		if err != nil {
			return nil, err
		}
		all = append(all, &Teller{book: b, units: Metric})
	}
	return all, nil
}

// Codes gives the code of every message, in order.
func (t *Teller) Codes() []string {
	var codes []string
	for code := range t.book.messages {
		codes = append(codes, code)
	}
	slices.Sort(codes)
	return codes
}

// Slots gives the keys that a message names.
func (t *Teller) Slots(code string) []string { return t.book.messages[code].slots() }

// HasLabel tells whether a key has a label of its own.
func (t *Teller) HasLabel(key string) bool {
	_, ok := t.book.labels[key]
	return ok
}

// HasWord tells whether a value of an enumeration has a word of its own.
func (t *Teller) HasWord(key, code string) bool {
	_, ok := t.book.words[key][code]
	return ok
}

// Keys gives every key of the language file, in order.
func (t *Teller) Keys() []string {
	keys := t.Codes()
	for label := range t.book.labels {
		keys = append(keys, "label "+label)
	}
	for group, words := range t.book.words {
		for code := range words {
			keys = append(keys, "word "+group+" "+code)
		}
	}
	slices.Sort(keys)
	return keys
}
