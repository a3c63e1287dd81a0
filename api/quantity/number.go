package quantity

import (
	"math"
	"strconv"
	"strings"
	"unicode/utf8"
)

// number is a scanned number without sign.
type number struct {
	value   float64
	whole   bool // written without a broken part
	leading int  // digits before the first separator
}

// fault is what is wrong with a piece of text, before the error knows the whole.
type fault struct {
	why    Reason
	detail string
}

var (
	noNumber    = &fault{ReasonNoNumber, "it does not begin with a number"}
	badGroups   = &fault{ReasonBadNumber, "its digits are grouped unevenly"}
	badFraction = &fault{ReasonBadNumber, "its fraction is not one like 3 1/2"}
	twoReadings = &fault{ReasonAmbiguous, "its comma may be a decimal comma or part thousands from hundreds"}
)

// longFraction is how many digits a fraction's parts may have; 1/128 in is
// finer than any tape measure.
const longFraction = 4

// cutSign takes a leading sign off the text; the minus may be a hyphen, the
// minus sign or the en dash that word processors make of it.
func cutSign(text string) (rest string, negative bool) {
	for _, minus := range [...]string{"-", "−", "–"} {
		if rest, ok := strings.CutPrefix(text, minus); ok {
			return strings.TrimSpace(rest), true
		}
	}
	return strings.TrimSpace(strings.TrimPrefix(text, "+")), false
}

// scanNumber reads the number at the start of the text. With fractions, 1/2,
// 3 1/2 and 3-1/2 are numbers too.
func scanNumber(text string, fractions bool) (number, string, *fault) {
	end := numberEnd(text)
	if end == 0 {
		return number{}, text, noNumber
	}
	token, rest := text[:end], text[end:]
	value, bad := readDecimal(token)
	if bad != nil {
		return number{}, text, bad
	}
	leading := leadingDigits(token)
	n := number{value: value, whole: value == math.Trunc(value), leading: leading}
	if !fractions || leading != len(token) {
		return n, rest, nil
	}
	return addFraction(n, rest)
}

// numberEnd gives the length of the number at the start of the text. Points
// and commas belong to it when a digit follows, spaces when exactly three do.
func numberEnd(text string) int {
	end, digits := 0, false
	for end < len(text) {
		switch c := text[end]; {
		case isDigit(c):
			digits = true
			end++
		case (c == '.' || c == ',' && digits) && end+1 < len(text) && isDigit(text[end+1]):
			end++
		default:
			width := groupSpace(text[end:])
			if !digits || width == 0 || leadingDigits(text[end+width:]) != 3 {
				return end
			}
			end += width
		}
	}
	return end
}

// groupSpace gives the width of a space that may group thousands: the plain,
// the unbreakable, the narrow unbreakable and the thin one.
func groupSpace(text string) int {
	switch r, size := utf8.DecodeRuneInString(text); r {
	case ' ', '\u00a0', '\u202f', '\u2009':
		return size
	}
	return 0
}

// readDecimal reads digits with separators by the rules in the package
// documentation.
func readDecimal(token string) (float64, *fault) {
	dots, commas := strings.Count(token, "."), strings.Count(token, ",")
	plain := leadingDigits(token)
	if commas == 0 && dots <= 1 && (plain == len(token) || token[plain] == '.') {
		if leadingDigits(token[plain+dots:]) == len(token)-plain-dots {
			return atof(token), nil
		}
	}
	point, bad := decimalMark(token, dots, commas)
	if bad != nil {
		return 0, bad
	}
	return readGrouped(token[:point], token[point:])
}

// decimalMark gives the place of the decimal mark in a token with separators,
// len(token) when all of them group thousands.
func decimalMark(token string, dots, commas int) (int, *fault) {
	dot, comma := strings.LastIndexByte(token, '.'), strings.LastIndexByte(token, ',')
	switch {
	case dots == 1 && dot > comma:
		return dot, nil
	case dots > 0 && commas == 1 && comma > dot:
		return comma, nil
	case commas == 1 && dots == 0:
		lead, after := comma, len(token)-comma-1
		switch {
		case leadingDigits(token) != lead: // grouped by spaces before the comma
			return comma, nil
		case after != 3 || token[0] == '0':
			return comma, nil
		case lead > 3:
			return 0, twoReadings
		}
	case dots > 0 && commas > 0:
		return 0, badGroups
	}
	return len(token), nil
}

// readGrouped reads a whole part, whose thousands are grouped by one kind of
// separator, and a fraction that begins with its mark.
func readGrouped(whole, fraction string) (float64, *fault) {
	var space [32]byte
	plain := space[:0]
	lead := leadingDigits(whole)
	plain = append(plain, whole[:lead]...)
	rest, separator := whole[lead:], ""
	if rest != "" && (lead == 0 || lead > 3 || whole[0] == '0') {
		return 0, badGroups
	}
	for rest != "" {
		_, width := utf8.DecodeRuneInString(rest)
		if separator == "" {
			separator = rest[:width]
		}
		if rest[:width] != separator || leadingDigits(rest[width:]) != 3 {
			return 0, badGroups
		}
		plain = append(plain, rest[width:width+3]...)
		rest = rest[width+3:]
	}
	if fraction != "" {
		if leadingDigits(fraction[1:]) != len(fraction)-1 {
			return 0, badGroups
		}
		plain = append(plain, '.')
		plain = append(plain, fraction[1:]...)
	}
	return atof(string(plain)), nil
}

// addFraction reads what makes a whole number a fraction (the /2 of 1/2) or a
// mixed number (the 1/2 of 3 1/2), if anything does.
func addFraction(n number, rest string) (number, string, *fault) {
	if after, ok := strings.CutPrefix(rest, "/"); ok {
		below, after, bad := fractionPart(after)
		if bad != nil || below == 0 {
			return n, rest, badFraction
		}
		n.value, n.whole = n.value/below, false
		return n, after, nil
	}
	joined := strings.TrimLeft(rest, " -")
	digits := leadingDigits(joined)
	if len(joined) == len(rest) || digits == 0 || !strings.HasPrefix(joined[digits:], "/") {
		return n, rest, nil
	}
	above, after, bad := fractionPart(joined)
	if bad != nil {
		return n, rest, bad
	}
	below, after, bad := fractionPart(after[1:])
	if bad != nil || above >= below {
		return n, rest, badFraction
	}
	n.value, n.whole = n.value+above/below, false
	return n, after, nil
}

// fractionPart reads the whole number above or below a fraction's bar.
func fractionPart(text string) (float64, string, *fault) {
	digits := leadingDigits(text)
	if digits == 0 || digits > longFraction {
		return 0, text, badFraction
	}
	return atof(text[:digits]), text[digits:], nil
}

// atof reads plain decimal digits. The only error left is that of a number
// beyond float64, which comes as +Inf and is refused as too large.
func atof(plain string) float64 {
	v, _ := strconv.ParseFloat(plain, 64)
	return v
}

func leadingDigits(text string) int {
	n := 0
	for n < len(text) && isDigit(text[n]) {
		n++
	}
	return n
}

func isDigit(c byte) bool { return '0' <= c && c <= '9' }
