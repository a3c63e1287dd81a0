package main

import (
	"fmt"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A store in use is copied, the copy checked and put in the place of a lost one.
func TestBackupAndRestore(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	file, to, again := filepath.Join(folder, "lugbook.db"), filepath.Join(folder, "copy.db"), filepath.Join(folder, "again.db")
	s, err := sqlite.Open(t.Context(), file)
	require.NoError(t, err)
	defer s.Close()
	now := time.Now()
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error {
		for i := range int64(3) {
			number := fmt.Sprint(i + 1)
			if _, err := w.NextRunning(); err != nil {
				return err
			}
			if err := w.AddQuote(quoting.Head{Number: number, Running: i + 1, Revision: 1, CreateTime: now, UpdateTime: now, ValidUntil: now}); err != nil {
				return err
			}
			if err := w.AddRevision(quoting.Revision{Number: number, Revision: 1, CreateTime: now}); err != nil {
				return err
			}
		}
		return nil
	}))
	for _, args := range [][]string{
		{"backup", "--store", file, "--to", to},
		{"restore", "--check", to},
		{"restore", "--store", again, to},
		{"restore", "--check", again},
	} {
		var out, errs strings.Builder
		tend, ok := tending(args)
		require.True(t, ok)
		require.Equal(t, exitDone, tend(t.Context(), args[1:], &out, &errs), errs.String())
		assert.Contains(t, out.String(), "is whole: version 2, 3 quotes, 3 revisions, 0 documents", "%v", args)
		assert.Empty(t, errs.String())
	}
}
