package cli_test

import (
	"encoding/json"
	"strings"
	"testing"

	"example.com/lugbook/clients/cli"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// quotesLines are the commands about stored quotes, by the name of their golden
// files.
var quotesLines = map[string]string{
	"quotes_create":   "quotes create -",
	"quotes_list":     "quotes list",
	"quotes_show":     "quotes show 17 --history",
	"quotes_revise":   "quotes revise 17 - --reason more",
	"quotes_accept":   "quotes accept 17",
	"quotes_decline":  "quotes decline 17",
	"quotes_withdraw": "quotes withdraw 17",
	"quotes_requote":  "quotes requote 17",
	"quotes_erase":    "quotes erase 17 2026-00016 --yes",
}

func TestQuotesText(t *testing.T) {
	t.Parallel()
	for name, line := range quotesLines {
		for suffix, width := range map[string]int{"_80.txt": 80, "_120.txt": 120} {
			t.Run(name+suffix, func(t *testing.T) {
				t.Parallel()
				got := new(fakeShop).runAt(t, width, tinyJob, strings.Fields(line)...)
				require.Equal(t, cli.Done, got.code, got.errors)
				golden(t, name+suffix, got.out)
				for line := range strings.Lines(got.out) {
					assert.LessOrEqual(t, page.Width(strings.TrimSuffix(line, "\n")), width, line)
				}
			})
		}
	}
}

func TestQuotesJSON(t *testing.T) {
	t.Parallel()
	for name, line := range quotesLines {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			got := new(fakeShop).run(t, tinyJob, strings.Fields(line+" --output json")...)
			require.Equal(t, cli.Done, got.code, got.errors)
			golden(t, name+".json.golden", got.out)
			assert.True(t, json.Valid([]byte(got.out)))
		})
	}
}

// The quote that is shown again is the text that was shown at first, but for what
// its head says of its life.
func TestShowIsTheTextOfTheQuote(t *testing.T) {
	t.Parallel()
	preview := new(fakeShop).run(t, tinyJob, "quote", "-")
	shown := new(fakeShop).run(t, "", "quotes", "show", "17")
	_, body, found := strings.Cut(shown.out, "total ")
	require.True(t, found)
	_, want, found := strings.Cut(preview.out, "total ")
	require.True(t, found)
	assert.Equal(t, want, body)
}
