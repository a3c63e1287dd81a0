package quoting

import (
	"strings"
	"unicode"

	"golang.org/x/text/cases"
	"golang.org/x/text/runes"
	"golang.org/x/text/transform"
	"golang.org/x/text/unicode/norm"
)

// Words takes texts apart into words to find them by: compatible letters are one,
// upper and lower case too, and accents do not count. Each word comes once, in the
// order of the texts.
func Words(texts ...string) []string {
	return unique(strings.FieldsFunc(fold(strings.Join(texts, "\n")), between))
}

// fold makes texts equal that people take for equal. Marks are removed after letters
// are taken apart, and once more what case folding has taken apart.
func fold(text string) string {
	folder := transform.Chain(norm.NFKD, runes.Remove(runes.In(unicode.Mn)), cases.Fold(), norm.NFKD, runes.Remove(runes.In(unicode.Mn)), norm.NFC)
	folded, _, err := transform.String(folder, strings.ToValidUTF8(text, " "))
	if err != nil {
		return strings.ToLower(text) // none of these transformers fails on valid text
	}
	return strings.ToLower(folded) // the folder turns some Cherokee letters into each other
}

func between(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsNumber(r) && !unicode.IsMark(r) }

// Lengths of a telephone number's endings that it is found by: four digits are what
// people say of a number, and fifteen are the most that a number has (ITU-T E.164).
const (
	shortestEnding = 4
	longestEnding  = 15
)

// phoneWords gives the words of a telephone number, and its digits as one word from
// every place on from which at least four follow, so that its last digits find it
// however it was written down.
func phoneWords(phone string) []string {
	digits := strings.Map(func(r rune) rune {
		if r < '0' || r > '9' {
			return -1
		}
		return r
	}, fold(phone))
	digits = digits[max(0, len(digits)-longestEnding):]
	all := []string{phone}
	for from := 0; len(digits)-from >= shortestEnding; from++ {
		all = append(all, digits[from:])
	}
	return Words(all...)
}

// withWords gives a contact with the words it is found by.
func (c Contact) withWords() Contact {
	c.Words = unique(Words(c.Name, c.Email, c.Reference), phoneWords(c.Phone))
	return c
}

// unique joins lists of words, each word once.
func unique(lists ...[]string) []string {
	var all []string
	seen := map[string]bool{}
	for _, list := range lists {
		for _, word := range list {
			if !seen[word] {
				seen[word] = true
				all = append(all, word)
			}
		}
	}
	return all
}
