package sqlite_test

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// The child of the crash test is told by the environment what to do.
const (
	childPath  = "LUGBOOK_CRASH_PATH"
	childRound = "LUGBOOK_CRASH_ROUND"
	childMakes = "LUGBOOK_CRASH_MAKES"
)

// TestMain lets the test binary stand in for a program that makes quotes.
func TestMain(m *testing.M) {
	if path := os.Getenv(childPath); path != "" {
		os.Exit(makeMany(path, os.Getenv(childRound), number(childMakes, 1)))
	}
	os.Exit(m.Run())
}

// number gives a number from the environment, or another.
func number(variable string, otherwise int) int {
	if n, err := strconv.Atoi(os.Getenv(variable)); err == nil {
		return n
	}
	return otherwise
}

// makeMany makes quotes, all at once, and writes the request id of each to stdout once it
// is stored.
func makeMany(path, round string, makes int) int {
	ctx := context.Background()
	s, err := sqlite.Open(ctx, path)
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	errs := make(chan error)
	for i := range makes {
		go func() {
			id := round + "-" + strconv.Itoa(i)
			err := s.Update(ctx, func(w quoting.Writer) error { return request(w, id) })
			if err == nil {
				_, err = fmt.Println(id) // one write: lines do not mix
			}
			errs <- err
		}()
	}
	for range makes {
		err = errors.Join(err, <-errs)
	}
	if err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

// request makes a quote for a request id, as the use case does.
func request(w quoting.Writer, id string) error {
	if _, err := w.Deed("counter-1", id); !errors.Is(err, quoting.ErrNotFound) {
		return err
	}
	running, err := w.NextRunning()
	if err != nil {
		return err
	}
	number := fmt.Sprintf("2026-%05d", running)
	return errors.Join(
		w.AddQuote(quote(running, number)),
		w.AddRevision(quoting.Revision{Number: number, Revision: 1, CreateTime: noon, Snapshot: make([]byte, 10000), Personal: []byte("ada")}),
		w.AddEvent(quoting.Event{Number: number, Revision: 1, Time: noon, Deed: quoting.DeedCreated}),
		w.AddDeed(quoting.Done{Caller: "counter-1", RequestID: id, Sum: []byte{1}, Number: number, Revision: 1, State: quoting.Open, Version: 1, Time: noon}))
}

// A program is killed in the midst of making quotes, again and again on the same file.
// After each time every quote that was acknowledged is there, none is there twice, and the
// file is whole. LUGBOOK_CRASH_ROUNDS and LUGBOOK_CRASH_CREATES make it longer.
func TestKilledWhileWriting(t *testing.T) {
	t.Parallel()
	rounds, makes := number("LUGBOOK_CRASH_ROUNDS", 3), number("LUGBOOK_CRASH_CREATES", 60)
	path := filepath.Join(t.TempDir(), "lugbook.db")
	var acknowledged []string
	cutShort := 0
	for round := range rounds {
		// Killed earlier or later: after the first acknowledgement, or the last but few.
		told := killAfter(t, path, round, makes, 1+round*(makes-makes/8)/rounds)
		if len(told) < makes {
			cutShort++
		}
		acknowledged = append(acknowledged, told...)
		assertKept(t, path, acknowledged)
	}
	assert.Positive(t, cutShort, "at least one was killed in its midst")
	t.Logf("%d rounds of %d at once: %d cut short, %d acknowledged", rounds, makes, cutShort, len(acknowledged))
}

// killAfter has a program make quotes and kills it after so many acknowledgements. It
// gives all that were received.
func killAfter(t *testing.T, path string, round, makes, acknowledgements int) []string {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), 5*time.Minute)
	defer cancel()
	child := exec.CommandContext(ctx, os.Args[0])
	child.Env = append(os.Environ(), childPath+"="+path, fmt.Sprintf("%s=%d", childRound, round), fmt.Sprintf("%s=%d", childMakes, makes))
	var faults strings.Builder
	child.Stderr = &faults
	out, err := child.StdoutPipe()
	require.NoError(t, err)
	require.NoError(t, child.Start())
	var told []string
	for lines := bufio.NewScanner(out); lines.Scan(); {
		if told = append(told, lines.Text()); len(told) == acknowledgements {
			require.NoError(t, child.Process.Kill())
		}
	}
	_ = child.Wait() // it was killed
	require.GreaterOrEqual(t, len(told), acknowledgements, faults.String())
	return told
}

// assertKept checks a store after its program was killed.
func assertKept(t *testing.T, path string, acknowledged []string) {
	t.Helper()
	s, err := sqlite.Open(t.Context(), path)
	require.NoError(t, err)
	numbers := map[string]bool{}
	require.NoError(t, s.View(t.Context(), func(r quoting.Reader) error {
		for _, id := range acknowledged {
			done, err := r.Deed("counter-1", id)
			require.NoError(t, err, "%s was acknowledged", id)
			require.False(t, numbers[done.Number], "%s is there once", done.Number)
			numbers[done.Number] = true
			_, err = r.Revision(done.Number, 1)
			require.NoError(t, err)
		}
		return nil
	}))
	require.NoError(t, s.Close())
	contents, err := sqlite.Check(t.Context(), path)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, contents.Quotes, int64(len(acknowledged)))
	for _, n := range []int64{contents.Revisions, contents.Events, contents.Deeds} {
		assert.Equal(t, contents.Quotes, n, "each quote is whole")
	}
}
