package cli_test

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"example.com/lugbook/clients/cli/console"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

// patience is how long a screen may take: far more than it does, so that a busy
// machine fails nothing.
const patience = 20 * time.Second

// runAsked runs a command line on a terminal, where the person waits for texts and
// types, by turns. It gives the result and all that stood on the screen.
func (f *fakeShop) runAsked(t *testing.T, line string, turns ...string) (result, string) {
	t.Helper()
	c, err := console.Open()
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, c.Close()) })
	conn := f.connect(t)
	var out bytes.Buffer
	app := cli.New(cli.Options{
		Conn:  func(context.Context) (grpc.ClientConnInterface, error) { return conn, nil },
		Stdin: c.TTY(), Stdout: &out, Stderr: c.TTY(), Width: 80, Location: time.UTC,
	})
	code := make(chan int, 1)
	go func() { code <- app.Run(t.Context(), words(line)) }()
	for i := 0; i+1 < len(turns); i += 2 {
		require.NoError(t, c.WaitFor(turns[i], patience))
		require.NoError(t, c.Type(turns[i+1]))
	}
	select {
	case code := <-code:
		screen, err := c.Screen(patience)
		require.NoError(t, err)
		return result{code: cli.ExitCode(code), out: out.String()}, screen
	case <-time.After(patience):
		t.Fatalf("the command did not end; on the screen: %q", c.Written())
		return result{}, ""
	}
}

// vanPlain is a person's way to the review, line by line; vanMoving with lists.
var (
	vanPlain = []string{
		"between 1 and 2: ", "1\n", "What is to be fitted?", "2\n", "Where is it mounted?", "2\n", "How many", "\n", "Which battery", "\n",
		"engine off?", "\n", "switch for it?", "\n", "What next?", "\n", "On the usual terms?", "\n",
		"Name:", "A. Example\n", "Telephone:", "\n", "E-mail:", "\n", "Reference:", "\n",
	}
	vanMoving = []string{
		"vehicle is it for?", "camper" + console.Enter, "to be fitted?", "CB-08" + console.Enter, "Where is it mounted?", console.Down + console.Enter,
		"How many", console.Enter, "> 1", console.Enter + console.Enter + console.Enter, "What next?", console.Enter, "usual terms?", console.Enter,
		"Whom is", "A. Example" + console.Enter, "┃ Telephone", console.Enter + console.Enter + console.Enter,
	}
)

// vanJob is the job that they make.
const vanJob = `{"vehicle_id": "camper-van", "customer": {"name": "A. Example"}, "system": {"devices": [
	{"id": "cb-08-cu-rd", "equipment_sku": "CB-08-CU-RD", "zone": "galley", "quantity": 1, "fed_from": "house"}]}}`

func TestGuidedCreate(t *testing.T) {
	t.Parallel()
	var want lugbookv1.Job
	require.NoError(t, protojson.Unmarshal([]byte(vanJob), &want))
	for name, c := range map[string]struct {
		flags string
		turns []string
	}{
		"plain":  {"--accessible", append(append([]string{}, vanPlain...), "Save it (65.72 USD)", "1\n")},
		"moving": {"", append(append([]string{}, vanMoving...), "Save it (65.72 USD)", console.Enter)},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			var shop fakeShop
			file := filepath.Join(t.TempDir(), "job.yaml")
			got, screen := shop.runAsked(t, "quotes create --request-id r1 --staff desk --save-job "+file+" "+c.flags, c.turns...)
			require.Equal(t, cli.Done, got.code, screen)
			receipt, err := os.ReadFile(filepath.Join("testdata", "quotes_create_80.txt"))
			require.NoError(t, err)
			assert.Equal(t, string(receipt), got.out, "the result and nothing of the questions")
			request := shop.got.(*lugbookv1.CreateQuoteRequest)
			assert.True(t, proto.Equal(&want, request.GetSource().GetJob()), request)
			assert.Equal(t, "r1", request.GetRequestId())
			assert.Equal(t, "desk", request.GetStaff())
			assert.Contains(t, screen, "TOTALS, USD", "what it comes to")
			assert.Contains(t, screen, "lugbook quotes show 2026-00017 --out quote.txt")
			saved, err := os.ReadFile(file)
			require.NoError(t, err)
			assert.Contains(t, string(saved), "zone: galley\n")
		})
	}
}

func TestGuidedCreateReadAndLeft(t *testing.T) {
	t.Parallel()
	var shop fakeShop
	got, screen := shop.runAsked(t, "quotes create --accessible", append(append([]string{}, vanPlain...),
		"between 1 and 5: ", "2\n", "CAUTIONS: READ BEFORE WORK BEGINS", "", "between 1 and 5: ", "4\n")...)
	assert.Equal(t, result{code: cli.Failed}, got)
	assert.Contains(t, screen, "lugbook: stopped: nothing was stored")
	for _, call := range shop.calls {
		_, create := call.(*lugbookv1.CreateQuoteRequest)
		assert.False(t, create, "a quote was stored")
	}
}

