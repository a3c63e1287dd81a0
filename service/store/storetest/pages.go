package storetest

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"golang.org/x/sync/errgroup"
)

// allPages reads page after page until one is not full.
func allPages(r quoting.Reader, f quoting.Filter) ([]quoting.Head, error) {
	var all []quoting.Head
	for {
		page, err := r.Heads(f)
		if err != nil {
			return nil, err
		}
		if all = append(all, page...); len(page) < f.Limit {
			return all, nil
		}
		f.BeforeRunning = page[len(page)-1].Running
	}
}

// Pages of any size give every quote once, the newest first.
func pages(t *testing.T, s quoting.Store) {
	const quotes = 23
	var want []int64
	update(t, s, func(w quoting.Writer) error {
		for i := range int64(quotes) {
			running := i + 1
			if i%2 == 0 { // in another order than that of their numbers
				running = quotes - i
			}
			want = append(want, running)
			require.NoError(t, w.AddQuote(head(running)))
		}
		return nil
	})
	slices.Sort(want)
	slices.Reverse(want)
	view(t, s, func(r quoting.Reader) {
		for _, f := range []quoting.Filter{{}, {Text: []string{"van"}}, {States: []quoting.StateAt{{State: quoting.Open}}}, {From: noon}, {Vehicle: []string{"c"}, States: []quoting.StateAt{{State: quoting.Open, ValidFrom: noon}}}} {
			for _, size := range []int{1, 2, 7, quotes, 100} {
				f.Limit = size
				got, err := allPages(r, f)
				require.NoError(t, err)
				assert.Equal(t, want, runnings(got), "pages of %d of %+v", size, f)
			}
		}
		for _, size := range []int{0, -1} {
			_, err := r.Heads(quoting.Filter{Limit: size})
			require.Error(t, err, "a page of %d", size)
		}
	})
}

// While quotes are made and changed, whoever leafs through the pages meets every quote
// that was there at the start, once and in order.
func pagesUnderWrites(t *testing.T, s quoting.Store) {
	const before, meanwhile = 30, 30
	for i := range int64(before) {
		update(t, s, add(head(i+1)))
	}
	ctx, cancel := context.WithTimeout(t.Context(), limit)
	defer cancel()
	var writing errgroup.Group
	started := make(chan struct{})
	writing.Go(func() error {
		for i := range int64(meanwhile) {
			if i == 1 {
				close(started)
			}
			if err := s.Update(ctx, func(w quoting.Writer) error {
				old, err := w.Head(number(i%before + 1))
				if err != nil {
					return err
				}
				old.Version++
				old.State = quoting.Accepted
				if err := w.SetQuote(old); err != nil {
					return err
				}
				return w.AddQuote(head(before + i + 1))
			}); err != nil {
				return err
			}
		}
		return nil
	})
	<-started
	var met []int64
	f := quoting.Filter{Limit: 3, Text: []string{"fridge"}}
	for {
		var page []quoting.Head
		require.NoError(t, s.View(ctx, func(r quoting.Reader) (err error) {
			page, err = r.Heads(f)
			return err
		}))
		if len(page) == 0 {
			break
		}
		met = append(met, runnings(page)...)
		f.BeforeRunning = page[len(page)-1].Running
	}
	require.NoError(t, writing.Wait())
	assert.True(t, slices.IsSortedFunc(met, func(a, b int64) int { return int(b - a) }), "%v", met)
	old := slices.DeleteFunc(slices.Clone(met), func(n int64) bool { return n > before })
	require.Len(t, old, before)
	assert.Len(t, slices.Compact(old), before, "each once")
}

