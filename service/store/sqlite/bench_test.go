package sqlite_test

import (
	"crypto/sha256"
	"database/sql"
	"encoding/binary"
	"errors"
	"fmt"
	"net/url"
	"path/filepath"
	"sync/atomic"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"

	"github.com/stretchr/testify/require"
)

// snapshotSize is what the reply of a job of half a dozen devices takes.
const snapshotSize = 60_000

// noise gives bytes that nothing compresses, the same for the same seed.
func noise(seed, size int) []byte {
	out := make([]byte, 0, size+sha256.Size)
	for i := uint64(0); len(out) < size; i++ {
		sum := sha256.Sum256(binary.BigEndian.AppendUint64(binary.BigEndian.AppendUint64(nil, uint64(seed)), i))
		out = append(out, sum[:]...)
	}
	return out[:size]
}

// bareTable opens a file with the store's pragmas and one table, into which the same
// bytes go with one durable insertion each.
func bareTable(b *testing.B, path string) *sql.DB {
	b.Helper()
	db, err := sql.Open("sqlite", "file:"+path+"?"+url.Values{
		"_pragma": {"busy_timeout(5000)", "foreign_keys(ON)", "secure_delete(ON)", "cache_size(-8000)", "journal_mode(WAL)", "synchronous(FULL)", "wal_autocheckpoint(4000)"}, "_txlock": {"immediate"},
	}.Encode())
	require.NoError(b, err)
	db.SetMaxOpenConns(1)
	_, err = db.ExecContext(b.Context(), `CREATE TABLE bare (id INTEGER PRIMARY KEY, bytes BLOB NOT NULL)`)
	require.NoError(b, err)
	b.Cleanup(func() { _ = db.Close() }) // nothing is kept
	return db
}

// create does what the use case does when it makes a quote.
func create(b *testing.B, s quoting.Store, seed int, snapshot []byte) error {
	b.Helper()
	id := fmt.Sprintf("request-%d", seed)
	return s.Update(b.Context(), func(w quoting.Writer) error {
		if _, err := w.Deed("counter-1", id); !errors.Is(err, quoting.ErrNotFound) {
			return err
		}
		running, err := w.NextRunning()
		if err != nil {
			return err
		}
		h := searchable(running)
		return errors.Join(w.AddQuote(h),
			w.AddRevision(quoting.Revision{
				Number: h.Number, Revision: 1, CreateTime: noon, Format: 1, Snapshot: snapshot, Job: snapshot[:2000], Personal: []byte("Ada Beispiel, +1 555 0100, ring twice"),
				RulesVersion: "2026.1", CatalogRevision: "sha256:0123456789abcdef", Language: "en-GB", TimeZone: "Europe/Lisbon",
			}),
			w.AddEvent(quoting.Event{Number: h.Number, Revision: 1, Time: noon, Deed: quoting.DeedCreated, Caller: "counter-1", Staff: "Kim"}),
			w.AddDeed(quoting.Done{Caller: "counter-1", RequestID: id, Sum: snapshot[:32], Number: h.Number, Revision: 1, State: quoting.Open, Version: 1, Time: noon}))
	})
}

// states and vehicles of the quotes that are looked for.
var (
	states   = []quoting.State{quoting.Open, quoting.Accepted, quoting.Declined, quoting.Withdrawn}
	vehicles = []string{"van", "boat", "truck", "motorcycle", "sedan"}
	kit      = []string{"fridge", "inverter", "winch", "light", "amplifier", "pump", "heater", "charger", "radio", "compressor", "fan"}
)

// searchable is a quote with as many words as one of half a dozen devices has; those of
// customers are many and rare, those of equipment few and common.
func searchable(running int64) quoting.Head {
	n := int(running)
	made := noon.Add(time.Duration(running) * time.Minute)
	number := fmt.Sprintf("2026-%07d", running)
	h := quoting.Head{
		Number: number, Running: running, Revision: 1, State: states[n%len(states)], Version: 1,
		Customer: quoting.Contact{Name: "Ada Beispiel", Phone: "+1 555 0100", Email: "ada@shop.example",
			Words: []string{fmt.Sprintf("name%d", n%5000), fmt.Sprintf("surname%d", n%70000), "555", fmt.Sprintf("01%05d", n%100000)}},
		VehicleID: "camper-van", VehicleLabel: "the white van", VehicleWords: []string{vehicles[n%len(vehicles)], "white"},
		Total: "1234.50", Currency: "EUR", CreateTime: made, UpdateTime: made, ValidUntil: made.AddDate(0, 1, 0), Words: []string{number},
	}
	for i := range 6 {
		h.Words = append(h.Words, kit[(n*7+i)%len(kit)])
	}
	return h
}

