package storetest

import (
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// After a customer is forgotten nothing personal can be read, and all else can; other
// quotes keep theirs.
func forgets(t *testing.T, s quoting.Store) {
	update(t, s, func(w quoting.Writer) error {
		for _, running := range []int64{1, 2} {
			h := head(running)
			h.EraseTime = time.Time{}
			require.NoError(t, w.AddQuote(h))
			for n := 1; n <= 2; n++ {
				require.NoError(t, w.AddRevision(revision(h.Number, n)))
				require.NoError(t, w.AddDocument(document(h.Number, n, "quote")))
				require.NoError(t, w.AddDocument(document(h.Number, n, "worksheet")))
			}
			require.NoError(t, w.AddEvent(event(h.Number, quoting.DeedCreated)))
			require.NoError(t, w.AddEvent(event(h.Number, quoting.DeedRevised)))
			require.NoError(t, w.AddDeed(done("counter-1", "r-"+h.Number, h.Number)))
			require.NoError(t, w.Move(move("C-8", quoting.Reserve, 1000, h.Number)))
		}
		return nil
	})
	at := noon.AddDate(0, 6, 0)
	for range 2 { // once more changes nothing more
		update(t, s, func(w quoting.Writer) error { return w.Forget(number(1), at) })
		assertForgotten(t, s, at)
	}
	// The quote lives on and may get a customer again.
	again := head(1)
	again.Version = 2
	update(t, s, func(w quoting.Writer) error { return w.SetQuote(again) })
	view(t, s, func(r quoting.Reader) {
		got, err := r.Head(number(1))
		require.NoError(t, err)
		assert.Equal(t, again, got)
	})
}

func assertForgotten(t *testing.T, s quoting.Store, at time.Time) {
	t.Helper()
	view(t, s, func(r quoting.Reader) {
		want := head(1)
		want.Customer, want.EraseTime = quoting.Contact{}, at
		got, err := r.Head(number(1))
		require.NoError(t, err)
		assert.Equal(t, want, got, "the version is for whoever calls to raise")
		for n := 1; n <= 2; n++ {
			rev := revision(number(1), n)
			rev.Personal = nil
			gotRevision, err := r.Revision(number(1), n)
			require.NoError(t, err)
			assert.Equal(t, rev, gotRevision)
			_, err = r.Document(number(1), n, "quote")
			require.ErrorIs(t, err, quoting.ErrNotFound)
			gotRevision, err = r.Revision(number(2), n)
			require.NoError(t, err)
			assert.Equal(t, revision(number(2), n), gotRevision)
			_, err = r.Document(number(2), n, "worksheet")
			require.NoError(t, err)
		}
		events, err := r.Events(number(1))
		require.NoError(t, err)
		require.Len(t, events, 2)
		for _, e := range events {
			assert.Empty(t, e.Reason)
			assert.Equal(t, "Kim", e.Staff)
		}
		others, err := r.Events(number(2))
		require.NoError(t, err)
		assert.Equal(t, "asked by phone", others[0].Reason)
		_, err = r.Deed("counter-1", "r-"+number(1))
		require.NoError(t, err)
		for word, want := range map[string][]int64{"ada": {2}, "17": {2}, "van": {2, 1}, "fridge": {2, 1}} {
			found, err := r.Heads(quoting.Filter{Text: []string{word}, Limit: 10})
			require.NoError(t, err)
			assert.Equal(t, want, runnings(found), word)
		}
	})
}