// Leaving in the midst is exit code 1, a word and nothing stored.
func TestGuidedCreateStopped(t *testing.T) {
	t.Parallel()
	for flags, turns := range map[string][]string{
		"":             {"vehicle is it for?", console.CtrlC},
		"--accessible": {"between 1 and 2: ", console.CtrlD},
	} {
		var shop fakeShop
		got, screen := shop.runAsked(t, "quotes create "+flags, turns...)
		assert.Equal(t, result{code: cli.Failed}, got)
		assert.Contains(t, screen, "lugbook: stopped: nothing was stored")
	}
}

// What flags say is not asked.
func TestFlagsInPlaceOfQuestions(t *testing.T) {
	t.Parallel()
	var shop fakeShop
	got, screen := shop.runAsked(t, "quotes create --accessible --vehicle camper-van --equipment CB-08-CU-RD@galley --layout auto --customer-name B", "between 1 and 5: ", "1\n")
	require.Equal(t, cli.Done, got.code, screen)
	assert.NotContains(t, screen, "Which vehicle")
	assert.Equal(t, "B", shop.got.(*lugbookv1.CreateQuoteRequest).GetSource().GetJob().GetCustomer().GetName())

	got, screen = shop.runAsked(t, "quotes create --accessible --equipment CB-08-CU-RD@galley --yes", "between 1 and 2: ", "1\n")
	require.Equal(t, cli.Done, got.code, screen)
	assert.NotContains(t, screen, "What next?")
}

func TestNoInput(t *testing.T) {
	t.Parallel()
	for _, line := range []string{"quotes create --no-input", "quotes erase 17 --no-input"} {
		got, screen := new(fakeShop).runAsked(t, line)
		assert.Equal(t, result{code: cli.Misused}, got)
		assert.Contains(t, screen, "nothing can be asked here")
	}
}

// The environment stands for the flags.
func TestAskingByEnvironment(t *testing.T) {
	t.Setenv("LUGBOOK_NO_INPUT", "1")
	got, screen := new(fakeShop).runAsked(t, "quotes create")
	assert.Equal(t, result{code: cli.Misused}, got)
	assert.Contains(t, screen, "nothing can be asked here")

	t.Setenv("LUGBOOK_NO_INPUT", "")
	t.Setenv("LUGBOOK_ACCESSIBLE", "true")
	got, screen = new(fakeShop).runAsked(t, "quotes create", "Enter a number", console.CtrlD)
	assert.Equal(t, result{code: cli.Failed}, got)
	assert.NotContains(t, screen, "\x1b[?25l", "the cursor is not moved")
}

// What the service refuses is told at the place of the answer, and the person can
// change it or leave; an answer that never came is no certainty.
func TestGuidedCreateRefused(t *testing.T) {
	t.Parallel()
	line := "quotes create --accessible --vehicle camper-van --equipment light:6W@galley --layout auto --customer-name B"
	err := refusal(t, codes.InvalidArgument, "3 faults", bad("source.job.system.devices[0].zone", "none such", "source.job.customer.name", "too long", "source.job.notes", "odd"))
	shop := &fakeShop{err: err}
	got, screen := shop.runAsked(t, line, "between 1 and 3: ", "2\n")
	assert.Equal(t, result{code: cli.Failed}, got)
	assert.Contains(t, screen, "3 faults\r\nlight, zone: none such\r\nname: too long\r\nsource.job.notes: odd\r\n")

	shop = &fakeShop{}
	got, screen = shop.runAsked(t, line, "between 1 and 5: ", "4\n")
	assert.Equal(t, result{code: cli.Failed}, got)
	assert.Contains(t, screen, "stopped: nothing was stored")
}

// A try that nobody answered may have been done: the same job goes out under the
// same id, and leaving says that it is not known.
func TestGuidedCreateUnanswered(t *testing.T) {
	t.Parallel()
	shop := &fakeShop{unstored: away(t)}
	got, screen := shop.runAsked(t, "quotes create --accessible --vehicle camper-van --equipment light:6W@galley --layout auto --customer-name B",
		"between 1 and 5: ", "1\n", "cannot be reached", "", "between 1 and 5: ", "1\n", "cannot be reached", "", "between 1 and 5: ", "4\n")
	assert.Equal(t, result{code: cli.Failed}, got)
	assert.Contains(t, screen, "stopped: whether the quote was stored is not known")
	ids := map[string]int{}
	for _, call := range shop.calls {
		if create, ok := call.(*lugbookv1.CreateQuoteRequest); ok {
			ids[create.GetRequestId()]++
		}
	}
	require.Len(t, ids, 1)
	for _, n := range ids {
		assert.Equal(t, 8, n, "two tries, each made four times")
	}
}

func TestEraseIsAskedFor(t *testing.T) {
	t.Parallel()
	var shop fakeShop
	got, screen := shop.runAsked(t, "quotes erase 17 18 --accessible", "Erase the customer from 17, 18?", "", "between 1 and 2: ", "2\n")
	require.Equal(t, cli.Done, got.code, screen)
	assert.Equal(t, []string{"17", "18"}, shop.got.(*lugbookv1.EraseCustomerRequest).GetNumbers())

	for _, answer := range []string{"\n", "1\n", console.CtrlD} {
		shop = fakeShop{}
		got, screen = shop.runAsked(t, "quotes erase 17 --accessible", "between 1 and 2: ", answer)
		assert.Equal(t, result{code: cli.Failed}, got)
		assert.Contains(t, screen, "stopped: nothing was erased")
		assert.Nil(t, shop.got)
	}
}
