package storetest

import (
	"context"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/require"
)

// Open opens a fresh and empty store, and closes and removes it when the test ends.
type Open func(t *testing.T) quoting.Store

// Run has the stores that open gives do everything that a store must.
func Run(t *testing.T, open Open) {
	t.Helper()
	for _, c := range []struct {
		name string
		test func(*testing.T, quoting.Store)
	}{
		{"what is stored comes back whole", roundTrips},
		{"empty values come back as none", emptyValues},
		{"times are cut to the microsecond", times},
		{"large contents", largeContents},
		{"any text", anyText},
		{"text that cannot be stored", badText},
		{"what is not there", notFound},
		{"what is there already", exists},
		{"what belongs to nothing", orphans},
		{"a quote changed meanwhile", stale},
		{"running numbers", runningNumbers},
		{"events keep their order", eventOrder},
		{"catalogs", catalogs},
		{"tokens", tokens},
		{"stock", stock},
		{"what is reserved", reserved},
		{"the stock of many parts", manyStocks},
		{"forgetting a customer", forgets},
		{"pages", pages},
		{"pages while quotes are made", pagesUnderWrites},
		{"filters", filters},
		{"words and their beginnings", beginnings},
		{"rare and common words", commonWords},
		{"order when the clock was set back", clockSetBack},
		{"an update undone by an error", undoneByError},
		{"an update undone by a panic", undoneByPanic},
		{"an update that goes on after a refusal", goesOn},
		{"a view sees one state", oneState},
		{"many who write at once", concurrentWriters},
		{"many who write at once, some at fault", someAtFault},
		{"the same request many times at once", replays},
		{"a context that ended", ended},
		{"any sequence of deeds", agreesWithModel(open)},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			c.test(t, open(t))
		})
	}
}

// limit is how long a call of a store may take here before it counts as stuck.
const limit = time.Minute

// view reads from a store.
func view(t *testing.T, s quoting.Store, do func(quoting.Reader)) {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	defer cancel()
	require.NoError(t, s.View(ctx, func(r quoting.Reader) error {
		do(r)
		return nil
	}))
}

// update writes to a store; what is done must succeed.
func update(t *testing.T, s quoting.Store, do func(quoting.Writer) error) {
	t.Helper()
	require.NoError(t, try(t, s, do))
}

// try writes to a store.
func try(t *testing.T, s quoting.Store, do func(quoting.Writer) error) error {
	t.Helper()
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	defer cancel()
	return s.Update(ctx, do)
}
