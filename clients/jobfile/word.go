package jobfile

import (
	"fmt"
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"
)

// Word gives an enum value as people write it: short and in lower case, such as
// "engine_space" for ENVIRONMENT_ENGINE_SPACE. It is empty for the value that
// means "not given" and for numbers that the enum does not have.
func Word(enum protoreflect.EnumDescriptor, number protoreflect.EnumNumber) string {
	value := enum.Values().ByNumber(number)
	if value == nil || number == 0 {
		return ""
	}
	return strings.ToLower(string(value.Name())[len(prefix(enum)):])
}

// Words gives all values of an enum as people write them, in the order of the
// contract, without the one that means "not given".
func Words(enum protoreflect.EnumDescriptor) []string {
	values := enum.Values()
	words := make([]string, 0, values.Len())
	for i := range values.Len() {
		if w := Word(enum, values.Get(i).Number()); w != "" {
			words = append(words, w)
		}
	}
	return words
}

// ParseWord reads an enum value: short, with any leading words of its full name,
// or in full; in any case, with hyphens or spaces for underscores. The error is
// a [*WordError].
func ParseWord(enum protoreflect.EnumDescriptor, text string) (protoreflect.EnumNumber, error) {
	word := underscored.Replace(strings.ToUpper(strings.TrimSpace(text)))
	values, short := enum.Values(), len(prefix(enum))
	for i := range values.Len() {
		v := values.Get(i)
		if v.Number() != 0 && isTail(word, string(v.Name()), short) {
			return v.Number(), nil
		}
	}
	words := Words(enum)
	return 0, &WordError{Text: text, Suggest: Nearest(text, words), Allowed: words}
}

// underscored joins words as the contract does.
var underscored = strings.NewReplacer("-", "_", " ", "_")

// WordError tells that an enum has no such value.
type WordError struct {
	Text    string   // the text as it was written
	Suggest string   // the word that was probably meant, or empty
	Allowed []string // all words of the enum
}

// Error gives the fault in one line with the words that would be taken.
func (e *WordError) Error() string {
	text := "unknown word " + quoted(e.Text)
	if e.Suggest != "" {
		text += fmt.Sprintf(" (did you mean %q?)", e.Suggest)
	}
	return text + "; allowed: " + strings.Join(e.Allowed, ", ")
}

// prefix gives what the names of all values begin with: the zero value is the
// enum's name and UNSPECIFIED.
func prefix(enum protoreflect.EnumDescriptor) string {
	return strings.TrimSuffix(string(enum.Values().ByNumber(0).Name()), "UNSPECIFIED")
}

// isTail tells that word is the name's last part, at least from byte short on,
// and begins where a word of the name begins.
func isTail(word, name string, short int) bool {
	at := len(name) - len(word)
	return strings.HasSuffix(name, word) && at <= short && (at == 0 || name[at-1] == '_')
}
