package relational

import (
	"encoding/json"
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/lugbook/service/quoting"
)

// Classes of words, as they stand in the tables.
const (
	ofCustomer = 1
	ofVehicle  = 2
	ofOthers   = 3
)

// longest is how many characters of a word are compared: own choice, far beyond any
// word that somebody types, and within what PostgreSQL takes into an index.
const longest = 200

// together is how many words one statement writes: own choice, most quotes have fewer.
const together = 64

// list reads a list of words from its JSON; an empty one comes back as nil.
type list struct{ to *[]string }

// Scan implements sql.Scanner.
func (l list) Scan(from any) error {
	*l.to = nil
	switch v := from.(type) {
	case nil:
		return nil
	case string:
		return l.read([]byte(v))
	case []byte:
		return l.read(v)
	}
	return fmt.Errorf("words are stored as %T", from)
}

func (l list) read(raw []byte) error {
	if err := json.Unmarshal(raw, l.to); err != nil {
		return fmt.Errorf("read words: %w", err)
	}
	if len(*l.to) == 0 {
		*l.to = nil
	}
	return nil
}

// asList writes words as a JSON list.
func asList(words []string) string {
	if len(words) == 0 {
		return "[]"
	}
	raw, err := json.Marshal(words)
	if err != nil {
		panic("a list of texts is always JSON: " + err.Error())
	}
	return string(raw)
}

// index makes a quote found by its words.
func (t *Transaction) index(h quoting.Head) error {
	var arguments []any
	for _, class := range []struct {
		class int
		words []string
	}{{ofCustomer, h.Customer.Words}, {ofVehicle, h.VehicleWords}, {ofOthers, h.Words}} {
		for _, word := range class.words {
			arguments = append(arguments, h.Running, compared(word), class.class)
		}
	}
	for some := range slices.Chunk(arguments, 3*together) {
		if _, err := t.exec(insertWords(len(some)/3), some...); err != nil {
			return fmt.Errorf("index words: %w", err)
		}
	}
	return nil
}

// insertWords is the statement that writes so many words.
func insertWords(n int) string {
	var s strings.Builder
	s.WriteString(`INSERT INTO words (running, word, class) VALUES `)
	for i := range n {
		if i > 0 {
			s.WriteString(", ")
		}
		fmt.Fprintf(&s, "($%d, $%d, $%d)", 3*i+1, 3*i+2, 3*i+3)
	}
	s.WriteString(` ON CONFLICT DO NOTHING`)
	return s.String()
}

// compared gives as much of a word as is compared.
func compared(word string) string {
	n := 0
	for i := range word {
		if n == longest {
			return word[:i]
		}
		n++
	}
	return word
}

// successor gives the least text that comes after every text that begins with the
// given one, by code points. There is none where that has nothing but the greatest
// code point, or nothing at all.
func successor(beginning string) (string, bool) {
	for beginning != "" {
		last, size := utf8.DecodeLastRuneInString(beginning)
		beginning = beginning[:len(beginning)-size]
		if last == utf8.MaxRune {
			continue
		}
		last++
		if !utf8.ValidRune(last) {
			last = 0xE000 // the first after the surrogates, which no text holds
		}
		return beginning + string(last), true
	}
	return "", false
}
