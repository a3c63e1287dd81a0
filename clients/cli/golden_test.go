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

// tinyJob is a job file for tests in which only the reply counts.
const tinyJob = "vehicle_id: camper-van\nsystem:\n  devices:\n    - id: fridge\n      kind: refrigerator\n      zone: galley\n      input_power: 60W\n"

func TestTextOutput(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		file  string
		width int
		args  string
	}{
		{"quote_80.txt", 80, "quote -"},
		{"quote_120.txt", 120, "quote -"},
		{"quote_cost_us_80.txt", 80, "quote - --cost --units us"},
		{"size_80.txt", 80, "size --current 60A --length 5.5m"},
		{"size_us_120.txt", 120, "--units=us size --current 60A --length 5.5m"},
		{"joint_80.txt", 80, "joint --conductor 4 --stud M8"},
		{"joint_us_80.txt", 80, "joint --conductor 4 --stud M8 --units us"},
		{"parts_80.txt", 80, "catalog parts"},
		{"parts_cost_120.txt", 120, "catalog parts --cost"},
		{"stock_80.txt", 80, "catalog stock"},
		{"stock_120.txt", 120, "catalog stock"},
		{"stock_count_80.txt", 80, "catalog stock count CB-08-RD 25ft"},
		{"shortages_80.txt", 80, "catalog shortages"},
		{"shortages_open_cost_120.txt", 120, "catalog shortages --open --cost"},
		{"check_80.txt", 80, "catalog check"},
		{"check_all_120.txt", 120, "catalog check --all"},
		{"vehicles_80.txt", 80, "catalog vehicles"},
		{"vehicle_80.txt", 80, "catalog vehicles camper-van"},
		{"vehicle_us_120.txt", 120, "catalog vehicles camper-van --units us"},
	} {
		t.Run(c.file, func(t *testing.T) {
			t.Parallel()
			got := new(fakeShop).runAt(t, c.width, tinyJob, strings.Fields(c.args)...)
			require.Equal(t, cli.Done, got.code, got.errors)
			golden(t, c.file, got.out)
			for line := range strings.Lines(got.out) {
				line = strings.TrimSuffix(line, "\n")
				assert.LessOrEqual(t, page.Width(line), c.width, line)
				assert.Equal(t, strings.TrimRight(line, " "), line, "space at the end")
			}
		})
	}
}

func TestJSONOutput(t *testing.T) {
	t.Parallel()
	for file, args := range map[string]string{
		"quote.json.golden":     "quote - --output json",
		"size.json.golden":      "size --output json --current 60A --length 5.5m",
		"joint.json.golden":     "--output=json joint --conductor 4 --stud M8",
		"parts.json.golden":     "catalog --output json parts",
		"check.json.golden":     "catalog check --output json",
		"stock.json.golden":     "catalog stock --output json",
		"balance.json.golden":   "catalog stock receive CB-08-RD 30m --output json",
		"shortages.json.golden": "catalog shortages --output json",
		"vehicles.json.golden":  "catalog vehicles --output json",
		"vehicle.json.golden":   "catalog vehicles camper-van --output json",
	} {
		t.Run(file, func(t *testing.T) {
			t.Parallel()
			got := new(fakeShop).run(t, tinyJob, strings.Fields(args)...)
			require.Equal(t, cli.Done, got.code, got.errors)
			golden(t, file, got.out)
			assert.True(t, json.Valid([]byte(got.out)))
		})
	}
}

// The JSON holds exactly what the canned reply holds, under the contract's names.
func TestJSONKeepsFieldNames(t *testing.T) {
	t.Parallel()
	got := new(fakeShop).run(t, tinyJob, "quote", "-", "--output", "json")
	var reply struct {
		Quote struct {
			Totals struct {
				ProperTermination struct{ Amount string } `json:"proper_termination"`
			} `json:"totals"`
			Design struct {
				Circuits []struct {
					LoadA float64 `json:"load_a"`
				} `json:"circuits"`
			} `json:"design"`
		} `json:"quote"`
	}
	require.NoError(t, json.Unmarshal([]byte(got.out), &reply))
	assert.Equal(t, "36.60", reply.Quote.Totals.ProperTermination.Amount)
	require.Len(t, reply.Quote.Design.Circuits, 4)
	assert.InDelta(t, 2.9, reply.Quote.Design.Circuits[0].LoadA, 0)
}

func TestCautionsAreAnnouncedAndLast(t *testing.T) {
	t.Parallel()
	got := new(fakeShop).run(t, tinyJob, "quote", "-")
	head, _, _ := strings.Cut(got.out, "CIRCUITS")
	assert.Contains(t, head, "2, at the end")
	_, tail, found := strings.Cut(got.out, "CAUTIONS")
	require.True(t, found)
	assert.Contains(t, tail, "!!  DANGER: Take the battery's ground cable off first")
	assert.Equal(t, 2, strings.Count(tail, "!!"))
	assert.True(t, strings.HasSuffix(got.out, "why: a run passes through a panel\n"))
}

func TestVersion(t *testing.T) {
	t.Parallel()
	assert.Equal(t, result{cli.Done, "lugbook 1.2.3-test\n", ""}, new(fakeShop).run(t, "", "version"))
	assert.Equal(t, result{cli.Done, "{\n  \"version\": \"1.2.3-test\"\n}\n", ""},
		new(fakeShop).run(t, "", "version", "--output", "json"))
}

func TestListHints(t *testing.T) {
	t.Parallel()
	got := new(fakeShop).run(t, "", "catalog", "parts", "cable")
	assert.Equal(t, "hint: there is more; repeat \"lugbook catalog parts\" with --page-token bmV4dA\n", got.errors)
	got = new(fakeShop).run(t, "", "catalog", "parts", "nothing")
	assert.Equal(t, result{cli.Done, "", "no part matches\n"}, got)
	got = new(fakeShop).run(t, "", "catalog", "vehicles", "--text", "nothing")
	assert.Equal(t, result{cli.Done, "", "no vehicle matches\n"}, got)
}
