package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"
)

func TestOut(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "quote.txt")
	want := new(fakeShop).run(t, "", "quotes", "show", "17")
	got := new(fakeShop).runAt(t, 200, "", "quotes", "show", "17", "--out", file)
	assert.Equal(t, result{cli.Done, "", "written to " + file + "\n"}, got)
	text, err := os.ReadFile(file)
	require.NoError(t, err)
	assert.Equal(t, want.out, string(text), "as wide as paper")
	info, err := os.Stat(file)
	require.NoError(t, err)
	assert.Equal(t, os.FileMode(0o600), info.Mode().Perm(), "it holds a customer's name")

	got = new(fakeShop).run(t, tinyJob, "quotes", "create", "-", "--out", file)
	require.Equal(t, cli.Done, got.code, got.errors)
	text, err = os.ReadFile(file)
	require.NoError(t, err)
	assert.Contains(t, string(text), "CAUTIONS: READ BEFORE WORK BEGINS", "the whole quote")
	assert.True(t, strings.HasPrefix(got.out, "Quote 2026-00017\n"), got.out)
	assert.NotContains(t, got.out, "CAUTIONS", "and a receipt on the screen")

	nowhere := filepath.Join(t.TempDir(), "none", "quote.txt")
	got = new(fakeShop).run(t, "", "quotes", "show", "17", "--out", nowhere)
	assert.Equal(t, result{cli.Failed, "", "lugbook: --out: write " + nowhere + ": no such file or directory\nhint: name a file in a folder that can be written to\n"}, got)
}

func TestSaveJob(t *testing.T) {
	t.Parallel()
	file := filepath.Join(t.TempDir(), "job.yaml")
	var first, second fakeShop
	got := first.run(t, "", words("quotes create --vehicle camper-van --equipment light:6W@roof,quantity=6 --discount 5% --discount-reason 'yes: friend' --yes --request-id r1 --save-job "+file)...)
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Contains(t, got.errors, "the job is kept in "+file+"\n")
	got = second.run(t, "", "quotes", "create", file, "--request-id", "r1")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.True(t, proto.Equal(first.got, second.got), "the file says what the flags said")

	got = first.run(t, tinyJob, "quotes", "create", "-", "--save-job", filepath.Join(t.TempDir(), "none", "job.yaml"))
	assert.Equal(t, cli.Failed, got.code)
	assert.Contains(t, got.errors, "lugbook: --save-job: write ")
}

func TestListPages(t *testing.T) {
	t.Parallel()
	var shop fakeShop
	got := shop.run(t, "", "quotes", "list", "--all", "--output", "json")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Equal(t, 3, strings.Count(got.out, `"number"`))
	assert.NotContains(t, got.out, "next_page_token")
	require.Len(t, shop.calls, 2, "two pages")

	shop = fakeShop{}
	got = shop.run(t, "", "quotes", "list", "--limit", "2")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Equal(t, "hint: there are more; --all lists them, a WORD fewer, --page-token 2 the next\n", got.errors)
	assert.Equal(t, 3, strings.Count(got.out, "2026-000")+strings.Count(got.out, "number"))

	shop = fakeShop{}
	got = shop.run(t, "", "quotes", "list", "--limit", "1001")
	require.Equal(t, cli.Done, got.code, got.errors)
	require.Len(t, shop.calls, 2)
	assert.Equal(t, int32(999), shop.got.(*lugbookv1.ListQuotesRequest).GetPageSize(), "what is left of the limit")

	got = new(fakeShop).run(t, "", "quotes", "list", "--text", "nothing")
	assert.Equal(t, result{cli.Done, "", "no quotes found\n"}, got)
	got = new(fakeShop).run(t, "", "quotes", "list", "--text", "nothing", "--output", "json")
	assert.Equal(t, result{cli.Done, "{}\n", "no quotes found\n"}, got)
}

func TestHintsAfterChanges(t *testing.T) {
	t.Parallel()
	for line, want := range map[string]string{
		"quotes create -":   "hint: \"lugbook quotes show 2026-00017 --out quote.txt\" prints it\n",
		"quotes revise 17":  "hint: \"lugbook quotes show 2026-00017 --out quote.txt\" prints it\n",
		"quotes requote 17": "hint: \"lugbook quotes revise 2026-00017\" makes a new revision at today's prices\n",
		"quotes accept 17":  "",
	} {
		assert.Equal(t, want, new(fakeShop).run(t, tinyJob, words(line)...).errors, line)
	}
}