// The order is that of the running numbers, whatever the clock said.
func clockSetBack(t *testing.T, s quoting.Store) {
	for i, hours := range []int{5, 3, 4, 1, 2} {
		h := plain(int64(i + 1))
		h.CreateTime = noon.Add(time.Duration(hours) * time.Hour)
		update(t, s, add(h))
	}
	view(t, s, func(r quoting.Reader) {
		all, err := r.Heads(quoting.Filter{Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []int64{5, 4, 3, 2, 1}, runnings(all))
		some, err := r.Heads(quoting.Filter{From: noon.Add(2 * time.Hour), Before: noon.Add(5 * time.Hour), Limit: 10})
		require.NoError(t, err)
		assert.Equal(t, []int64{5, 3, 2}, runnings(some))
	})
}

// A common word, of more quotes than are looked up, and a rare one are found alike, alone
// and together, in every state.
func commonWords(t *testing.T, s quoting.Store) {
	const quotes = 5000 // more than a store looks up rather than walks
	states := []quoting.State{quoting.Open, quoting.Accepted, quoting.Declined}
	rare := func(i int64) bool { return i%1000 == 17 }
	for from := int64(0); from < quotes; from += 1000 {
		update(t, s, func(w quoting.Writer) error {
			for i := from; i < from+1000; i++ {
				h := plain(i + 1)
				h.State = states[i%3]
				h.ValidUntil = noon.Add(time.Duration(i) * time.Minute)
				h.VehicleWords = []string{"van"}
				h.Words = []string{fmt.Sprintf("light%d", i)}
				if rare(i) {
					h.Words = append(h.Words, "winch")
				}
				if err := w.AddQuote(h); err != nil {
					return err
				}
			}
			return nil
		})
	}
	for name, tt := range map[string]struct {
		filter quoting.Filter
		want   func(i int64) bool
	}{
		"common":                {quoting.Filter{Text: []string{"van"}}, func(int64) bool { return true }},
		"common by beginning":   {quoting.Filter{Text: []string{"light"}}, func(int64) bool { return true }},
		"two common":            {quoting.Filter{Text: []string{"light"}, Vehicle: []string{"v"}}, func(int64) bool { return true }},
		"rare":                  {quoting.Filter{Text: []string{"winch"}}, rare},
		"rare and common":       {quoting.Filter{Text: []string{"van", "winch"}}, rare},
		"none":                  {quoting.Filter{Text: []string{"van", "boat"}}, func(int64) bool { return false }},
		"common in a state":     {quoting.Filter{Text: []string{"van"}, States: []quoting.StateAt{{State: quoting.Accepted}}}, func(i int64) bool { return i%3 == 1 }},
		"common in two states":  {quoting.Filter{Text: []string{"van"}, States: []quoting.StateAt{{State: quoting.Accepted}, {State: quoting.Declined}}}, func(i int64) bool { return i%3 > 0 }},
		"rare in a state":       {quoting.Filter{Text: []string{"winch"}, States: []quoting.StateAt{{State: quoting.Accepted}}}, func(i int64) bool { return rare(i) && i%3 == 1 }},
		"the same state twice":  {quoting.Filter{States: []quoting.StateAt{{State: quoting.Open}, {State: quoting.Open}}}, func(i int64) bool { return i%3 == 0 }},
		"many valid":            {quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: noon.Add(1000 * time.Minute)}}}, func(i int64) bool { return i%3 == 0 && i >= 1000 }},
		"few valid":             {quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: noon.Add(4990 * time.Minute)}}}, func(i int64) bool { return i%3 == 0 && i >= 4990 }},
		"few valid or declined": {quoting.Filter{States: []quoting.StateAt{{State: quoting.Declined}, {State: quoting.Open, ValidFrom: noon.Add(4990 * time.Minute)}}}, func(i int64) bool { return i%3 == 2 || i%3 == 0 && i >= 4990 }},
		"expired":               {quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidBefore: noon.Add(4000 * time.Minute)}}}, func(i int64) bool { return i%3 == 0 && i < 4000 }},
		"made on the day":       {quoting.Filter{From: noon, Before: noon.Add(time.Microsecond)}, func(int64) bool { return true }},
		"made before":           {quoting.Filter{Before: noon}, func(int64) bool { return false }},
		"common, made since":    {quoting.Filter{From: noon, Text: []string{"van"}}, func(int64) bool { return true }},
	} {
		var want []int64
		for i := int64(quotes - 1); i >= 0 && len(want) < 60; i-- {
			if tt.want(i) {
				want = append(want, i+1)
			}
		}
		view(t, s, func(r quoting.Reader) {
			tt.filter.Limit = 30
			first, err := r.Heads(tt.filter)
			require.NoError(t, err, name)
			assert.Equal(t, want[:min(30, len(want))], append([]int64(nil), runnings(first)...), name)
			if len(want) <= 30 {
				return
			}
			tt.filter.BeforeRunning = first[29].Running
			second, err := r.Heads(tt.filter)
			require.NoError(t, err, name)
			assert.Equal(t, want[30:], runnings(second), "%s, second page", name)
		})
	}
}
