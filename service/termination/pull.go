package termination

import (
	_ "embed"
	"encoding/csv"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"
)

//go:embed tables/pull_force.csv
var pullTable string

type pullRow struct {
	area  quantity.SquareMillimetres
	force quantity.Newtons
}

// pullRows is the embedded table, thinnest first; a fault in it is a fault of
// the build.
var pullRows = func() []pullRow {
	r := csv.NewReader(strings.NewReader(pullTable))
	r.Comment = '#'
	records, err := r.ReadAll()
	if err != nil {
		panic(fmt.Errorf("pull_force.csv: %w", err))
	}
	rows := make([]pullRow, 0, len(records)-1)
	for _, rec := range records[1:] {
		force, err := strconv.ParseFloat(rec[1], 64)
		if err != nil {
			panic(fmt.Errorf("pull_force.csv: %w", err))
		}
		size, err := quantity.ParseSize(rec[0] + " AWG")
		if err != nil {
			panic(fmt.Errorf("pull_force.csv: %w", err))
		}
		rows = append(rows, pullRow{size.Area(), quantity.Newtons(force)})
	}
	sort.Slice(rows, func(i, j int) bool { return rows[i].area < rows[j].area })
	return rows
}()

// SourcePull names where pull forces come from.
const SourcePull = "UL 486A"

// PullForce gives the force that a crimped sample of the size must bear at the
// least: UL 486A, commercial column. A size that the table does not list takes
// the next smaller gauge's; below 22 AWG it is 0, no figure.
func PullForce(s quantity.Size) quantity.Newtons {
	area := s.Area() * 1.005 // the rounding of printed areas
	i := sort.Search(len(pullRows), func(i int) bool { return pullRows[i].area > area })
	if i == 0 {
		return 0
	}
	return pullRows[i-1].force
}
