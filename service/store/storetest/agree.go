package storetest

import (
	"context"
	"errors"
	"fmt"
	"io"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// errUndo has a transaction undone.
var errUndo = errors.New("undo")

// deed is something done in a transaction: what it gives must be the same of a store and
// of the model.
type deed struct {
	name string
	do   func(quoting.Writer) (any, error)
}

// emptier is a store that a test can empty, where that costs less than to open another.
type emptier interface{ Empty(context.Context) error }

// agreesWithModel has a store and the model do any transactions, one after another.
func agreesWithModel(open Open) func(*testing.T, quoting.Store) {
	return func(t *testing.T, s quoting.Store) {
		e, reused := s.(emptier)
		rapid.Check(t, func(rt *rapid.T) {
			if reused {
				require.NoError(rt, e.Empty(t.Context()))
			} else {
				s = open(t)
				if c, ok := s.(io.Closer); ok {
					defer c.Close() //nolint:errcheck // the test that opened it closes it too and tells
				}
			}
			m := newModel()
			for range rapid.IntRange(1, 8).Draw(rt, "transactions") {
				m = transact(rt, s, m)
			}
			compare(rt, s, m)
		})
	}
}

// transact does a transaction and gives the model as it stands then.
func transact(t *rapid.T, s quoting.Store, m *model) *model {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	deeds := rapid.SliceOfN(rapid.Custom(anyDeed), 1, 12).Draw(t, "deeds")
	undo := rapid.IntRange(0, 5).Draw(t, "undo") == 0
	after := m.clone()
	err := s.Update(ctx, func(w quoting.Writer) error {
		after = m.clone() // it may run twice
		for _, d := range deeds {
			got, err := d.do(w)
			want, wantErr := d.do(after)
			require.ErrorIs(t, err, wantErr, d.name)
			require.Equal(t, want, got, d.name)
		}
		if undo {
			return errUndo
		}
		return nil
	})
	switch {
	case undo:
		require.ErrorIs(t, err, errUndo)
		return m
	case !after.whole():
		require.ErrorIs(t, err, quoting.ErrNotFound)
		return m
	}
	require.NoError(t, err)
	return after
}

// compare reads all there can be.
func compare(t *rapid.T, s quoting.Store, m *model) {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	require.NoError(t, s.View(ctx, func(r quoting.Reader) error {
		for n := int64(0); n <= quotesAtMost+1; n++ {
			same(t, r, m, fmt.Sprintf("running number %d", n), func(r quoting.Reader) (any, error) { return r.Numbered(n) })
			same(t, r, m, number(n), func(r quoting.Reader) (any, error) { return r.Head(number(n)) })
			same(t, r, m, "events of "+number(n), func(r quoting.Reader) (any, error) { return r.Events(number(n)) })
			same(t, r, m, "reserved for "+number(n), func(r quoting.Reader) (any, error) { return r.Reserved(number(n)) })
			for rev := 1; rev <= 2; rev++ {
				same(t, r, m, "revision of "+number(n), func(r quoting.Reader) (any, error) { return r.Revision(number(n), rev) })
				same(t, r, m, "document of "+number(n), func(r quoting.Reader) (any, error) { return r.Document(number(n), rev, "quote") })
			}
		}
		for _, skus := range [][]string{nil, {}, {"C-8"}, {"none", "F-60", "C-8", "F-60"}} {
			same(t, r, m, fmt.Sprintf("stock of %q", skus), func(r quoting.Reader) (any, error) { return r.Stocks(skus) })
		}
		same(t, r, m, "tokens", func(r quoting.Reader) (any, error) { return r.Tokens() })
		same(t, r, m, "catalogs", func(r quoting.Reader) (any, error) { return r.Catalogs() })
		same(t, r, m, "catalog in force", func(r quoting.Reader) (any, error) { return r.CatalogInForce() })
		for range 10 {
			f := anyFilter(t)
			same(t, r, m, fmt.Sprintf("%+v", f), func(r quoting.Reader) (any, error) {
				heads, err := r.Heads(f)
				return append([]quoting.Head{}, heads...), err
			})
		}
		return nil
	}))
}

func same(t *rapid.T, r quoting.Reader, m *model, what string, ask func(quoting.Reader) (any, error)) {
	got, err := ask(r)
	want, wantErr := ask(m)
	require.ErrorIs(t, err, wantErr, what)
	require.Equal(t, want, got, what)
}

// quotesAtMost is how many quotes there are to choose from: few, so that deeds meet.
const quotesAtMost = 4

var (
	anyRunning = rapid.Int64Range(1, quotesAtMost)
	anyWord    = rapid.SampledFrom([]string{"van", "vans", "v", "boat", "zoë", "山田", "山", "\U0010FFFF", "2026"})
	anyState   = rapid.SampledFrom([]quoting.State{quoting.Open, quoting.Accepted, quoting.Declined})
	anyPart    = rapid.SampledFrom([]string{"C-8", "F-60"})
	anyKind    = rapid.SampledFrom([]quoting.MovementKind{quoting.Counted, quoting.Received, quoting.Reserve, quoting.Release})
	anyTime    = rapid.Custom(func(t *rapid.T) time.Time { return noon.AddDate(0, 0, rapid.IntRange(-3, 3).Draw(t, "day")) })
	anyLimit   = rapid.Custom(func(t *rapid.T) time.Time {
		if rapid.Bool().Draw(t, "unlimited") {
			return time.Time{}
		}
		return anyTime.Draw(t, "limit")
	})
)

// words are some words, each once, and none where there are none.
func words(t *rapid.T, label string) []string {
	all := rapid.SliceOfNDistinct(anyWord, 0, 3, rapid.ID[string]).Draw(t, label)
	if len(all) == 0 {
		return nil
	}
	return all
}

func anyHead(t *rapid.T) quoting.Head {
	h := plain(anyRunning.Draw(t, "running"))
	h.State = anyState.Draw(t, "state")
	h.CreateTime, h.ValidUntil = anyTime.Draw(t, "made"), anyTime.Draw(t, "valid until")
	h.Customer.Name = rapid.SampledFrom([]string{"", "Ada"}).Draw(t, "name")
	h.Customer.Words, h.VehicleWords, h.Words = words(t, "customer"), words(t, "vehicle"), words(t, "others")
	return h
}

func anyFilter(t *rapid.T) quoting.Filter {
	f := quoting.Filter{
		From: anyLimit.Draw(t, "from"), Before: anyLimit.Draw(t, "before"),
		BeforeRunning: rapid.Int64Range(0, quotesAtMost+1).Draw(t, "before running"), Limit: rapid.IntRange(1, quotesAtMost+1).Draw(t, "limit"),
	}
	for range rapid.IntRange(0, 2).Draw(t, "states") {
		f.States = append(f.States, quoting.StateAt{State: anyState.Draw(t, "state"), ValidFrom: anyLimit.Draw(t, "valid from"), ValidBefore: anyLimit.Draw(t, "valid before")})
	}
	switch rapid.IntRange(0, 3).Draw(t, "words in") {
	case 0:
		f.Customer = words(t, "customer")
	case 1:
		f.Vehicle = words(t, "vehicle")
	case 2:
		f.Text = words(t, "text")
	}
	return f
}

// anyDeed is any deed of a transaction.
func anyDeed(t *rapid.T) deed {
	nothing := func(err error) (any, error) { return nil, err }
	h := anyHead(t)
	n, revised := h.Number, rapid.IntRange(1, 2).Draw(t, "revision")
	text := rapid.SampledFrom([]string{"a", "b"}).Draw(t, "text")
	deeds := []deed{
		{"AddQuote", func(w quoting.Writer) (any, error) { return nothing(w.AddQuote(h)) }},
		{"SetQuote", func(w quoting.Writer) (any, error) {
			h := h
			h.Version = int64(1 + revised)
			return nothing(w.SetQuote(h))
		}},
		{"change", func(w quoting.Writer) (any, error) {
			old, err := w.Head(n)
			if err != nil {
				return nil, err
			}
			h := h
			h.Version = old.Version + 1
			return nothing(w.SetQuote(h))
		}},
		{"AddRevision", func(w quoting.Writer) (any, error) { return nothing(w.AddRevision(revision(n, revised))) }},
		{"AddEvent", func(w quoting.Writer) (any, error) { return nothing(w.AddEvent(event(n, quoting.DeedRevised))) }},
		{"AddDocument", func(w quoting.Writer) (any, error) { return nothing(w.AddDocument(document(n, revised, "quote"))) }},
		{"AddDeed", func(w quoting.Writer) (any, error) { return nothing(w.AddDeed(done(text, n, n))) }},
		{"Deed", func(w quoting.Writer) (any, error) { return w.Deed(text, n) }},
		{"Forget", func(w quoting.Writer) (any, error) { return nothing(w.Forget(n, noon)) }},
		{"NextRunning", func(w quoting.Writer) (any, error) { return w.NextRunning() }},
		{"AddCatalog", func(w quoting.Writer) (any, error) { return nothing(w.AddCatalog(catalogRevision(text))) }},
		{"PutCatalogInForce", func(w quoting.Writer) (any, error) { return nothing(w.PutCatalogInForce(text)) }},
		{"Catalog", func(w quoting.Writer) (any, error) { return w.Catalog(text) }},
	}
	m := move(anyPart.Draw(t, "part"), anyKind.Draw(t, "kind"), quoting.Thousandths(rapid.IntRange(0, 5000).Draw(t, "quantity")), n)
	deeds = append(deeds,
		deed{"Move", func(w quoting.Writer) (any, error) { return nothing(w.Move(m)) }},
		deed{"Stock", func(w quoting.Writer) (any, error) { return w.Stock(m.SKU) }},
	)
	deeds = append(deeds, tokenDeeds(text, n)...)
	f := anyFilter(t)
	deeds = append(deeds, deed{"Heads", func(w quoting.Writer) (any, error) {
		heads, err := w.Heads(f)
		return append([]quoting.Head{}, heads...), err
	}})
	return rapid.SampledFrom(deeds).Draw(t, "deed")
}
