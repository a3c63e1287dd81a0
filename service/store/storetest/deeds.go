package storetest

import (
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func notFound(t *testing.T, s quoting.Store) {
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddQuote(head(1)))
		require.NoError(t, w.AddRevision(revision(number(1), 1)))
		require.NoError(t, w.AddDeed(done("counter-1", "r-1", number(1))))
		return w.AddDocument(document(number(1), 1, "quote"))
	})
	view(t, s, func(r quoting.Reader) {
		for name, ask := range map[string]func() error{
			"head":                 func() error { _, err := r.Head(number(2)); return err },
			"head by case":         func() error { _, err := r.Head("2026-00001 "); return err },
			"running number":       func() error { _, err := r.Numbered(2); return err },
			"revision":             func() error { _, err := r.Revision(number(1), 2); return err },
			"revision of none":     func() error { _, err := r.Revision(number(2), 1); return err },
			"document":             func() error { _, err := r.Document(number(1), 1, "worksheet"); return err },
			"document of revision": func() error { _, err := r.Document(number(1), 2, "quote"); return err },
			"deed":                 func() error { _, err := r.Deed("counter-1", "r-2"); return err },
			"deed of another":      func() error { _, err := r.Deed("counter-2", "r-1"); return err },
			"catalog":              func() error { _, err := r.Catalog("sha256:00"); return err },
			"catalog in force":     func() error { _, err := r.CatalogInForce(); return err },
		} {
			require.ErrorIs(t, ask(), quoting.ErrNotFound, name)
		}
		events, err := r.Events(number(2))
		require.NoError(t, err)
		assert.Empty(t, events)
		balance, err := r.Stock("nothing")
		require.NoError(t, err)
		assert.Zero(t, balance)
		reserved, err := r.Reserved(number(2))
		require.NoError(t, err)
		assert.Empty(t, reserved)
		catalogs, err := r.Catalogs()
		require.NoError(t, err)
		assert.Empty(t, catalogs)
	})
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.SetQuote(head(2)) }), quoting.ErrNotFound)
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.Forget(number(2), noon) }), quoting.ErrNotFound)
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.PutCatalogInForce("sha256:00") }), quoting.ErrNotFound)
}

func exists(t *testing.T, s quoting.Store) {
	all := func(w quoting.Writer) []error {
		sameNumber, sameRunning := head(1), head(1)
		sameNumber.Running, sameRunning.Number = 2, number(2)
		return []error{
			w.AddQuote(head(1)), w.AddQuote(sameNumber), w.AddQuote(sameRunning),
			w.AddRevision(revision(number(1), 1)), w.AddDocument(document(number(1), 1, "quote")),
			w.AddDeed(done("counter-1", "r-1", number(1))), w.AddCatalog(catalogRevision("sha256:ab")),
		}
	}
	update(t, s, func(w quoting.Writer) error {
		all(w) // the first of each is stored
		return nil
	})
	for _, err := range []error{try(t, s, func(w quoting.Writer) error {
		for i, err := range all(w) {
			require.ErrorIs(t, err, quoting.ErrExists, "%d", i)
		}
		return w.AddQuote(head(1))
	})} {
		require.ErrorIs(t, err, quoting.ErrExists)
	}
	view(t, s, func(r quoting.Reader) {
		heads, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []quoting.Head{head(1)}, heads)
	})
	// What differs in one part of its name is another.
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddRevision(revision(number(1), 2)))
		require.NoError(t, w.AddDocument(document(number(1), 2, "quote")))
		require.NoError(t, w.AddDocument(document(number(1), 1, "worksheet")))
		require.NoError(t, w.AddDeed(done("counter-1", "r-2", number(1))))
		return w.AddDeed(done("counter-2", "r-1", number(1)))
	})
}

// What belongs to a quote may be written before it, and not without it.
func orphans(t *testing.T, s quoting.Store) {
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddEvent(event(number(1), quoting.DeedCreated)))
		require.NoError(t, w.AddDocument(document(number(1), 1, "quote")))
		require.NoError(t, w.AddRevision(revision(number(1), 1)))
		return w.AddQuote(head(1))
	})
	for name, do := range map[string]func(quoting.Writer) error{
		"revision":                  func(w quoting.Writer) error { return w.AddRevision(revision(number(2), 1)) },
		"event":                     func(w quoting.Writer) error { return w.AddEvent(event(number(2), quoting.DeedCreated)) },
		"document of no quote":      func(w quoting.Writer) error { return w.AddDocument(document(number(2), 1, "quote")) },
		"document of no revision":   func(w quoting.Writer) error { return w.AddDocument(document(number(1), 2, "quote")) },
		"beside what would be well": func(w quoting.Writer) error { return w.AddRevision(revision(number(3), 1)) },
	} {
		require.ErrorIs(t, try(t, s, func(w quoting.Writer) error {
			require.NoError(t, w.AddQuote(head(4)))
			return do(w)
		}), quoting.ErrNotFound, name)
	}
	view(t, s, func(r quoting.Reader) {
		heads, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []int64{1}, runnings(heads))
	})
}

