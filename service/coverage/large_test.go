package coverage_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"slices"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// stocked gives the demo shop with so many more parts of some kinds, in rows like its
// own.
func stocked(t testing.TB, parts int, files ...string) catalog.Folder {
	t.Helper()
	folder := shop(t)
	for _, name := range files {
		rows, err := csv.NewReader(bytes.NewReader(folder[name])).ReadAll()
		require.NoError(t, err)
		var text bytes.Buffer
		text.Write(folder[name])
		out := csv.NewWriter(&text)
		for n := range parts / len(files) {
			row := slices.Clone(rows[1+n%(len(rows)-1)])
			row[0] = fmt.Sprintf("%s-%06d", row[0], n)
			require.NoError(t, out.Write(row))
		}
		out.Flush()
		folder[name] = text.Bytes()
	}
	return folder
}

// TestMoreOfTheSame: rows like those there are leave no gap of their own, and every
// one of them is told of.
func TestMoreOfTheSame(t *testing.T) {
	few := check(t, shop(t))
	many := check(t, stocked(t, 2000, "conductors.csv", "fuses.csv", "holders.csv", "blocks.csv", "terminals.csv"))
	assert.Empty(t, faults(many))
	assert.Len(t, many.Conductors, len(few.Conductors)+400)
	sorts := func(r *coverage.Report) []string {
		var all []string
		for _, f := range r.Findings {
			all = append(all, f.Code)
		}
		slices.Sort(all)
		return slices.Compact(all)
	}
	assert.Equal(t, sorts(few), sorts(many))
}

// BenchmarkCheckAgainstCSV sets a look through a catalog of 100,000 parts, and reading
// it and looking through it, against encoding/csv merely reading the same bytes.
func BenchmarkCheckAgainstCSV(b *testing.B) {
	for name, files := range map[string][]string{
		"fuses and terminals": {"fuses.csv", "terminals.csv"},
		"every kind":          {"conductors.csv", "fuses.csv", "holders.csv", "blocks.csv", "terminals.csv", "sleeves.csv", "relays.csv"},
	} {
		folder := stocked(b, 100_000, files...)
		b.Run(name, func(b *testing.B) {
			var bare, reading, checking time.Duration
			for b.Loop() {
				start := time.Now()
				for file, raw := range folder {
					if strings.HasSuffix(file, ".csv") {
						r := csv.NewReader(bytes.NewReader(raw))
						r.FieldsPerRecord = -1
						for {
							if _, err := r.Read(); err == io.EOF {
								break
							} else if err != nil {
								b.Fatal(err)
							}
						}
					}
				}
				bare += time.Since(start)
				start = time.Now()
				cat, err := catalog.Read(folder)
				require.NoError(b, err)
				reading += time.Since(start)
				start = time.Now()
				coverage.Check(cat)
				checking += time.Since(start)
			}
			b.ReportMetric(float64(checking)/float64(bare), "check-csv-times")
			b.ReportMetric(float64(reading+checking)/float64(bare), "all-csv-times")
		})
	}
}
