package sqlite_test

import (
	"bytes"
	"context"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// A copy made while quotes are made is of one moment: whole, with every quote
// acknowledged before it, and itself a store to go on with.
func TestBackupWhileWriting(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path := filepath.Join(folder, "lugbook.db")
	s := open(t, path)
	ctx, stop := context.WithCancel(t.Context())
	acknowledged := make(chan int)
	finished := make(chan error, 1)
	go func() {
		for i := 1; ; i++ {
			if err := s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, fmt.Sprint(i), make([]byte, 20000)) }); err != nil {
				finished <- err
				return
			}
			select {
			case acknowledged <- i:
			case <-ctx.Done():
				finished <- nil
				return
			}
		}
	}()
	for round := range 3 {
		for range 10 {
			<-acknowledged
		}
		before := <-acknowledged
		copied := make(chan error, 1)
		to := filepath.Join(folder, fmt.Sprintf("copy%d.db", round))
		go func() { copied <- s.Backup(t.Context(), to) }()
		last := before
		for waiting := true; waiting; {
			select {
			case last = <-acknowledged:
			case err := <-copied:
				require.NoError(t, err)
				waiting = false
			}
		}
		contents, err := sqlite.Check(t.Context(), to)
		require.NoError(t, err)
		assert.GreaterOrEqual(t, contents.Quotes, int64(before))
		assert.LessOrEqual(t, contents.Quotes, int64(last+1), "one may be stored and not acknowledged")
		assert.Equal(t, contents.Quotes, contents.Revisions)
	}
	stop()
	require.NoError(t, <-finished)

	to := filepath.Join(folder, "copy0.db")
	info, err := os.Stat(to)
	require.NoError(t, err)
	assert.EqualValues(t, 0o600, info.Mode().Perm())
	restored := open(t, to)
	require.NoError(t, restored.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "after", nil) }))
	entries, err := filepath.Glob(filepath.Join(folder, "*.part-*"))
	require.NoError(t, err)
	assert.Empty(t, entries, "nothing half is left")
}

func TestBackupRefuses(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	path, there := filepath.Join(folder, "lugbook.db"), filepath.Join(folder, "there.db")
	s := open(t, path)
	require.NoError(t, os.WriteFile(there, []byte("older"), 0o600))
	require.ErrorContains(t, s.Backup(t.Context(), there), "of that name already")
	kept, err := os.ReadFile(there)
	require.NoError(t, err)
	assert.Equal(t, "older", string(kept))
	require.ErrorIs(t, s.Backup(t.Context(), filepath.Join(folder, "nowhere", "copy.db")), os.ErrNotExist)
	require.ErrorIs(t, sqlite.Backup(t.Context(), filepath.Join(folder, "none.db"), filepath.Join(folder, "copy.db")), os.ErrNotExist)
	over, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, s.Backup(over, filepath.Join(folder, "copy.db")), context.Canceled)
	assert.NoFileExists(t, filepath.Join(folder, "none.db"))
	assert.NoFileExists(t, filepath.Join(folder, "copy.db"))
}

// Damage is found, each kind by its own words.
func TestCheckFindsDamage(t *testing.T) {
	t.Parallel()
	for name, tt := range map[string]struct{ damage, want string }{
		"a revision lost":     {`DELETE FROM revisions WHERE number = 'b'`, "quote b lacks its latest revision"},
		"a quote lost":        {`DELETE FROM quotes WHERE number = 'b'`, "a row of revisions belongs to nothing"},
		"a counter set back":  {`UPDATE counter SET last = 1`, "quote b has a running number that was not given out"},
		"a counter lost":      {`DELETE FROM counter`, "the counter is missing"},
		"a deed for no quote": {`INSERT INTO deeds (caller, request_id, sum, number, revision, state, version, time) VALUES ('c', 'r', x'00', 'z', 1, 'open', 1, 0)`, "a deed is of quote z, which is missing"},
	} {
		t.Run(name, func(t *testing.T) {
			t.Parallel()
			path := filepath.Join(t.TempDir(), "lugbook.db")
			s, err := sqlite.Open(t.Context(), path)
			require.NoError(t, err)
			for _, number := range []string{"a", "b"} {
				require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, number, nil) }))
			}
			require.NoError(t, s.Close())
			contents, err := sqlite.Check(t.Context(), path)
			require.NoError(t, err)
			assert.Equal(t, sqlite.Contents{Version: 2, Quotes: 2, Revisions: 2}, contents)
			run(t, plain(t, path), tt.damage)
			_, err = sqlite.Check(t.Context(), path)
			require.ErrorIs(t, err, sqlite.ErrDamaged)
			require.ErrorContains(t, err, tt.want)
		})
	}
}

// A file with a page overwritten is damaged, whichever page it is.
func TestCheckFindsOverwrittenPages(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	s, err := sqlite.Open(t.Context(), path)
	require.NoError(t, err)
	for i := range 20 {
		require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, fmt.Sprint(i), make([]byte, 3000)) }))
	}
	require.NoError(t, s.Close())
	whole, err := os.ReadFile(path)
	require.NoError(t, err)
	const page = 4096
	for _, at := range []int{0, 1, 2, 5, 9, 14} {
		broken := bytes.Clone(whole)
		copy(broken[at*page:], bytes.Repeat([]byte{0xa5}, page))
		other := filepath.Join(t.TempDir(), "broken.db")
		require.NoError(t, os.WriteFile(other, broken, 0o600))
		_, err := sqlite.Check(t.Context(), other)
		require.ErrorIs(t, err, sqlite.ErrDamaged, "page %d", at)
	}
	cut := filepath.Join(t.TempDir(), "cut.db")
	require.NoError(t, os.WriteFile(cut, whole[:len(whole)/2], 0o600))
	_, err = sqlite.Check(t.Context(), cut)
	require.ErrorIs(t, err, sqlite.ErrDamaged)
}

func TestCheckRefuses(t *testing.T) {
	t.Parallel()
	_, err := sqlite.Check(t.Context(), filepath.Join(t.TempDir(), "none.db"))
	require.ErrorIs(t, err, os.ErrNotExist)
	empty := filepath.Join(t.TempDir(), "empty.db")
	require.NoError(t, os.WriteFile(empty, nil, 0o600))
	_, err = sqlite.Check(t.Context(), empty)
	require.ErrorContains(t, err, "no store")
}
