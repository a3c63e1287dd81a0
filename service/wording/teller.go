package wording

import (
	"strings"

	"example.com/lugbook/service/electrical"
)

// Units is the unit system in which lengths and forces are said.
type Units string

// The unit systems, named as in the catalog. Anything else counts as Metric.
const (
	US     Units = "us"     // feet and inches, pounds-force
	Metric Units = "metric" // metres and millimetres, newtons
)

// Teller says codes and figures in one language and one unit system. It comes
// from [For] and is safe for concurrent use.
type Teller struct {
	book  *book
	units Units
}

// For gives the teller of the nearest language there is, by BCP 47 ("en",
// "en-GB", "es-419, en;q=0.5"); English where the text is empty, is no language
// tag, or names a language without a file.
func For(language string, units Units) *Teller {
	return &Teller{book: standard().nearest(language), units: units}
}

// Language gives the BCP 47 tag of the language that is spoken.
func (t *Teller) Language() string { return t.book.tag.String() }

// Has tells whether there is a message of the code.
func (t *Teller) Has(code string) bool {
	_, ok := t.book.messages[code]
	return ok
}

// Say gives the sentence of a code with its figures. Figures that the sentence
// does not mention are left out. A code without a message, or a message whose
// figure is not given, falls back to the code and the figures as they stand, so
// that nothing is lost: "load.other (current 60 A)".
func (t *Teller) Say(code string, figures ...electrical.Figure) string {
	m, ok := t.book.messages[code]
	if !ok {
		return t.plain(code, figures)
	}
	text, ok := m.render(t, figures)
	if !ok {
		return t.plain(code, figures)
	}
	return text
}

// Reason gives the sentence of a reason. Its source is not part of it.
func (t *Teller) Reason(r electrical.Reason) string { return t.Say(r.Rule, r.Figures...) }

// Label gives the name of a figure, for tables; the key itself in plain words
// where there is none.
func (t *Teller) Label(key string) string {
	if label, ok := t.book.labels[key]; ok {
		return label
	}
	return unsnake(key)
}

// Word gives the word for one value of an enumeration, such as ("environment",
// "engine_space"); the code itself in plain words where there is none. The key
// is the enumeration's name, or that of the figure which carries it.
func (t *Teller) Word(key, code string) string {
	if word, ok := t.book.words[key][code]; ok {
		return word
	}
	return unsnake(code)
}

// plain is what is said where a sentence is missing.
func (t *Teller) plain(code string, figures []electrical.Figure) string {
	if len(figures) == 0 {
		return code
	}
	said := make([]string, len(figures))
	for i, f := range figures {
		said[i] = t.Label(f.Key) + " " + t.Value(f)
	}
	return code + " (" + strings.Join(said, ", ") + ")"
}

func unsnake(code string) string { return strings.ReplaceAll(code, "_", " ") }
