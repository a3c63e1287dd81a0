package sqlite_test

import (
	"bytes"
	"fmt"
	"os"
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

// A disk of a few megabytes fills up while quotes are made. Those acknowledged are there,
// the one that did not fit is not, and once there is room it goes on. LUGBOOK_SMALL_DISK
// is a folder on such a disk.
func TestDiskFull(t *testing.T) {
	small := os.Getenv("LUGBOOK_SMALL_DISK")
	if small == "" {
		t.Skip("LUGBOOK_SMALL_DISK is not set to a folder on a small disk; .ci/long makes one")
	}
	path, ballast := filepath.Join(small, "lugbook.db"), filepath.Join(small, "ballast")
	require.NoError(t, os.WriteFile(ballast, make([]byte, 400_000), 0o600))
	s := open(t, path)
	snapshot := bytes.Repeat([]byte("snapshot"), 4000)
	stored := 0
	for {
		if err := s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, fmt.Sprint(stored), snapshot) }); err != nil {
			require.ErrorIs(t, err, quoting.ErrFull)
			break
		}
		stored++
	}
	require.Positive(t, stored)
	assertHas(t, s, stored)
	require.NoError(t, os.Remove(ballast))
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "after", snapshot) }))
	assertHas(t, s, stored+1)
	require.NoError(t, s.Close())
	_, err := sqlite.Check(t.Context(), path)
	require.NoError(t, err)
	t.Logf("%d quotes fitted", stored)
}

// Quotes made, listed and forgotten over and over take no more memory than at first.
func TestMemoryStaysFlat(t *testing.T) {
	seconds, err := strconv.Atoi(os.Getenv("LUGBOOK_SOAK_SECONDS"))
	if err != nil {
		t.Skip("LUGBOOK_SOAK_SECONDS is not set; .ci/long does so")
	}
	s := open(t, filepath.Join(t.TempDir(), "lugbook.db"))
	snapshot := noise(1, snapshotSize)
	start := time.Now()
	length := time.Duration(seconds) * time.Second
	warm, made := 0, 0
	for ; time.Since(start) < length; made++ {
		require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error {
			if err := makeQuote(w, fmt.Sprint(made), snapshot); err != nil {
				return err
			}
			if made%10 < 9 {
				return nil
			}
			return w.Forget(fmt.Sprint(made-5), noon)
		}))
		require.NoError(t, s.View(t.Context(), func(r quoting.Reader) error {
			_, err := r.Heads(quoting.Filter{Text: []string{"van"}, Limit: 50})
			return err
		}))
		if warm == 0 && time.Since(start) > length/5 {
			warm = resident(t)
		}
	}
	end := resident(t)
	t.Logf("%d quotes, %d kB after a fifth of the time, %d kB at the end", made, warm, end)
	assert.LessOrEqual(t, end, warm*3/2)
}

// resident gives this process's memory in kB.
func resident(t *testing.T) int {
	t.Helper()
	status, err := os.ReadFile("/proc/self/status")
	if err != nil {
		t.Skip("memory is read from /proc, which is not there")
	}
	for line := range strings.Lines(string(status)) {
		if rest, ok := strings.CutPrefix(line, "VmRSS:"); ok {
			kb, err := strconv.Atoi(strings.Fields(rest)[0])
			require.NoError(t, err)
			return kb
		}
	}
	t.Fatal("/proc/self/status tells no VmRSS")
	return 0
}
