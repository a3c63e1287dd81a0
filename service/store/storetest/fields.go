package storetest

import (
	"bytes"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every field of everything comes back as it was stored.
func roundTrips(t *testing.T, s quoting.Store) {
	h, r, e, d, req, k := head(1), revision(number(1), 1), event(number(1), quoting.DeedCreated), document(number(1), 1, "quote"), done("counter-1", "r-1", number(1)), catalogRevision("sha256:ab")
	m := quoting.Movement{SKU: "F-60", Kind: quoting.Received, Quantity: 2500, Time: noon, Caller: "counter-1", Staff: "Kim", Note: "delivery"}
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddQuote(h))
		require.NoError(t, w.AddRevision(r))
		require.NoError(t, w.AddEvent(e))
		require.NoError(t, w.AddDocument(d))
		require.NoError(t, w.AddDeed(req))
		require.NoError(t, w.AddCatalog(k))
		require.NoError(t, w.PutCatalogInForce(k.Revision))
		require.NoError(t, w.Move(m))
		assertStored(t, w, h, r, e, d, req, k) // a transaction sees what it wrote
		return nil
	})
	view(t, s, func(from quoting.Reader) {
		assertStored(t, from, h, r, e, d, req, k)
		balance, err := from.Stock("F-60")
		require.NoError(t, err)
		assert.Equal(t, quoting.Stock{Counted: true, OnHand: 2500}, balance)
	})
}

func assertStored(t *testing.T, from quoting.Reader, h quoting.Head, r quoting.Revision, e quoting.Event, d quoting.Document, req quoting.Done, k quoting.CatalogRevision) {
	t.Helper()
	gotHead, err := from.Head(h.Number)
	require.NoError(t, err)
	assert.Equal(t, h, gotHead)
	gotNumber, err := from.Numbered(h.Running)
	require.NoError(t, err)
	assert.Equal(t, h.Number, gotNumber)
	gotHeads, err := from.Heads(quoting.Filter{Limit: 10})
	require.NoError(t, err)
	assert.Equal(t, []quoting.Head{h}, gotHeads)
	gotRevision, err := from.Revision(r.Number, r.Revision)
	require.NoError(t, err)
	assert.Equal(t, r, gotRevision)
	gotEvents, err := from.Events(h.Number)
	require.NoError(t, err)
	assert.Equal(t, []quoting.Event{e}, gotEvents)
	gotDocument, err := from.Document(d.Number, d.Revision, d.Kind)
	require.NoError(t, err)
	assert.Equal(t, d, gotDocument)
	gotDeed, err := from.Deed(req.Caller, req.RequestID)
	require.NoError(t, err)
	assert.Equal(t, req, gotDeed)
	gotCatalog, err := from.Catalog(k.Revision)
	require.NoError(t, err)
	assert.Equal(t, k, gotCatalog)
	gotForce, err := from.CatalogInForce()
	require.NoError(t, err)
	assert.Equal(t, k.Revision, gotForce)
	gotCatalogs, err := from.Catalogs()
	require.NoError(t, err)
	k.Files = nil
	assert.Equal(t, []quoting.CatalogRevision{k}, gotCatalogs)
}

// A quote with as little as there can be, and lists and bytes that are empty.
func emptyValues(t *testing.T, s quoting.Store) {
	h := quoting.Head{Number: "1", Running: 1, CreateTime: noon, UpdateTime: noon, ValidUntil: noon}
	with := h
	with.Words, with.VehicleWords, with.Customer.Words = []string{}, []string{}, []string{}
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddQuote(with))
		require.NoError(t, w.AddRevision(quoting.Revision{Number: "1", CreateTime: noon, Snapshot: []byte{}, Personal: []byte{}}))
		return nil
	})
	view(t, s, func(r quoting.Reader) {
		got, err := r.Head("1")
		require.NoError(t, err)
		assert.Equal(t, h, got)
		gotRevision, err := r.Revision("1", 0)
		require.NoError(t, err)
		assert.Equal(t, quoting.Revision{Number: "1", CreateTime: noon}, gotRevision)
		events, err := r.Events("1")
		require.NoError(t, err)
		assert.Empty(t, events)
	})
}

