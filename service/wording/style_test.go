package wording_test

import (
	"regexp"
	"strings"
	"testing"
	"unicode"
	"unicode/utf8"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

// sample gives a figure of a key with the unit that the key's ending tells, long
// as real ones are.
func sample(key string) electrical.Figure {
	if word, ok := wordOf[key]; ok {
		return electrical.Word(key, word)
	}
	switch key {
	case "conductor", "thinner", "minimum", "largest", "smallest", "least", "counts":
		return electrical.SizeFigure(key, quantity.AWG(0))
	case "low", "high", "ends", "terminals", "limit", "joints", "conductors", "more", "pieces", "pack_qty", "places", "revision", "latest":
		return electrical.Num(key, 3, electrical.UnitCount)
	case "share", "factor", "efficiency", "ratio", "least_ratio":
		return electrical.Num(key, 0.8, electrical.UnitFactor)
	case "hours":
		return electrical.Num(key, 5.5, electrical.UnitH)
	case "minutes", "minimum_minutes":
		return electrical.Num(key, 72, electrical.UnitMinutes)
	}
	endings := []struct {
		ending string
		value  float64
		unit   electrical.Unit
	}{
		{"_mohm", 1, electrical.UnitMohm}, {"_ohm", 4, electrical.UnitOhm}, {"_mm", 12.5, electrical.UnitMM}, {"_percent", 2.98, electrical.UnitPercent}, {"_a", 128, electrical.UnitA},
		{"_v", 13.8, electrical.UnitV}, {"_w", 1200, electrical.UnitW}, {"_m", 5.49, electrical.UnitM}, {"_c", 105, electrical.UnitC},
		{"_s", 60, electrical.UnitS}, {"_n", 222, electrical.UnitN}, {"_ah", 100, electrical.UnitAh},
	}
	for _, e := range endings {
		if strings.HasSuffix(key, e.ending) {
			return electrical.Num(key, e.value, e.unit)
		}
	}
	return electrical.Name(key, "Name of it")
}

// isPhrase tells that a message is a part of a line, no sentence.
func isPhrase(code string) bool {
	switch code {
	case "circuit.input", "circuit.output", "circuit.trunk", "circuit.trunk_part", "layout.single", "layout.trunk", "layout.mixed":
		return true
	}
	return strings.HasPrefix(code, "point.") || strings.HasPrefix(code, "line.") ||
		strings.HasPrefix(code, "curve.") && !strings.HasPrefix(code, "curve.note.")
}

var sentenceEnd = regexp.MustCompile(`[.!?]( |$)`)

// Every message of every language, filled in, reads as one: nothing is left
// unfilled, and its length and sentences keep to the style of its family.
func TestEveryMessageReadsWell(t *testing.T) {
	all, err := wording.ReadAll()
	require.NoError(t, err)
	for _, teller := range all {
		for _, code := range teller.Codes() {
			var figures []electrical.Figure
			for _, key := range teller.Slots(code) {
				figures = append(figures, sample(key))
			}
			said := teller.Say(code, figures...)
			assertSaid(t, teller, code, figures, teller.Language())
			assert.NotContains(t, said, "[", code)
			assert.NotContains(t, said, "  ", "%s: double space: %s", code, said)
			assert.Equal(t, strings.TrimSpace(said), said, code)
			if isPhrase(code) {
				assert.False(t, strings.HasSuffix(said, "."), "%s is a phrase: %s", code, said)
				continue
			}
			first, _ := utf8.DecodeRuneInString(said)
			assert.False(t, unicode.IsLower(first), "%s: begins small: %s", code, said)
			assert.True(t, strings.HasSuffix(said, "."), "%s: no full stop: %s", code, said)
			assertLength(t, code, said)
		}
	}
}

// Lengths in characters with usual figures, and sentences: a caution may take two
// and be longer, since it must be complete.
const (
	longestReason  = 125
	longestCaution = 230
)

func assertLength(t *testing.T, code, said string) {
	t.Helper()
	longest, sentences := longestReason, 1
	switch {
	case strings.HasPrefix(code, "note."):
		longest, sentences = longestCaution, 2
	case code == "violation.required", code == "error.more_faults":
		sentences = 2
	}
	assert.LessOrEqual(t, utf8.RuneCountInString(said), longest, "%s: too long: %s", code, said)
	assert.LessOrEqual(t, len(sentenceEnd.FindAllString(said, -1)), sentences, "%s: too many sentences: %s", code, said)
}

// Words and labels stand within sentences and tables: none ends in a full stop.
func TestLabelsAreNoSentences(t *testing.T) {
	teller := wording.For("en", wording.Metric)
	for _, key := range teller.Keys() {
		switch kind, rest, _ := strings.Cut(key, " "); kind {
		case "label":
			assert.NotContains(t, teller.Label(rest), ".", key)
		case "word":
			group, code, _ := strings.Cut(rest, " ")
			assert.NotContains(t, teller.Word(group, code), ".", key)
			assert.NotContains(t, teller.Word(group, code), "_", key)
		}
	}
}
