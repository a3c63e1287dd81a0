package storetest

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"sync/atomic"
	"testing"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"
)

// everything writes one of each for the first quote.
func everything(w quoting.Writer) error {
	n := number(1)
	return errors.Join(w.AddQuote(head(1)), w.AddRevision(revision(n, 1)), w.AddEvent(event(n, quoting.DeedCreated)),
		w.AddDocument(document(n, 1, "quote")), w.AddDeed(done("counter-1", n, n)), w.Move(move("C-8", quoting.Reserve, 1000, n)),
		w.AddCatalog(catalogRevision(n)), w.PutCatalogInForce(n))
}

// assertNothing checks that a store is as empty as it was opened.
func assertNothing(t *testing.T, s quoting.Store) {
	t.Helper()
	view(t, s, func(r quoting.Reader) {
		heads, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Empty(t, heads)
		found, err := r.Heads(quoting.Filter{Text: []string{""}, Limit: 10})
		require.NoError(t, err)
		assert.Empty(t, found)
		events, err := r.Events(number(1))
		require.NoError(t, err)
		assert.Empty(t, events)
		_, err = r.Deed("counter-1", number(1))
		require.ErrorIs(t, err, quoting.ErrNotFound)
		catalogs, err := r.Catalogs()
		require.NoError(t, err)
		assert.Empty(t, catalogs)
	})
	assertStock(t, s, "C-8", quoting.Stock{})
}

func undoneByError(t *testing.T, s quoting.Store) {
	stop := errors.New("the use case changed its mind")
	err := try(t, s, func(w quoting.Writer) error {
		require.NoError(t, everything(w))
		return fmt.Errorf("at the end: %w", stop)
	})
	require.ErrorIs(t, err, stop)
	assertNothing(t, s)
	update(t, s, everything)
}

func undoneByPanic(t *testing.T, s quoting.Store) {
	require.PanicsWithValue(t, "a fault of the use case", func() {
		_ = try(t, s, func(w quoting.Writer) error { // it never returns
			require.NoError(t, everything(w))
			panic("a fault of the use case")
		})
	})
	require.PanicsWithValue(t, "a fault of a reader", func() {
		_ = s.View(t.Context(), func(quoting.Reader) error { panic("a fault of a reader") }) // likewise
	})
	assertNothing(t, s)
	update(t, s, everything)
}

// What a store refuses does not end the transaction: the rest of it holds.
func goesOn(t *testing.T, s quoting.Store) {
	update(t, s, add(head(1)))
	update(t, s, func(w quoting.Writer) error {
		require.ErrorIs(t, w.AddQuote(head(1)), quoting.ErrExists)
		_, err := w.Head(number(9))
		require.ErrorIs(t, err, quoting.ErrNotFound)
		other := head(1)
		other.Version = 7
		require.ErrorIs(t, w.SetQuote(other), quoting.ErrStale)
		require.ErrorIs(t, w.PutCatalogInForce("none"), quoting.ErrNotFound)
		return w.AddQuote(head(2))
	})
	view(t, s, func(r quoting.Reader) {
		heads, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []quoting.Head{head(2), head(1)}, heads)
	})
}

// A view does not see what is written while it lasts.
func oneState(t *testing.T, s quoting.Store) {
	update(t, s, add(head(1)))
	view(t, s, func(r quoting.Reader) {
		_, err := r.Head(number(1)) // the state is that of the first question
		require.NoError(t, err)
		changed := head(1)
		changed.Version, changed.State = 2, quoting.Declined
		update(t, s, func(w quoting.Writer) error { return errors.Join(w.SetQuote(changed), w.AddQuote(head(2))) })
		got, err := r.Head(number(1))
		require.NoError(t, err)
		assert.Equal(t, head(1), got)
		all, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []int64{1}, runnings(all))
	})
	view(t, s, func(r quoting.Reader) {
		all, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []int64{2, 1}, runnings(all))
	})
}

// Quotes made by many at once have the numbers from 1 on, each once, and a balance that
// all of them change is the sum of all.
func concurrentWriters(t *testing.T, s quoting.Store) {
	const callers, each = 8, 12
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	defer cancel()
	var group errgroup.Group
	var made atomic.Int64
	for c := range callers {
		group.Go(func() error {
			for i := range each {
				err := s.Update(ctx, func(w quoting.Writer) error {
					running, err := w.NextRunning()
					if err != nil {
						return err
					}
					if err := errors.Join(w.AddQuote(head(running)), w.AddRevision(revision(number(running), 1)), w.AddDeed(done(fmt.Sprint(c), fmt.Sprint(i), number(running)))); err != nil {
						return err
					}
					before, err := w.Stock("C-8")
					if err != nil {
						return err
					}
					return w.Move(move("C-8", quoting.Counted, before.OnHand+1, "")) // read, then written
				})
				if err != nil {
					return err
				}
				made.Add(1)
			}
			return nil
		})
	}
	require.NoError(t, group.Wait())
	require.EqualValues(t, callers*each, made.Load())
	view(t, s, func(r quoting.Reader) {
		all, err := allPages(r, quoting.Filter{Limit: 50})
		require.NoError(t, err)
		require.Len(t, all, callers*each)
		for i, h := range all {
			require.Equal(t, int64(callers*each-i), h.Running)
		}
	})
	assertStock(t, s, "C-8", quoting.Stock{Counted: true, OnHand: callers * each})
}

