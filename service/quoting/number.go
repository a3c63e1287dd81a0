package quoting

import (
	"fmt"
	"strconv"
	"strings"
	"time"
)

// Numbers are spelled YEAR-RUNNING with the running part padded to this width.
const runningDigits = 5

// numberOf gives the number of a quote made at a time: the year where the shop is,
// and the running number, which never starts anew.
func numberOf(at time.Time, running int64) string {
	return spell(int64(at.Year()), running)
}

func spell(year, running int64) string { return fmt.Sprintf("%04d-%0*d", year, runningDigits, running) }

// Ref is how a quote is asked for: by its number, or by the running part alone. It
// comes from ParseRef.
type Ref struct {
	number  string // empty where only the running part is known
	running int64
}

// ParseRef reads a number such as "2026-00017", with or without the zeros, or its
// running part alone. False where the text is neither.
func ParseRef(text string) (Ref, bool) {
	year, rest, whole := strings.Cut(text, "-")
	if !whole {
		rest = text
	}
	running, ok := parseDigits(rest)
	if !ok {
		return Ref{}, false
	}
	if !whole {
		return Ref{running: running}, true
	}
	y, ok := parseDigits(year)
	if !ok || len(year) != len("2026") {
		return Ref{}, false
	}
	return Ref{spell(y, running), running}, true
}

// String gives the number, or the running part where it is all that is known.
func (r Ref) String() string {
	if r.number == "" {
		return strconv.FormatInt(r.running, 10)
	}
	return r.number
}

// parseDigits reads a number above 0 that is nothing but digits.
func parseDigits(text string) (int64, bool) {
	if text == "" || strings.Trim(text, "0123456789") != "" {
		return 0, false
	}
	n, err := strconv.ParseInt(text, 10, 64)
	return n, err == nil && n > 0
}

// find gives the number that a ref means. Whether there is such a quote is seen when
// it is read.
func (r Ref) find(from Reader) (string, error) {
	if r.number != "" {
		return r.number, nil
	}
	number, err := from.Numbered(r.running)
	return number, missing(err, r.String(), 0)
}
