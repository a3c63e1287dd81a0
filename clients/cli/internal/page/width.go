package page

import (
	"strings"
	"unicode"

	"golang.org/x/text/width"
)

// Width is how many columns of the screen a text takes: two for each wide
// character of East Asian scripts, none for combining marks and format
// characters.
func Width(text string) int {
	columns := 0
	for _, r := range text {
		columns += runeWidth(r)
	}
	return columns
}

// runeWidth is how many columns one character takes.
func runeWidth(r rune) int {
	if r < unicode.MaxLatin1 {
		return 1
	}
	if unicode.In(r, unicode.Mn, unicode.Me, unicode.Cf) {
		return 0
	}
	switch width.LookupRune(r).Kind() {
	case width.EastAsianWide, width.EastAsianFullwidth:
		return 2
	}
	return 1
}

// Clean gives a text on one line without what would steer a terminal: control
// characters, and format characters that change the direction of writing.
func Clean(text string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case unicode.IsSpace(r):
			return ' '
		case unicode.IsControl(r), unicode.Is(unicode.Bidi_Control, r):
			return -1
		}
		return r
	}, text)
}

// wrap breaks a text into lines of at most the given columns, between words
// where it can.
func wrap(text string, columns int) []string {
	columns = max(columns, 1)
	var lines []string
	line, used := "", 0
	for _, word := range strings.Fields(Clean(text)) {
		w := Width(word)
		if line != "" && used+1+w <= columns {
			line, used = line+" "+word, used+1+w
			continue
		}
		if line != "" {
			lines = append(lines, line)
		}
		for w > columns {
			head, tail := cut(word, columns)
			lines = append(lines, head)
			word, w = tail, Width(tail)
		}
		line, used = word, w
	}
	if line != "" || len(lines) == 0 {
		lines = append(lines, line)
	}
	return lines
}

// cut takes as many characters off the front of a word as fit into the columns,
// but at least one.
func cut(word string, columns int) (head, tail string) {
	used := 0
	for at, r := range word {
		used += runeWidth(r)
		if used > columns && at > 0 {
			return word[:at], word[at:]
		}
	}
	return word, ""
}