// Times lose what is below the microsecond, never round up, and come back in UTC; before
// 1970 and the zero time too.
func times(t *testing.T, s quoting.Store) {
	lisbon := time.FixedZone("WEST", 3600)
	for i, tt := range []struct{ give, want time.Time }{
		{time.Date(2026, 3, 9, 13, 0, 0, 123456999, lisbon), time.Date(2026, 3, 9, 12, 0, 0, 123456000, time.UTC)},
		{time.Date(2026, 12, 31, 23, 59, 59, 999999999, time.UTC), time.Date(2026, 12, 31, 23, 59, 59, 999999000, time.UTC)},
		{time.Date(1969, 12, 31, 23, 59, 59, 1999, time.UTC), time.Date(1969, 12, 31, 23, 59, 59, 1000, time.UTC)},
		{time.Date(9999, 12, 31, 0, 0, 0, 1, time.UTC), time.Date(9999, 12, 31, 0, 0, 0, 0, time.UTC)},
		{time.Time{}, time.Time{}},
	} {
		h := plain(int64(i + 1))
		h.CreateTime, h.UpdateTime, h.ValidUntil, h.EraseTime = tt.give, tt.give, tt.give, tt.give
		update(t, s, add(h))
		view(t, s, func(r quoting.Reader) {
			got, err := r.Head(h.Number)
			require.NoError(t, err)
			for _, g := range []time.Time{got.CreateTime, got.UpdateTime, got.ValidUntil, got.EraseTime} {
				assert.Equal(t, tt.want, g)
				assert.Equal(t, tt.want.IsZero(), g.IsZero())
			}
		})
	}
}

// A snapshot and a document of 16 MB.
func largeContents(t *testing.T, s quoting.Store) {
	const size = 16 << 20
	large := bytes.Repeat([]byte("0123456789abcdef"), size/16)
	large[size-1] = 0
	r := revision(number(1), 1)
	r.Snapshot = large
	d := document(number(1), 1, "quote")
	d.Bytes = large
	update(t, s, func(w quoting.Writer) error {
		require.NoError(t, w.AddQuote(plain(1)))
		require.NoError(t, w.AddRevision(r))
		return w.AddDocument(d)
	})
	view(t, s, func(from quoting.Reader) {
		got, err := from.Revision(number(1), 1)
		require.NoError(t, err)
		assert.True(t, bytes.Equal(large, got.Snapshot), "the snapshot is whole")
		gotDocument, err := from.Document(number(1), 1, "quote")
		require.NoError(t, err)
		assert.True(t, bytes.Equal(large, gotDocument.Bytes), "the document is whole")
	})
}

// texts are such as break what is put together without care.
var texts = []string{
	"Zoë Ångström-Đặng", "山田 太郎", "שלום", "👩‍🔧🔧", "e\u0301", "'; DROP TABLE quotes; --", `"quoted"`, `back\slash`, "%", "_", "$1", "?1", "line\nbreak\ttab",
	"\u2028<script>&amp;", "\U0010FFFF", "\uFFFD", strings.Repeat("long ", 2000),
}

// Any text is stored and found as it is.
func anyText(t *testing.T, s quoting.Store) {
	for i, text := range texts {
		h := plain(int64(i + 1))
		h.Number = text
		h.Customer = quoting.Contact{Name: text, Phone: text, Email: text, Reference: text, Words: []string{text}}
		h.VehicleID, h.VehicleLabel, h.VehicleWords, h.Words = text, text, []string{text, "van"}, []string{text}
		h.Number = strings.TrimSuffix(h.Number, strings.Repeat("long ", 1900))
		e := event(h.Number, quoting.DeedCreated)
		e.Reason, e.Staff, e.Caller = text, text, text
		update(t, s, func(w quoting.Writer) error {
			require.NoError(t, w.AddQuote(h))
			return w.AddEvent(e)
		})
		view(t, s, func(r quoting.Reader) {
			got, err := r.Head(h.Number)
			require.NoError(t, err)
			assert.Equal(t, h, got)
			for _, f := range []quoting.Filter{{Text: []string{text}}, {Customer: []string{text}}, {Vehicle: []string{text}}} {
				f.Limit = 100
				found, err := r.Heads(f)
				require.NoError(t, err)
				assert.Contains(t, runnings(found), h.Running, "found by %q", text)
			}
			events, err := r.Events(h.Number)
			require.NoError(t, err)
			assert.Equal(t, []quoting.Event{e}, events)
		})
	}
}

// A text that no database keeps is refused when it is written, and is not found when it
// is asked for.
func badText(t *testing.T, s quoting.Store) {
	update(t, s, add(plain(1)))
	for _, bad := range []string{"zero\x00byte", "no UTF-8 \xff", "\xed\xa0\x80"} {
		h := plain(2)
		h.VehicleLabel = bad
		require.Error(t, try(t, s, add(h)), "%q", bad)
		view(t, s, func(r quoting.Reader) {
			_, err := r.Head(bad)
			require.ErrorIs(t, err, quoting.ErrNotFound)
			_, err = r.Deed(bad, bad)
			require.ErrorIs(t, err, quoting.ErrNotFound)
			found, err := r.Heads(quoting.Filter{Text: []string{bad}, Limit: 10})
			require.NoError(t, err)
			assert.Empty(t, found)
		})
	}
	view(t, s, func(r quoting.Reader) {
		_, err := r.Head(number(2))
		require.ErrorIs(t, err, quoting.ErrNotFound)
	})
}
