package quantity

import (
	"strconv"
	"strings"
	"unicode/utf8"
)

// Reason is the kind of fault in a text, for callers that branch on it. Codes
// never change.
type Reason string

// The faults that an [Error] reports.
const (
	ReasonEmpty            Reason = "empty"             // nothing but space was given
	ReasonNoNumber         Reason = "no_number"         // the text does not begin with a number
	ReasonBadNumber        Reason = "bad_number"        // digits are grouped unevenly, or a fraction is none
	ReasonAmbiguous        Reason = "ambiguous"         // the text has two sensible meanings
	ReasonNoUnit           Reason = "no_unit"           // a bare number
	ReasonUnknownUnit      Reason = "unknown_unit"      // the unit is in no table
	ReasonOtherUnit        Reason = "other_unit"        // the unit belongs to another dimension
	ReasonMega             Reason = "mega"              // a milli unit spelled with a capital M
	ReasonBadParts         Reason = "bad_parts"         // the parts of 3 ft 6 in do not fit together
	ReasonNegative         Reason = "negative"          // below zero where that has no meaning
	ReasonOutOfRange       Reason = "out_of_range"      // too large, too cold or no gauge that exists
	ReasonNotWhole         Reason = "not_whole"         // a gauge between two gauges
	ReasonUnknownDimension Reason = "unknown_dimension" // the caller asked for no known dimension
)

// maxEcho is how many runes of the input an error repeats.
const maxEcho = 40

// Error tells why a text is not the wanted quantity or size. Its message is
// one line, names what was wrong and says what would be accepted.
type Error struct {
	Input    string   // the text, cut to 40 runes
	Want     string   // what was asked for, such as "current" or "conductor size"
	Accepted []string // units that would be accepted; for sizes, examples
	Reason   Reason

	detail string
}

// Error gives the message, such as
//
//	"60" is not a current: it has no unit; write A, mA or kA
//
// Control characters of the input are escaped.
func (e *Error) Error() string {
	var b strings.Builder
	if e.Reason == ReasonEmpty {
		b.WriteString("no ")
		b.WriteString(e.Want)
		b.WriteString(" is given")
	} else {
		b.WriteString(strconv.Quote(e.Input))
		b.WriteString(" is not ")
		b.WriteString(article(e.Want))
		b.WriteString(": ")
		b.WriteString(e.detail)
	}
	for i, name := range e.Accepted {
		switch {
		case i == 0:
			b.WriteString("; write ")
		case i == len(e.Accepted)-1:
			b.WriteString(" or ")
		default:
			b.WriteString(", ")
		}
		b.WriteString(name)
	}
	return b.String()
}

// newError makes the error of a dimension's parser.
func newError(d Dimension, input string, why Reason, detail string) *Error {
	return &Error{Input: shorten(input), Want: string(d), Accepted: d.Units(), Reason: why, detail: detail}
}

// article puts the indefinite article before a noun.
func article(noun string) string {
	if noun != "" && strings.IndexByte("aeiou", noun[0]) >= 0 {
		return "an " + noun
	}
	return "a " + noun
}

// shorten cuts text to maxEcho runes, the last of which is then an ellipsis.
func shorten(text string) string {
	if len(text) <= maxEcho {
		return text
	}
	cut := 0
	for n := 0; cut < len(text); n++ {
		if n == maxEcho {
			return keepRunes(text[:cut], maxEcho-1) + "…"
		}
		_, size := utf8.DecodeRuneInString(text[cut:])
		cut += size
	}
	return text
}

// keepRunes gives the first n runes of text.
func keepRunes(text string, n int) string {
	at := 0
	for range n {
		_, size := utf8.DecodeRuneInString(text[at:])
		at += size
	}
	return text[:at]
}
