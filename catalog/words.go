package catalog

import (
	"strings"
	"unicode"
)

// measure tells how far a word is off a text in which it is looked for: the text as a
// whole and its own words; false where it is not in it.
type measure func(word, text string, own []string) (off int, ok bool)

// How far off a word is (own choice).
const (
	offWord      = 0 // it is one of the text's own words
	offBeginning = 1 // one begins with it
	offWithin    = 2 // it stands within one, or over several
	offSlip      = 4 // for each letter that differs
)

// offAll adds up how far words are off a part; false where one is not in it.
func offAll(p *Part, words []string, off measure) (sum int, ok bool) {
	if len(words) == 0 {
		return 0, true
	}
	text := strings.ToLower(p.SKU + " " + p.Description)
	own := strings.FieldsFunc(text, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) && r != '/' && r != '#' })
	for _, w := range words {
		one, ok := off(w, text, own)
		if !ok {
			return 0, false
		}
		sum += one
	}
	return sum, true
}

// written finds words as they are written.
func written(word, text string, own []string) (int, bool) {
	if !strings.Contains(text, word) {
		return 0, false
	}
	best := offWithin
	for _, o := range own {
		switch {
		case o == word:
			return offWord, true
		case strings.HasPrefix(o, word):
			best = offBeginning
		}
	}
	return best, true
}

// misspelt finds words with a slip too: one change in four letters. Words that were
// compared once are remembered.
func misspelt() measure {
	type pair struct{ word, own string }
	known := map[pair]int{}
	return func(word, text string, own []string) (int, bool) {
		if off, ok := written(word, text, own); ok {
			return off, true
		}
		if len(word) > maxEcho {
			return 0, false
		}
		most := (len(word) + 1) / 4
		least := most + 1
		for _, o := range own {
			if len(o) > maxEcho {
				continue
			}
			d, ok := known[pair{word, o}]
			if !ok {
				d = editDistance(word, o)
				known[pair{word, o}] = d
			}
			least = min(least, d)
		}
		return offSlip * least, least <= most
	}
}
