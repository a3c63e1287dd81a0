package wording_test

import (
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

const (
	values = "values: {decimal: '.', not_a_number: nan, unlimited: inf, not_stated: none}\n"
	labels = "labels: {current_a: current}\n"
)

func TestReadFaults(t *testing.T) {
	tests := []struct {
		name string
		text string
		want []string
	}{
		{"not YAML", "values: [", []string{"en.yaml: yaml:"}},
		{"empty", "", []string{"en.yaml is empty"}},
		{"not a mapping", "- one\n", []string{"en.yaml:1: want keys with values"}},
		{"unknown key", values + labels + "messages: {}\nextra: 1\n", []string{"en.yaml:4: extra is unknown"}},
		{"nothing given", "labels: {}\n", []string{"values.decimal is missing", "values.not_a_number is missing", "values.unlimited is missing",
			"values.not_stated is missing", "messages is missing"}},
		{"unknown value", "values: {decimal: '.', comma: x}\nmessages: {}\n", []string{"values.comma is unknown"}},
		{"code given twice", values + "messages:\n  a.b: x\n  a.c: y\n  a.b: z\n", []string{"en.yaml:5: a.b is given twice"}},
		{"word given twice", values + "messages: {}\nwords:\n  fuel:\n    gas: gas\n    gas: gas\n", []string{"en.yaml:6: gas is given twice"}},
		{"list for a text", values + "messages:\n  a.b: [x]\n", []string{"en.yaml:3: a.b: empty text"}},
		{"empty text", values + "messages:\n  a.b: ' '\n", []string{"a.b: empty text"}},
		{"unknown figure", values + labels + "messages:\n  a.b: '{current_a} {speed_kn}'\n", []string{"en.yaml:4: a.b: {speed_kn} is no figure that has a label"}},
		{"brace left open", values + labels + "messages:\n  a.b: 'x {current_a'\n", []string{"a.b: a brace without its partner"}},
		{"brace never opened", values + labels + "messages:\n  a.b: 'x current_a}'\n", []string{"a.b: a brace without its partner"}},
		{"no key in braces", values + labels + "messages:\n  a.b: 'x {}'\n", []string{"a figure's key is"}},
		{"key in capitals", values + labels + "messages:\n  a.b: 'x {Current}'\n", []string{"a figure's key is"}},
		{"bracket left open", values + labels + "messages:\n  a.b: 'x [{current_a}'\n", []string{"a square bracket"}},
		{"bracket never opened", values + labels + "messages:\n  a.b: 'x] {current_a}'\n", []string{"a square bracket"}},
		{"bracket within another", values + labels + "messages:\n  a.b: 'x [a [{current_a}]]'\n", []string{"a square bracket"}},
		{"bracket within braces", values + labels + "messages:\n  a.b: 'x {cur[rent]_a}'\n", []string{"a brace without its partner"}},
		{"nothing that could be missing", values + labels + "messages:\n  a.b: 'x [y]'\n", []string{"square brackets without a figure"}},
		{"all faults at once", values + labels + "messages:\n  a.b: '{x'\n  a.c: '[y]'\n", []string{"en.yaml:4: a.b", "en.yaml:5: a.c"}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			err := wording.ReadLanguage("en.yaml", tt.text)
			for _, want := range tt.want {
				require.ErrorContains(t, err, want)
			}
		})
	}
	require.NoError(t, wording.ReadLanguage("en.yaml", values+labels+"messages:\n  a.b: 'x[ {current_a}]'\n"))
}

// A second language is a second file: found by its name, with its own decimal mark.
func TestASecondLanguage(t *testing.T) {
	fsys := fstest.MapFS{
		"languages/en.yaml": {Data: []byte(values + labels + "messages: {load.current: 'It draws {current_a}.'}\n")},
		"languages/es.yaml": {Data: []byte("values: {decimal: ',', not_a_number: 'ningún número', unlimited: ilimitado, not_stated: sin datos}\n" +
			"labels: {current_a: corriente}\nwords: {fuel: {gas: gas}}\nmessages: {load.current: 'Consume {current_a}.'}\n")},
	}
	tests := []struct{ wanted, language, want string }{
		{"es", "es", "Consume 12,5 A."},
		{"es-MX", "es", "Consume 12,5 A."},
		{"fr, es;q=0.5", "es", "Consume 12,5 A."},
		{"en", "en", "It draws 12.5 A."},
		{"ja", "en", "It draws 12.5 A."},
	}
	for _, tt := range tests {
		teller, err := wording.ForIn(fsys, tt.wanted, wording.Metric)
		require.NoError(t, err)
		assert.Equal(t, tt.language, teller.Language(), tt.wanted)
		assert.Equal(t, tt.want, teller.Say("load.current", electrical.Num("current_a", 12.5, electrical.UnitA)), tt.wanted)
	}
}

func TestLanguageFilesAreNamedAfterLanguages(t *testing.T) {
	_, err := wording.ForIn(fstest.MapFS{"languages/es.yaml": {}}, "es", wording.US)
	require.ErrorContains(t, err, "no languages/en.yaml")
	_, err = wording.ForIn(fstest.MapFS{"languages/en.yaml": {}, "languages/no such tag.yaml": {}}, "en", wording.US)
	require.ErrorContains(t, err, "not named after a language")
}

// Every embedded language has every key of the English file, and no other.
func TestLanguagesHaveTheSameKeys(t *testing.T) {
	all, err := wording.ReadAll()
	require.NoError(t, err)
	require.Equal(t, "en", all[0].Language())
	for _, teller := range all[1:] {
		assert.Equal(t, all[0].Keys(), teller.Keys(), teller.Language())
	}
}