func TestCompletionOfQuotes(t *testing.T) {
	t.Parallel()
	const numbers = "2026-00017\topen; A. Lindqvist; Camper van with house battery\n2026-00016\twithdrawn; "
	for line, want := range map[string]string{
		"quotes show ":            numbers,
		"quotes accept ":          numbers,
		"quotes revise ":          numbers,
		"quotes revise 17 ":       "yaml\nyml\n",
		"quotes show 17 ":         ":4\n",
		"quotes list --state ":    "open\naccepted\ndeclined\nwithdrawn\nexpired\n",
		"quotes list --vehicle ":  "camper-van\tCamper van with house battery\nservice-truck-24v\t",
		"quotes create --layout ": "auto\nsingle\ntrunk\n",
	} {
		got := new(fakeShop).run(t, "", append([]string{"__complete"}, strings.Split(line, " ")...)...)
		assert.Equal(t, cli.Done, got.code)
		assert.True(t, strings.HasPrefix(got.out, want), "%q completes to %q", line, got.out)
	}
	var shop fakeShop
	shop.run(t, "", "__complete", "quotes", "decline", "")
	assert.Equal(t, []lugbookv1.QuoteState{lugbookv1.QuoteState_QUOTE_STATE_OPEN, lugbookv1.QuoteState_QUOTE_STATE_EXPIRED}, shop.got.(*lugbookv1.ListQuotesRequest).GetStates())
	got := (&fakeShop{err: away(t)}).run(t, "", "__complete", "quotes", "show", "")
	assert.True(t, strings.HasPrefix(got.out, ":"), "nothing is offered where nobody answers: %q", got.out)
}

// replyingWith makes a shop one of whose canned replies is another.
func replyingWith(t *testing.T, file, text string) *fakeShop {
	t.Helper()
	folder := filepath.Join(t.TempDir(), "replies")
	require.NoError(t, os.CopyFS(folder, os.DirFS(testdata)))
	require.NoError(t, os.WriteFile(filepath.Join(folder, file), []byte(text), 0o600))
	return &fakeShop{folder: folder}
}

// Where no stock is counted, one sentence says it for all parts.
func TestStockThatNobodyCounts(t *testing.T) {
	t.Parallel()
	got := replyingWith(t, "reservations.json", `{"reservations": [{"sku": "A", "description": "Cable", "quantity": 2, "unit": "m"}]}`).run(t, "", "quotes", "accept", "17")
	require.Equal(t, cli.Done, got.code, got.errors)
	_, aside, found := strings.Cut(got.out, "\nSET ASIDE\n")
	require.True(t, found)
	assert.Equal(t, "The stock of these parts is not counted: see for yourself what is there.\nqty  unit  what\n  2  m     Cable (A)\n", aside)

	got = replyingWith(t, "reservations.json", `{}`).run(t, "", "quotes", "accept", "17")
	assert.NotContains(t, got.out, "SET ASIDE")
}

func TestListOfTwoCurrencies(t *testing.T) {
	t.Parallel()
	got := replyingWith(t, "quotes.json", `{"quotes": [{"number": "2026-00002", "total": {"currency_code": "USD", "amount": "1.00"}}, {"number": "2026-00001", "total": {"currency_code": "EUR", "amount": "2.00"}}]}`).
		run(t, "", "quotes", "list")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Equal(t, "number      state  for     total  made\n2026-00002              1.00 USD\n2026-00001              2.00 EUR\n", got.out)
}

func TestNothingDiffers(t *testing.T) {
	t.Parallel()
	got := replyingWith(t, "changes.json", `{}`).run(t, "", "quotes", "revise", "17")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.True(t, strings.HasSuffix(got.out, "\n\nNo line is different.\n"), got.out)
}

// A server of another version may leave anything out.
func TestHollowReplyOfStoredQuotes(t *testing.T) {
	t.Parallel()
	for _, line := range []string{"quotes list", "quotes requote 17", "quotes accept 17", "quotes revise 17", "quotes show 17 --history"} {
		shop := replyingWith(t, "quotes.json", `{"quotes": [{}]}`)
		for _, file := range []string{"quote.json", "requote.json", "changes.json", "reservations.json", "history.json"} {
			text := map[string]string{"quote.json": `{"quote": {}}`, "changes.json": `{"changes": [{}]}`, "reservations.json": `{"reservations": [{}]}`, "history.json": `{"history": [{}]}`, "requote.json": `{"changes": [{}]}`}[file]
			require.NoError(t, os.WriteFile(filepath.Join(shop.folder, file), []byte(text), 0o600))
		}
		got := shop.run(t, "", words(line)...)
		assert.Equal(t, cli.Done, got.code, got.errors)
		assert.NotEmpty(t, got.out)
	}
}
