package quantity

import (
	"strconv"
	"strings"
)

// maxMetric is the largest metric size that is read: the nominal
// cross-sections of IEC 60228 end at 2500 mm² (from memory).
const maxMetric SquareMillimetres = 2500

// wantSize is the Want of errors about sizes.
const wantSize = "conductor size"

// The words around a gauge, longest first where one begins another.
var (
	wordsBefore = [...]string{"awg", "gauge", "gage", "no.", "no"}
	wordsAfter  = [...]string{"awg", "gauge", "gage", "ga.", "ga", "g"}
)

// ParseSize reads a conductor size: a gauge ("8", "#8", "8 awg", "AWG 8",
// "8ga", "no. 8", "1/0", "00", "-1" for 2/0) or a metric cross-section
// ("16mm2", "16 sq mm"). A bare whole number is a gauge, so "16" is 16 AWG and
// never 16 mm²; "0" is 1/0.
//
// It refuses plain millimetres, which may mean the cable's outside diameter,
// half gauges, gauges outside [ThinnestAWG] … [ThickestAWG] and metric sizes
// of nothing or over 2500 mm². The error is an [*Error].
func ParseSize(text string) (Size, error) {
	trimmed := strings.TrimSpace(text)
	if trimmed == "" {
		return Size{}, sizeError(text, fault{why: ReasonEmpty})
	}
	core := gaugeCore(trimmed)
	n, bad, isGauge := readGauge(core)
	switch {
	case bad != nil:
		return Size{}, sizeError(text, *bad)
	case isGauge:
		return AWG(n), nil
	}
	return readMetric(text)
}

// String gives "8 AWG", "1/0 AWG", "16 mm²" or "no size"; metric sizes with
// every digit they have, since they are names as much as measures.
func (s Size) String() string {
	switch {
	case s.isAWG:
		return s.Label() + " AWG"
	case s.IsZero():
		return "no size"
	}
	return strconv.FormatFloat(float64(s.metric), 'f', -1, 64) + " mm²"
}

// Label gives a gauge as the contract writes it, "8" or "1/0", and "" for
// metric sizes and no size.
func (s Size) Label() string {
	switch {
	case !s.isAWG:
		return ""
	case s.gauge <= 0:
		return strconv.Itoa(1-int(s.gauge)) + "/0"
	}
	return strconv.Itoa(int(s.gauge))
}

// MarshalText gives what String gives, and nothing for no size.
func (s Size) MarshalText() ([]byte, error) {
	if s.IsZero() {
		return nil, nil
	}
	return []byte(s.String()), nil
}

// UnmarshalText reads what [ParseSize] reads; empty text is no size.
func (s *Size) UnmarshalText(text []byte) error {
	if len(text) == 0 {
		*s = Size{}
		return nil
	}
	size, err := ParseSize(string(text))
	if err != nil {
		return err
	}
	*s = size
	return nil
}

// gaugeCore takes the words and the number sign off a gauge.
func gaugeCore(text string) string {
	for _, word := range wordsBefore {
		if len(text) > len(word) && strings.EqualFold(text[:len(word)], word) {
			text = strings.TrimSpace(text[len(word):])
			break
		}
	}
	text = strings.TrimSpace(strings.TrimPrefix(text, "#"))
	for _, word := range wordsAfter {
		at := len(text) - len(word)
		if at > 0 && strings.EqualFold(text[at:], word) {
			return strings.TrimSuffix(strings.TrimSpace(text[:at]), "-") // 8-gauge
		}
	}
	return text
}

// readGauge reads a gauge without words. It tells false for what is no number
// or carries a unit; a fault is a number that is no gauge.
func readGauge(core string) (n int, bad *fault, isGauge bool) {
	digits, negative := cutSign(core)
	plain := leadingDigits(digits)
	if plain == 0 || strings.HasPrefix(core, "+") {
		return 0, nil, false
	}
	whole, zeroInFront := plain == len(digits), digits[0] == '0'
	switch {
	case digits[plain:] == "/0" && !negative && !zeroInFront:
		n = 1 - smallNumber(digits[:plain])
	case whole && !negative && strings.Trim(digits, "0") == "":
		n = 1 - plain // 0, 00, 000, 0000
	case whole && zeroInFront:
		return 0, &fault{ReasonBadNumber, "a gauge has no zeros in front"}, false
	case whole && negative:
		n = -smallNumber(digits)
	case whole:
		n = smallNumber(digits)
	case isBroken(digits):
		return 0, &fault{ReasonNotWhole, "gauges are whole numbers, and square millimetres need their unit"}, false
	default:
		return 0, nil, false
	}
	if AWG(n).IsZero() {
		return 0, &fault{ReasonOutOfRange, "gauges run from 26 to 4/0"}, false
	}
	return n, nil, true
}

// isBroken tells that the text is a number with a broken part and nothing else.
func isBroken(text string) bool {
	n, rest, bad := scanNumber(text, true)
	return bad == nil && rest == "" && !n.whole
}

// smallNumber reads digits, cut at a bound far beyond any gauge, so that no
// number of digits overflows.
func smallNumber(digits string) int {
	return int(min(atof(digits), 1000))
}

// readMetric reads a size in square millimetres.
func readMetric(text string) (Size, error) {
	v, u, bad := scan(Area, text, false)
	if bad != nil {
		return Size{}, sizeError(text, *bad)
	}
	area := SquareMillimetres(u.toBase(v))
	switch {
	case !(area > 0):
		return Size{}, sizeError(text, fault{ReasonOutOfRange, "a conductor has a cross-section"})
	case area > maxMetric:
		return Size{}, sizeError(text, fault{ReasonOutOfRange, "metric sizes end at 2500 mm²"})
	}
	return Metric(area), nil
}

// sizeError makes the error of a size, which proposes examples.
func sizeError(input string, bad fault) *Error {
	return &Error{
		Input: shorten(input), Want: wantSize, Accepted: []string{"8", "1/0", "16 mm2"},
		Reason: bad.why, detail: bad.detail,
	}
}
