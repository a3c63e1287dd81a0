package sqlite_test

import (
	"context"
	"database/sql"
	"errors"
	"os"
	"path/filepath"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// noon is a time that all here happens around.
var noon = time.Date(2026, time.March, 9, 12, 0, 0, 0, time.UTC)

// quote is a quote with a customer to remember.
func quote(running int64, number string) quoting.Head {
	return quoting.Head{
		Number: number, Running: running, Revision: 1, State: quoting.Open, Version: 1, Total: "12.50", Currency: "EUR",
		Customer:   quoting.Contact{Name: "Ada Beispiel", Words: []string{"ada", "beispiel"}},
		CreateTime: noon, UpdateTime: noon, ValidUntil: noon.AddDate(0, 1, 0),
		VehicleWords: []string{"van"}, Words: []string{number},
	}
}

// make stores the next quote with a revision.
func makeQuote(w quoting.Writer, number string, snapshot []byte) error {
	running, err := w.NextRunning()
	if err != nil {
		return err
	}
	return errors.Join(w.AddQuote(quote(running, number)), w.AddRevision(quoting.Revision{Number: number, Revision: 1, CreateTime: noon, Snapshot: snapshot}))
}

// plain opens the file by the driver alone, to do what a store would not.
func plain(t *testing.T, path string) *sql.DB {
	t.Helper()
	db, err := sql.Open("sqlite", path)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, db.Close()) })
	return db
}

// run runs statements on a database.
func run(t *testing.T, db *sql.DB, statements string) {
	t.Helper()
	_, err := db.ExecContext(t.Context(), statements)
	require.NoError(t, err)
}

func TestFileIsForItsOwnerAlone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "data", "of the shop", "50% #1?.db")
	s := open(t, path)
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "1", nil) }))
	for name, want := range map[string]os.FileMode{path: 0o600, path + "-wal": 0o600, path + "-shm": 0o600, filepath.Dir(path): 0o700} {
		info, err := os.Stat(name)
		require.NoError(t, err)
		assert.Equal(t, want, info.Mode().Perm(), name)
	}
}

// Every connection has the pragmas that the durability rests on.
func TestPragmas(t *testing.T) {
	t.Parallel()
	s := open(t, filepath.Join(t.TempDir(), "lugbook.db"))
	for pragma, want := range map[string][2]string{ // of a reader, of the writer
		"journal_mode": {"wal", "wal"}, "synchronous": {"2", "2"}, "foreign_keys": {"1", "1"}, "secure_delete": {"1", "1"},
		"busy_timeout": {"5000", "5000"}, "query_only": {"1", "0"}, "trusted_schema": {"0", "0"},
	} {
		for i, writer := range []bool{false, true} {
			got, err := s.Ask(t.Context(), writer, "PRAGMA "+pragma)
			require.NoError(t, err)
			assert.Equal(t, want[i], got, "%s, writer %t", pragma, writer)
		}
	}
}

func TestOpenRefuses(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	newer, foreign, garbage := filepath.Join(folder, "newer.db"), filepath.Join(folder, "foreign.db"), filepath.Join(folder, "garbage.db")
	s, err := sqlite.Open(t.Context(), newer)
	require.NoError(t, err)
	require.NoError(t, s.Close())
	run(t, plain(t, newer), `INSERT INTO migrations (version_id, is_applied) VALUES (1000, TRUE)`)
	run(t, plain(t, foreign), `CREATE TABLE recipes (name TEXT)`)
	require.NoError(t, os.WriteFile(garbage, []byte("this is no database, however long the text may go on, and on"), 0o600))

	_, err = sqlite.Open(t.Context(), newer)
	require.ErrorIs(t, err, quoting.ErrNewer)
	require.ErrorContains(t, err, "version 1000")
	_, err = sqlite.Open(t.Context(), foreign)
	require.ErrorContains(t, err, "a database of another program")
	_, err = sqlite.Open(t.Context(), garbage)
	require.ErrorContains(t, err, "not a database")
	_, err = sqlite.Open(t.Context(), folder)
	require.ErrorContains(t, err, "not a file")

	over, cancel := context.WithCancel(t.Context())
	cancel()
	_, err = sqlite.Open(over, filepath.Join(folder, "fresh.db"))
	require.ErrorIs(t, err, context.Canceled)
	open(t, filepath.Join(folder, "fresh.db"))
}

// A file that may not be written is read, and writing is refused.
func TestReadOnlyFile(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	s, err := sqlite.Open(t.Context(), path)
	require.NoError(t, err)
	require.False(t, s.ReadOnly())
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "1", nil) }))
	require.NoError(t, s.Close())
	require.NoError(t, os.Chmod(path, 0o400))

	s = open(t, path)
	require.True(t, s.ReadOnly())
	require.NoError(t, s.View(t.Context(), func(r quoting.Reader) error {
		_, err := r.Head("1")
		return err
	}))
	err = s.Update(t.Context(), func(quoting.Writer) error { return nil })
	require.ErrorIs(t, err, quoting.ErrReadOnly)
}

// A connection for reading writes nothing, whatever it is asked to.
func TestViewCannotWrite(t *testing.T) {
	t.Parallel()
	s := open(t, filepath.Join(t.TempDir(), "lugbook.db"))
	err := s.View(t.Context(), func(r quoting.Reader) error {
		w, ok := r.(quoting.Writer)
		if !ok {
			return quoting.ErrReadOnly
		}
		return w.AddQuote(quote(1, "1"))
	})
	require.ErrorIs(t, err, quoting.ErrReadOnly)
}

// Many who open a new file at once all get a store, and the tables are made once.
func TestOpenAtOnce(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	results := make(chan error)
	const programs = 6
	for i := range programs {
		go func() {
			s, err := sqlite.Open(t.Context(), path)
			if err == nil {
				err = s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, string(rune('a'+i)), nil) })
				err = errors.Join(err, s.Close())
			}
			results <- err
		}()
	}
	for range programs {
		require.NoError(t, <-results)
	}
	contents, err := sqlite.Check(t.Context(), path)
	require.NoError(t, err)
	assert.Equal(t, sqlite.Contents{Version: 2, Quotes: programs, Revisions: programs}, contents)
}
