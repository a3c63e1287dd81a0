package storetest

import (
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// some are the quotes that filters are tried on.
func some() []quoting.Head {
	day := func(n int) time.Time { return noon.AddDate(0, 0, n) }
	all := []quoting.Head{plain(1), plain(2), plain(3), plain(4), plain(5)}
	for i := range all {
		all[i].CreateTime = day(i)
		all[i].ValidUntil = day(10 + i)
	}
	all[0].Customer.Words, all[0].VehicleWords, all[0].Words = []string{"ada", "smith"}, []string{"van", "white"}, []string{"2026-00001", "fridge"}
	all[1].Customer.Words, all[1].VehicleWords, all[1].Words = []string{"smith", "zoë"}, []string{"boat"}, []string{"2026-00002", "pump", "light"}
	all[2].Customer.Words, all[2].VehicleWords, all[2].Words = []string{"van", "dam"}, []string{"truck"}, []string{"2026-00003", "light"}
	all[3].VehicleWords, all[3].Words = []string{"van"}, []string{"2026-00004", "smithy", "lighter"}
	all[4].Customer.Words = []string{"山田", "👩‍🔧"}
	all[1].State, all[2].State, all[3].State = quoting.Accepted, quoting.Declined, quoting.Withdrawn
	return all
}

func filters(t *testing.T, s quoting.Store) {
	update(t, s, add(some()...))
	day := func(n int) time.Time { return noon.AddDate(0, 0, n) }
	in := func(states ...quoting.State) []quoting.StateAt {
		var all []quoting.StateAt
		for _, s := range states {
			all = append(all, quoting.StateAt{State: s})
		}
		return all
	}
	for _, tt := range []struct {
		name   string
		filter quoting.Filter
		want   []int64
	}{
		{"nothing asked for", quoting.Filter{}, []int64{5, 4, 3, 2, 1}},
		{"open", quoting.Filter{States: in(quoting.Open)}, []int64{5, 1}},
		{"withdrawn", quoting.Filter{States: in(quoting.Withdrawn)}, []int64{4}},
		{"either state", quoting.Filter{States: in(quoting.Accepted, quoting.Declined)}, []int64{3, 2}},
		{"no such state", quoting.Filter{States: in("lost")}, []int64{}},
		{"valid from, included", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: day(14)}}}, []int64{5}},
		{"valid from, later", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: day(14).Add(time.Microsecond)}}}, []int64{}},
		{"valid before, not included", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidBefore: day(10)}}}, []int64{}},
		{"valid before", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidBefore: day(10).Add(time.Microsecond)}}}, []int64{1}},
		{"valid between", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: day(9), ValidBefore: day(11)}}}, []int64{1}},
		{"expired or accepted", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidBefore: day(12)}, {State: quoting.Accepted}}}, []int64{2, 1}},
		{"either way round", quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidBefore: day(12)}, {State: quoting.Open, ValidFrom: day(12)}}}, []int64{5, 1}},
		{"made from, included", quoting.Filter{From: day(3)}, []int64{5, 4}},
		{"made from, later", quoting.Filter{From: day(3).Add(time.Microsecond)}, []int64{5}},
		{"made before, not included", quoting.Filter{Before: day(1)}, []int64{1}},
		{"made between", quoting.Filter{From: day(1), Before: day(3)}, []int64{3, 2}},
		{"made never", quoting.Filter{From: day(3), Before: day(1)}, []int64{}},
		{"before a running number", quoting.Filter{BeforeRunning: 3}, []int64{2, 1}},
		{"before the first", quoting.Filter{BeforeRunning: 1}, []int64{}},
		{"customer", quoting.Filter{Customer: []string{"smith"}}, []int64{2, 1}},
		{"customer, not vehicle", quoting.Filter{Customer: []string{"van"}}, []int64{3}},
		{"customer's two words", quoting.Filter{Customer: []string{"smith", "a"}}, []int64{1}},
		{"vehicle, not customer", quoting.Filter{Vehicle: []string{"van"}}, []int64{4, 1}},
		{"anywhere", quoting.Filter{Text: []string{"van"}}, []int64{4, 3, 1}},
		{"anywhere by beginning", quoting.Filter{Text: []string{"smi"}}, []int64{4, 2, 1}},
		{"the whole word and no further", quoting.Filter{Text: []string{"smithy"}}, []int64{4}},
		{"not the end of a word", quoting.Filter{Text: []string{"mith"}}, []int64{}},
		{"two words anywhere", quoting.Filter{Text: []string{"light", "smith"}}, []int64{4, 2}},
		{"number", quoting.Filter{Text: []string{"2026-00003"}}, []int64{3}},
		{"beyond ASCII", quoting.Filter{Customer: []string{"zoë"}}, []int64{2}},
		{"not folded here", quoting.Filter{Customer: []string{"zoe"}}, []int64{}},
		{"beyond the basic plane", quoting.Filter{Text: []string{"👩"}}, []int64{5}},
		{"no letter of Latin", quoting.Filter{Text: []string{"山"}}, []int64{5}},
		{"what SQL might misread", quoting.Filter{Text: []string{"%"}}, []int64{}},
		{"any word at all", quoting.Filter{Vehicle: []string{""}}, []int64{4, 3, 2, 1}},
		{"all at once", quoting.Filter{
			States: in(quoting.Accepted, quoting.Open), Customer: []string{"sm"}, Vehicle: []string{"b"}, Text: []string{"pump", "2026"},
			From: day(0), Before: day(5), BeforeRunning: 5,
		}, []int64{2}},
		{"all at once but one", quoting.Filter{
			States: in(quoting.Accepted, quoting.Open), Customer: []string{"sm"}, Vehicle: []string{"b"}, Text: []string{"pump", "2027"},
			From: day(0), Before: day(5), BeforeRunning: 5,
		}, []int64{}},
	} {
		view(t, s, func(r quoting.Reader) {
			tt.filter.Limit = 10
			found, err := r.Heads(tt.filter)
			require.NoError(t, err, tt.name)
			assert.Equal(t, tt.want, runnings(found), tt.name)
			tt.filter.Limit = 1
			found, err = r.Heads(tt.filter)
			require.NoError(t, err, tt.name)
			assert.Equal(t, tt.want[:min(1, len(tt.want))], runnings(found), "%s, the first", tt.name)
		})
	}
}

