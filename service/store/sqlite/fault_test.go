package sqlite_test

import (
	"bytes"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"testing"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Where there is no room left, a quote is refused as a whole, what was stored before is
// there, and as soon as there is room it goes on.
func TestFull(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	s := open(t, path)
	snapshot := bytes.Repeat([]byte("snapshot"), 8000)
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "before", snapshot) }))
	require.NoError(t, s.LimitPages(t.Context(), 100))
	var stored int
	for {
		err := s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, fmt.Sprint(stored), snapshot) })
		if err != nil {
			require.ErrorIs(t, err, quoting.ErrFull)
			break
		}
		stored++
		require.Less(t, stored, 100, "it fills up")
	}
	// A use case that takes no notice must not have its half stored.
	err := s.Update(t.Context(), func(w quoting.Writer) error {
		_ = makeQuote(w, "half", snapshot)                                                          // the fault under test
		_ = w.AddQuote(quote(1000, "other half"))                                                   // likewise
		_ = w.Move(quoting.Movement{SKU: "C-8", Kind: quoting.Counted, Quantity: 1000, Time: noon}) // likewise
		return nil
	})
	require.ErrorIs(t, err, quoting.ErrFull)
	assertHas(t, s, stored+1)
	require.NoError(t, s.LimitPages(t.Context(), 1000000))
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "after", snapshot) }))
	assertHas(t, s, stored+2)
	contents, err := sqlite.Check(t.Context(), path)
	require.NoError(t, err)
	assert.EqualValues(t, stored+2, contents.Quotes)
	assert.Zero(t, contents.Movements)
}

// assertHas checks that a store has so many quotes, with the numbers from 1 on.
func assertHas(t *testing.T, s quoting.Store, quotes int) {
	t.Helper()
	require.NoError(t, s.View(t.Context(), func(r quoting.Reader) error {
		all, err := r.Heads(quoting.Filter{Limit: 1000000})
		require.NoError(t, err)
		require.Len(t, all, quotes)
		for i, h := range all {
			require.EqualValues(t, quotes-i, h.Running)
			_, err := r.Revision(h.Number, 1)
			require.NoError(t, err)
		}
		return nil
	}))
}

// While another program holds the file for writing, writers are told so after their
// patience, and readers go on.
func TestBusy(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	s := open(t, path)
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "1", nil) }))
	other, err := plain(t, path).Conn(t.Context())
	require.NoError(t, err)
	defer other.Close()
	_, err = other.ExecContext(t.Context(), `BEGIN IMMEDIATE`)
	require.NoError(t, err)
	err = s.Update(t.Context(), func(quoting.Writer) error { return errors.New("it must not come to this") })
	require.ErrorIs(t, err, quoting.ErrUnavailable)
	assertHas(t, s, 1)
	_, err = other.ExecContext(t.Context(), `ROLLBACK`)
	require.NoError(t, err)
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return makeQuote(w, "2", nil) }))
	assertHas(t, s, 2)
}

// Of a customer who was forgotten no byte is left in the file, nor in its log.
func TestForgottenBytesAreGone(t *testing.T) {
	t.Parallel()
	path := filepath.Join(t.TempDir(), "lugbook.db")
	s := open(t, path)
	const others = 40
	// A secret for every place where something personal is kept; some go beyond a page.
	secret := func(place string) string { return "secret-of-" + place }
	secrets := []string{"name", "phone", "email", "reference", "word", "personal", "reason", "document", "large"}
	large := bytes.Repeat([]byte(secret("large")), 2000)
	number := func(i int) string { return fmt.Sprintf("2026-%05d", i) }
	for i := range others {
		require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error {
			h := quote(int64(i+1), number(i))
			r := quoting.Revision{Number: h.Number, Revision: 1, CreateTime: noon, Snapshot: bytes.Repeat([]byte("s"), 3000)}
			e := quoting.Event{Number: h.Number, Revision: 1, Time: noon, Deed: quoting.DeedCreated}
			if i%10 == 3 {
				h.Customer = quoting.Contact{Name: secret("name"), Phone: secret("phone"), Email: secret("email"), Reference: secret("reference"), Words: []string{secret("word") + number(i)}}
				r.Personal, e.Reason = []byte(secret("personal")), secret("reason")
				for _, d := range []quoting.Document{{Kind: "quote", Bytes: []byte(secret("document"))}, {Kind: "large", Bytes: large}} {
					d.Number, d.Revision, d.CreateTime = h.Number, 1, noon
					require.NoError(t, w.AddDocument(d))
				}
			}
			return errors.Join(w.AddQuote(h), w.AddRevision(r), w.AddEvent(e))
		}))
	}
	before := contentsOf(t, path)
	for _, place := range secrets {
		require.True(t, bytes.Contains(before, []byte(secret(place))), "%s is in the file to begin with", place)
	}
	for i := 3; i < others; i += 10 {
		require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return w.Forget(number(i), noon) }))
	}
	after := contentsOf(t, path)
	for _, place := range secrets {
		assert.False(t, bytes.Contains(after, []byte(secret(place))), "%s is gone", place)
	}
	assert.False(t, bytes.Contains(after, []byte("secret-of-")))
	assert.True(t, bytes.Contains(after, []byte("Ada Beispiel")), "others are there")
}

// contentsOf gives all that is on the disk of a store.
func contentsOf(t *testing.T, path string) []byte {
	t.Helper()
	var all []byte
	for _, name := range []string{path, path + "-wal"} {
		raw, err := os.ReadFile(name)
		require.NoError(t, err)
		all = append(all, raw...)
	}
	return all
}
