package catalog

import (
	"fmt"
	"math"
	"strconv"
	"strings"
)

// bounds is the span of a number, for checking and for saying.
type bounds struct {
	min, max float64
	open     bool // min itself is not allowed
	unit     string
}

// above gives the span from just over min up to and including max.
//
//nolint:unparam // it reads like from, whatever the spans in use begin with
func above(min, max float64, unit string) bounds { return bounds{min, max, true, unit} }

// from gives the span from min to max, both included.
func from(min, max float64, unit string) bounds { return bounds{min, max, false, unit} }

// anyNumber is the span of a figure whose span is checked elsewhere.
var anyNumber = from(-math.MaxFloat64, math.MaxFloat64, "")

func (b bounds) admits(v float64) bool {
	return (v > b.min || v == b.min && !b.open) && v <= b.max
}

// String says the span: "above 0, up to 200 mm".
func (b bounds) String() string {
	if b == anyNumber {
		return "a decimal number"
	}
	text := plain(b.min) + " to " + plain(b.max)
	if b.open {
		text = "above " + plain(b.min) + ", up to " + plain(b.max)
	}
	return strings.TrimSpace(text + " " + b.unit)
}

// plain writes a number without the noise of binary fractions.
func plain(v float64) string {
	return strconv.FormatFloat(math.Round(v*1e6)/1e6, 'f', -1, 64)
}

// maxDigits bounds a plain decimal: more digits are no price and no measure.
const maxDigits = 18

// plainDecimal tells whether text is digits with at most one decimal point and
// a leading minus, and nothing else: no exponent, no grouping, no NaN.
func plainDecimal(text string) bool {
	digits, points := 0, 0
	for i := range len(text) {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			digits++
		case c == '.':
			points++
		case c == '-' && i == 0:
		default:
			return false
		}
	}
	return digits > 0 && digits <= maxDigits && points <= 1
}

// parseNumber reads a plain decimal within bounds; the problem is empty where
// all is well.
func parseNumber(text string, b bounds) (v float64, problem string) {
	if !plainDecimal(text) {
		problem = quote(text) + " is not a number"
		if strings.Contains(text, ",") {
			problem += ": the decimal sign is a point, and thousands are not grouped"
		}
		return 0, problem
	}
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		return 0, quote(text) + " is not a number"
	}
	if !b.admits(v) {
		return 0, text + " is out of range"
	}
	return v, ""
}

// parseWhole is parseNumber for counts.
func parseWhole(text string, b bounds) (n int, problem string) {
	v, problem := parseNumber(text, b)
	if problem != "" {
		return 0, problem
	}
	if v != float64(int(v)) {
		return 0, text + " is not a whole number"
	}
	return int(v), ""
}

// parseThousandths reads a decimal with up to three places as whole thousandths.
func parseThousandths(text string, b bounds) (n int64, problem string) {
	if _, problem = parseNumber(text, b); problem != "" {
		return 0, problem
	}
	whole, places, _ := strings.Cut(text, ".")
	if len(places) > 3 {
		return 0, fmt.Sprintf("%s has more than three decimal places", text)
	}
	n, err := strconv.ParseInt(whole+places+strings.Repeat("0", 3-len(places)), 10, 64)
	if err != nil {
		return 0, quote(text) + " is not a number"
	}
	return n, ""
}