// A word is found by its beginning up to the last character before the next beginning,
// at the edges of the code points too.
func beginnings(t *testing.T, s quoting.Store) {
	words := []string{"a", "ab", "abc", "b", "a\U0010FFFF", "a\U0010FFFFz", "\uD7FF", "\uD7FFx", "\uE000", "\U0010FFFF", "\U0010FFFF\U0010FFFF", "z", "é", "z\u0301"}
	for i, word := range words {
		h := plain(int64(i + 1))
		h.Words = []string{word}
		update(t, s, add(h))
	}
	for beginning, want := range map[string][]string{
		"a":                    {"a", "ab", "abc", "a\U0010FFFF", "a\U0010FFFFz"},
		"ab":                   {"ab", "abc"},
		"a\U0010FFFF":          {"a\U0010FFFF", "a\U0010FFFFz"},
		"\uD7FF":               {"\uD7FF", "\uD7FFx"},
		"\U0010FFFF":           {"\U0010FFFF", "\U0010FFFF\U0010FFFF"},
		"\U0010FFFF\U0010FFFF": {"\U0010FFFF\U0010FFFF"},
		"z":                    {"z", "z\u0301"},
		"é":                    {"é"},
		"abcd":                 nil,
	} {
		view(t, s, func(r quoting.Reader) {
			found, err := r.Heads(quoting.Filter{Text: []string{beginning}, Limit: 100})
			require.NoError(t, err)
			var got []string
			for _, h := range found {
				got = append(got, h.Words...)
			}
			assert.ElementsMatch(t, want, got, "%q", beginning)
		})
	}
}
