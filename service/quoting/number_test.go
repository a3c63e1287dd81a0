package quoting_test

import (
	"testing"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
)

func TestParseRef(t *testing.T) {
	for text, want := range map[string]string{
		"2026-00017": "2026-00017", "2026-17": "2026-00017", "2026-0000017": "2026-00017", "2026-123456": "2026-123456",
		"17": "17", "00017": "17", "9223372036854775807": "9223372036854775807",
	} {
		ref, ok := quoting.ParseRef(text)
		assert.True(t, ok, text)
		assert.Equal(t, want, ref.String(), text)
	}
	for _, text := range []string{"", "0", "-", "-17", "2026-", "2026-0", "0000-17", "26-17", "20260-17", "2026-17-1", "2026-x", " 17", "17 ", "+17", "1e3", "9223372036854775808", "２０２６-17"} {
		_, ok := quoting.ParseRef(text)
		assert.False(t, ok, text)
	}
}

func FuzzParseRef(f *testing.F) {
	for _, text := range []string{"2026-00017", "17", "", "-", "0"} {
		f.Add(text)
	}
	f.Fuzz(func(t *testing.T, text string) {
		ref, ok := quoting.ParseRef(text)
		if !ok {
			return
		}
		again, ok := quoting.ParseRef(ref.String())
		if !ok || again != ref {
			t.Fatalf("%q was read as %q, and that as %q", text, ref, again)
		}
	})
}
