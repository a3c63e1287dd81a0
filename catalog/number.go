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
	_, ok := parseDecimal(text)
	return ok
}

// decimal is a plain decimal, exactly: its digits as a whole number, and how many of
// them stand after the point.
type decimal struct {
	digits int64
	places int
}

// parseDecimal reads a plain decimal; false for any other text.
func parseDecimal(text string) (decimal, bool) {
	var v decimal
	digits, point := 0, -1
	for i := range len(text) {
		switch c := text[i]; {
		case c >= '0' && c <= '9':
			if digits++; digits > maxDigits {
				return decimal{}, false
			}
			v.digits = 10*v.digits + int64(c-'0')
		case c == '.' && point < 0:
			point = digits
		case c == '-' && i == 0:
		default:
			return decimal{}, false
		}
	}
	if digits == 0 {
		return decimal{}, false
	}
	if point >= 0 {
		v.places = digits - point
	}
	if text[0] == '-' {
		v.digits = -v.digits
	}
	return v, true
}

// exactFloat bounds the whole numbers that binary floats hold exactly.
const exactFloat = 1 << 53

// powers are the powers of ten up to maxDigits, which binary floats hold exactly too.
var powers = func() (p [maxDigits + 1]int64) {
	p[0] = 1
	for i := 1; i < len(p); i++ {
		p[i] = 10 * p[i-1]
	}
	return p
}()

// float gives the nearest binary float: of two that are exact, division rounds to it.
func (v decimal) float(text string) float64 {
	if v.digits < exactFloat && v.digits > -exactFloat {
		return float64(v.digits) / float64(powers[v.places])
	}
	f, _ := strconv.ParseFloat(text, 64) // a plain decimal, far within the range
	return f
}

// nano gives the decimal in billionths; false where it has more places or is too large.
func (v decimal) nano() (int64, bool) {
	const places = 9
	if v.places > places || v.digits < 0 || v.digits > maxAmount*powers[v.places] {
		return 0, false
	}
	return v.digits * powers[places-v.places], true
}

// parseNumber reads a plain decimal within bounds; the problem is empty where
// all is well.
func parseNumber(text string, b bounds) (v float64, problem string) {
	d, ok := parseDecimal(text)
	if !ok {
		problem = quote(text) + " is not a number"
		if strings.Contains(text, ",") {
			problem += ": the decimal sign is a point, and thousands are not grouped"
		}
		return 0, problem
	}
	if v = d.float(text); !b.admits(v) {
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
