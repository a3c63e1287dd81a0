package quoting_test

import (
	"slices"
	"strings"
	"testing"
	"unicode/utf8"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"golang.org/x/text/unicode/norm"
)

func TestWords(t *testing.T) {
	for _, tt := range []struct {
		name string
		text []string
		want []string
	}{
		{"nothing", []string{"", " ", "--"}, nil},
		{"case and signs", []string{"O'Fallow, Wendeline"}, []string{"o", "fallow", "wendeline"}},
		{"each once", []string{"Lamp lamp", "LAMP"}, []string{"lamp"}},
		{"accents", []string{"Zoë Ångström"}, []string{"zoe", "angstrom"}},
		{"accents as marks of their own", []string{"Zoe\u0308"}, []string{"zoe"}},
		{"compatible letters", []string{"ﬁre Ⅳ ｈａｌｆ"}, []string{"fire", "iv", "half"}},
		{"sharp s", []string{"Straße"}, []string{"strasse"}},
		{"final sigma", []string{"ΟΔΟΣ οδός"}, []string{"οδοσ"}},
		{"dotted capital", []string{"İzmir"}, []string{"izmir"}},
		{"numbers", []string{"2026-00017 17"}, []string{"2026", "00017", "17"}},
		{"part number", []string{"AMP-500.1/B"}, []string{"amp", "500", "1", "b"}},
		{"no letters of an alphabet", []string{"山田 太郎"}, []string{"山田", "太郎"}},
		{"line ends", []string{"a\nb\tc"}, []string{"a", "b", "c"}},
		{"bytes that are no text", []string{"a\xffb"}, []string{"a", "b"}},
	} {
		assert.Equal(t, tt.want, quoting.Words(tt.text...), tt.name)
	}
}

func FuzzWords(f *testing.F) {
	for _, text := range []string{"", "Zoë", "STRAẞE", "\xff", "ﬃ½", "İ", "a-b"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		words := quoting.Words(text)
		for i, word := range words {
			if word == "" || !utf8.ValidString(word) || slices.Contains(words[:i], word) {
				t.Fatalf("%q in %q", word, words)
			}
		}
		// What was found of a text finds it again, however the text was composed.
		if again := quoting.Words(words...); !slices.Equal(words, again) {
			t.Fatalf("%q became %q", words, again)
		}
		if utf8.ValidString(text) {
			if other := quoting.Words(norm.NFD.String(text)); !slices.Equal(words, other) {
				t.Fatalf("%q composed, %q taken apart", words, other)
			}
		}
		upper, small := strings.ToUpper(text), strings.ToLower(text)
		if back := strings.ToLower(upper); utf8.ValidString(text) && back == small {
			if other := quoting.Words(upper); !slices.Equal(words, other) {
				t.Fatalf("%q in small letters, %q in capitals", words, other)
			}
		}
	})
}
