package electrical_test

import (
	"encoding/csv"
	"os"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// row is one line of a table in testdata, by column name.
type row map[string]string

// readRows reads a table of testdata. The tables are copies of what the
// standards print and share nothing with the tables the package embeds.
func readRows(t testing.TB, name string) []row {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", name))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	records, err := r.ReadAll()
	require.NoError(t, err)
	require.Greater(t, len(records), 1, "%s has no rows", name)
	var rows []row
	for _, rec := range records[1:] {
		m := row{}
		for i, column := range records[0] {
			m[column] = rec[i]
		}
		rows = append(rows, m)
	}
	return rows
}

func (r row) number(t testing.TB, column string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(r[column], 64)
	require.NoError(t, err, "column %s of %v", column, r)
	return v
}

// gauge reads "10" or "2/0".
func gauge(t testing.TB, text string) quantity.Size {
	t.Helper()
	digits, zeros := strings.CutSuffix(text, "/0")
	n, err := strconv.Atoi(digits)
	require.NoError(t, err)
	if zeros {
		n = 1 - n
	}
	return quantity.AWG(n)
}

// cable is copper with PVC insulation of a rating.
func cable(size quantity.Size, rating quantity.Celsius) electrical.Conductor {
	return electrical.Conductor{Size: size, Material: electrical.Copper, Insulation: electrical.PVC, Rating: rating}
}

// base is the surroundings of the base table: 30 °C, nothing bundled.
var base = electrical.Surroundings{}

const (
	foot         = 0.3048     // m, by definition
	perKft       = 1 / foot   // Ω/km of one Ω per 1000 ft
	circularMil  = 5.06707e-4 // mm²
	abycK        = 10.75      // Ω·circular mil/ft, ABYC E-11, from memory
	milliseconds = 1e-3       // s
)

// within asserts a relative tolerance.
func within(t testing.TB, want, got, share float64, about ...any) {
	t.Helper()
	require.InDelta(t, want, got, want*share, about...)
}
