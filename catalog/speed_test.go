package catalog_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io"
	"runtime"
	"slices"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/require"
)

// BenchmarkReadAgainstCSV sets reading and checking a catalog of 100,000 parts
// against encoding/csv merely reading the same bytes, in one run, and the memory that
// the catalog holds against the size of its files.
func BenchmarkReadAgainstCSV(b *testing.B) {
	folder := stocked(b, 100_000)
	size := 0
	for _, file := range folder {
		size += len(file.Data)
	}
	var ours, bare time.Duration
	for b.Loop() {
		start := time.Now()
		for name, file := range folder {
			if strings.HasSuffix(name, ".csv") {
				merely(b, file.Data)
			}
		}
		bare += time.Since(start)
		start = time.Now()
		_, err := catalog.Read(folder)
		require.NoError(b, err)
		ours += time.Since(start)
	}
	b.ReportMetric(float64(ours)/float64(bare), "csv-times")
	b.ReportMetric(float64(held(b, func() any {
		c, err := catalog.Read(folder)
		require.NoError(b, err)
		return c
	}))/float64(size), "file-sizes")
}

// stocked gives the demo shop with so many fuses and terminals in rows like its own.
func stocked(b *testing.B, parts int) fstest.MapFS {
	b.Helper()
	folder := demoFolder(b)
	for _, name := range []string{"fuses.csv", "terminals.csv"} {
		all := records(b, folder[name].Data)
		var text strings.Builder
		text.Write(folder[name].Data)
		out := csv.NewWriter(&text)
		for n := range parts / 2 {
			row := slices.Clone(all[1+n%(len(all)-1)])
			row[0] = fmt.Sprintf("%s-%06d", row[0], n)
			require.NoError(b, out.Write(row))
		}
		out.Flush()
		folder[name] = &fstest.MapFile{Data: []byte(text.String())}
	}
	return folder
}

func merely(b *testing.B, raw []byte) {
	b.Helper()
	r := csv.NewReader(bytes.NewReader(raw))
	r.FieldsPerRecord = -1
	for {
		if _, err := r.Read(); err == io.EOF {
			return
		} else if err != nil {
			b.Fatal(err)
		}
	}
}

// held gives the bytes that a value keeps alive.
func held(b *testing.B, build func() any) uint64 {
	b.Helper()
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	v := build()
	runtime.GC()
	runtime.ReadMemStats(&after)
	runtime.KeepAlive(v)
	return after.HeapAlloc - before.HeapAlloc
}