func stale(t *testing.T, s quoting.Store) {
	update(t, s, add(head(1), head(2)))
	changed := head(1)
	changed.Version, changed.State, changed.Revision, changed.Total, changed.Currency = 2, quoting.Accepted, 2, "99.99", "USD"
	changed.Customer = quoting.Contact{Name: "Bo", Words: []string{"bo"}}
	changed.VehicleID, changed.VehicleLabel, changed.VehicleWords, changed.Words = "open-boat", "blue", []string{"boat"}, []string{"pump"}
	changed.CreateTime, changed.UpdateTime, changed.ValidUntil, changed.EraseTime = noon.Add(1*time.Hour), noon.Add(2*time.Hour), noon.Add(3*time.Hour), time.Time{}
	update(t, s, func(w quoting.Writer) error { return w.SetQuote(changed) })
	for _, version := range []int64{0, 1, 2, 4} {
		other := head(1)
		other.Version = version
		require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.SetQuote(other) }), quoting.ErrStale, "version %d", version)
	}
	renumbered := changed
	renumbered.Version, renumbered.Running = 3, 7
	require.Error(t, try(t, s, func(w quoting.Writer) error { return w.SetQuote(renumbered) }))
	view(t, s, func(r quoting.Reader) {
		got, err := r.Head(number(1))
		require.NoError(t, err)
		assert.Equal(t, changed, got)
		for word, want := range map[string][]int64{"bo": {1}, "boat": {1}, "pump": {1}, "ada": {2}, "van": {2}, "fridge": {2}, "2026-00001": {}} {
			found, err := r.Heads(quoting.Filter{Text: []string{word}, Limit: 10})
			require.NoError(t, err)
			assert.Equal(t, want, runnings(found), word)
		}
	})
}

// Running numbers count from 1, and those of what was undone are given again.
func runningNumbers(t *testing.T, s quoting.Store) {
	next := func(want int64) func(quoting.Writer) error {
		return func(w quoting.Writer) error {
			got, err := w.NextRunning()
			require.NoError(t, err)
			assert.Equal(t, want, got)
			return w.AddQuote(plain(got))
		}
	}
	update(t, s, next(1))
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error {
		require.NoError(t, next(2)(w))
		require.NoError(t, next(3)(w))
		return quoting.ErrStale
	}), quoting.ErrStale)
	update(t, s, next(2))
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, next(3)(w))
		return next(4)(w)
	})
}

// Events keep the order in which they were added, whatever their times say.
func eventOrder(t *testing.T, s quoting.Store) {
	var want []quoting.Event
	for i, deed := range []quoting.Deed{quoting.DeedCreated, quoting.DeedRevised, quoting.DeedAccepted, quoting.DeedWithdrawn, quoting.DeedErased} {
		e := event(number(1), deed)
		e.Time = noon.Add(-time.Duration(i) * time.Hour)
		want = append(want, e)
	}
	update(t, s, add(plain(1), plain(2)))
	for _, e := range want {
		update(t, s, func(w quoting.Writer) error {
			require.NoError(t, w.AddEvent(event(number(2), quoting.DeedCreated)))
			return w.AddEvent(e)
		})
	}
	view(t, s, func(r quoting.Reader) {
		got, err := r.Events(number(1))
		require.NoError(t, err)
		assert.Equal(t, want, got)
	})
}

func catalogs(t *testing.T, s quoting.Store) {
	older, newer := catalogRevision("sha256:ff"), catalogRevision("sha256:00")
	newer.CreateTime = noon.Add(-time.Hour) // the clock was set back
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddCatalog(older))
		return w.PutCatalogInForce(older.Revision)
	})
	update(t, s, func(w quoting.Writer) error { return w.AddCatalog(newer) })
	view(t, s, func(r quoting.Reader) {
		all, err := r.Catalogs()
		require.NoError(t, err)
		require.Len(t, all, 2)
		assert.Equal(t, newer.Revision, all[0].Revision, "the newest comes first")
		assert.Nil(t, all[0].Files)
		inForce, err := r.CatalogInForce()
		require.NoError(t, err)
		assert.Equal(t, older.Revision, inForce)
	})
	for _, revision := range []string{newer.Revision, older.Revision, older.Revision} {
		update(t, s, func(w quoting.Writer) error { return w.PutCatalogInForce(revision) })
		view(t, s, func(r quoting.Reader) {
			inForce, err := r.CatalogInForce()
			require.NoError(t, err)
			assert.Equal(t, revision, inForce)
		})
	}
}