// BenchmarkCreate times quotes made durably against bare durable insertions of the same
// bytes with the same pragmas, in turns. A quote is to be made at 0.5 times their rate or
// more.
func BenchmarkCreate(b *testing.B) {
	for _, callers := range []int{1, 16} {
		b.Run(fmt.Sprintf("callers-%d", callers), func(b *testing.B) {
			path := filepath.Join(b.TempDir(), "lugbook.db")
			s := open(b, path)
			bare := bareTable(b, filepath.Join(b.TempDir(), "bare.db"))
			snapshot := noise(1, snapshotSize)
			same := noise(2, snapshotSize+3000) // and what else a quote has
			var bareTime, quoteTime time.Duration
			next := 0
			const batch = 64
			for b.Loop() {
				bareTime += atOnce(b, callers, batch, func(int) error {
					_, err := bare.ExecContext(b.Context(), `INSERT INTO bare (bytes) VALUES ($1)`, same)
					return err
				})
				quoteTime += atOnce(b, callers, batch, func(i int) error { return create(b, s, next+i, snapshot) })
				next += batch
			}
			b.ReportMetric(float64(bareTime)/float64(quoteTime), "×bare-rate")
			b.ReportMetric(float64(quoteTime.Microseconds())/float64(next), "µs/quote")
			b.ReportMetric(float64(bareTime.Microseconds())/float64(next), "µs/bare")
		})
	}
}

// atOnce has callers do something so many times together, and tells how long that took.
func atOnce(b *testing.B, callers, times int, do func(int) error) time.Duration {
	b.Helper()
	start := time.Now()
	results := make(chan error)
	var next atomic.Int64
	for range callers {
		go func() {
			var err error
			for i := int(next.Add(1)) - 1; i < times; i = int(next.Add(1)) - 1 {
				err = errors.Join(err, do(i))
			}
			results <- err
		}()
	}
	for range callers {
		require.NoError(b, <-results)
	}
	return time.Since(start)
}

// questions are the lists that are timed on few and on many quotes. Those in limited
// are to cost at most twice as much on a thousand times as many.
var questions = []struct {
	name    string
	limited bool
	filter  quoting.Filter
}{
	{"first-page", true, quoting.Filter{}},
	{"open", true, quoting.Filter{States: []quoting.StateAt{{State: quoting.Open}}}},
	{"two-states", true, quoting.Filter{States: []quoting.StateAt{{State: quoting.Accepted}, {State: quoting.Declined}}}},
	{"deep-page", false, quoting.Filter{BeforeRunning: 600}},
	{"still-valid", false, quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidFrom: noon}}}},
	{"expired", false, quoting.Filter{States: []quoting.StateAt{{State: quoting.Open, ValidBefore: noon.AddDate(0, 1, 0).Add(500 * time.Minute)}}}},
	{"rare-word", false, quoting.Filter{Customer: []string{"surname17"}}},
	{"number", false, quoting.Filter{Text: []string{"2026-0000017"}}},
	{"common-word", false, quoting.Filter{Text: []string{"fridge"}}},
	{"common-beginning", false, quoting.Filter{Text: []string{"2026"}}},
	{"two-common-words", false, quoting.Filter{Text: []string{"winch", "boat"}}},
	{"common-and-rare", false, quoting.Filter{Text: []string{"fridge"}, Customer: []string{"surname34"}}},
	{"common-in-a-state", false, quoting.Filter{Text: []string{"fridge"}, States: []quoting.StateAt{{State: quoting.Accepted}}}},
	{"one-day", false, quoting.Filter{From: noon, Before: noon.Add(10 * time.Hour)}},
}

// BenchmarkHeads times first pages of lists on 1,000 and on 1,000,000 quotes in one run.
func BenchmarkHeads(b *testing.B) {
	few, many := filled(b, 1000), filled(b, 1_000_000)
	for _, q := range questions {
		b.Run(q.name, func(b *testing.B) {
			q.filter.Limit = 51 // a page of 50, and one to see whether there is a next
			var fewTime, manyTime time.Duration
			list := func(s *sqlite.Store) time.Duration {
				start := time.Now()
				require.NoError(b, s.View(b.Context(), func(r quoting.Reader) error {
					_, err := r.Heads(q.filter)
					return err
				}))
				return time.Since(start)
			}
			rounds := 0
			for b.Loop() {
				fewTime += list(few)
				manyTime += list(many)
				rounds++
			}
			ratio := float64(manyTime) / float64(fewTime)
			b.ReportMetric(ratio, "×1000-quotes")
			b.ReportMetric(float64(fewTime.Microseconds())/float64(rounds), "µs/1000")
			b.ReportMetric(float64(manyTime.Microseconds())/float64(rounds), "µs/1000000")
		})
	}
}

// filled gives a store with so many quotes with snapshots of 1 kB.
func filled(b *testing.B, quotes int) *sqlite.Store {
	b.Helper()
	s := open(b, filepath.Join(b.TempDir(), fmt.Sprintf("%d.db", quotes)))
	snapshot := noise(3, 1000)
	const together = 10_000
	for from := 0; from < quotes; from += together {
		require.NoError(b, s.Update(b.Context(), func(w quoting.Writer) error {
			for range min(together, quotes-from) {
				running, err := w.NextRunning()
				if err != nil {
					return err
				}
				h := searchable(running)
				if err := errors.Join(w.AddQuote(h), w.AddRevision(quoting.Revision{Number: h.Number, Revision: 1, CreateTime: noon, Snapshot: snapshot})); err != nil {
					return err
				}
			}
			return nil
		}))
	}
	return s
}