// One request that comes many times at once is done once, and all get the same answer.
func replays(t *testing.T, s quoting.Store) {
	const callers = 8
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	defer cancel()
	answers := make([]quoting.Done, callers)
	var group errgroup.Group
	for i := range callers {
		group.Go(func() error {
			return s.Update(ctx, func(w quoting.Writer) (err error) {
				if answers[i], err = w.Deed("counter-1", "r-1"); err == nil || !errors.Is(err, quoting.ErrNotFound) {
					return err
				}
				running, err := w.NextRunning()
				if err != nil {
					return err
				}
				answers[i] = done("counter-1", "r-1", number(running))
				return errors.Join(w.AddQuote(head(running)), w.AddDeed(answers[i]))
			})
		})
	}
	require.NoError(t, group.Wait())
	for _, a := range answers {
		require.Equal(t, done("counter-1", "r-1", number(1)), a)
	}
	view(t, s, func(r quoting.Reader) {
		all, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []int64{1}, slices.Clip(runnings(all)))
	})
}

// A context that ended ends the call with its own reason, and nothing is stored.
func ended(t *testing.T, s quoting.Store) {
	over, cancel := context.WithCancel(t.Context())
	cancel()
	require.ErrorIs(t, s.View(over, func(quoting.Reader) error { return nil }), context.Canceled)
	require.ErrorIs(t, s.Update(over, func(quoting.Writer) error { return nil }), context.Canceled)

	midst, cancel := context.WithCancel(t.Context())
	err := s.Update(midst, func(w quoting.Writer) error {
		require.NoError(t, everything(w))
		cancel()
		return w.AddQuote(head(2))
	})
	require.ErrorIs(t, err, context.Canceled)

	midst, cancel = context.WithCancel(t.Context())
	err = s.Update(midst, func(w quoting.Writer) error {
		require.NoError(t, everything(w))
		cancel()
		return nil
	})
	require.ErrorIs(t, err, context.Canceled)

	midst, cancel = context.WithCancel(t.Context())
	err = s.View(midst, func(r quoting.Reader) error {
		cancel()
		_, err := r.Heads(quoting.Filter{Limit: 10})
		return err
	})
	require.ErrorIs(t, err, context.Canceled)

	assertNothing(t, s)
	update(t, s, everything)
}

// errMind is why a use case of someAtFault gives up.
var errMind = errors.New("changed its mind")

// Of many who write at once, those who are at fault in whatever way leave nothing behind
// and keep nobody else from writing.
func someAtFault(t *testing.T, s quoting.Store) {
	const callers, each = 16, 15
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	defer cancel()
	faults := []func(cancel context.CancelFunc, w quoting.Writer, running int64) error{
		func(context.CancelFunc, quoting.Writer, int64) error { return errMind },
		func(context.CancelFunc, quoting.Writer, int64) error { panic(errMind) },
		func(_ context.CancelFunc, w quoting.Writer, _ int64) error { // belongs to nothing
			return w.AddEvent(event("none", quoting.DeedCreated))
		},
		func(_ context.CancelFunc, w quoting.Writer, running int64) error { // cannot be stored
			return w.AddEvent(event(number(running)+"\x00", quoting.DeedCreated))
		},
		func(cancel context.CancelFunc, _ quoting.Writer, _ int64) error {
			cancel()
			return nil
		},
	}
	var group errgroup.Group
	for c := range callers {
		group.Go(func() error {
			for i := range each {
				kind := (c + i) % (2 * len(faults)) // every second one is without fault
				err := caught(func() error {
					own, cancel := context.WithCancel(ctx)
					defer cancel()
					return s.Update(own, func(w quoting.Writer) error {
						running, err := w.NextRunning()
						if err != nil {
							return err
						}
						if err := errors.Join(w.AddQuote(head(running)), w.AddRevision(revision(number(running), 1)), w.Move(move("C-8", quoting.Received, 1, ""))); err != nil || kind >= len(faults) {
							return err
						}
						return faults[kind](cancel, w, running)
					})
				})
				if good := kind >= len(faults); good != (err == nil) {
					return fmt.Errorf("caller %d, quote %d of kind %d: %w", c, i, kind, err)
				}
			}
			return nil
		})
	}
	require.NoError(t, group.Wait())
	const good = callers * each / 2
	view(t, s, func(r quoting.Reader) {
		all, err := r.Heads(quoting.Filter{Limit: 2 * good})
		require.NoError(t, err)
		require.Len(t, all, good)
		for i, h := range all {
			require.EqualValues(t, good-i, h.Running)
			_, err := r.Revision(h.Number, 1)
			require.NoError(t, err)
		}
	})
	assertStock(t, s, "C-8", quoting.Stock{Counted: true, OnHand: good})
}

// caught gives a panic of do as its error.
func caught(do func() error) (err error) {
	defer func() {
		if p := recover(); p != nil {
			err = fmt.Errorf("panic: %v", p)
		}
	}()
	return do()
}
