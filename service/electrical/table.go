package electrical

import (
	"embed"
	"encoding/csv"
	"fmt"
	"sort"
	"strconv"
	"strings"

	"example.com/lugbook/api/quantity"
)

// The published tables stand as CSV beside the code, each with its source in
// its first line; they are read strictly when the program starts, and a fault
// in one is a fault of the build, so it panics.
//
//go:embed tables/*.csv
var tables embed.FS

// mustTable reads one embedded table without its comment and header lines.
func mustTable(name string, header ...string) [][]string {
	raw, err := tables.ReadFile("tables/" + name)
	if err != nil {
		panic(err)
	}
	r := csv.NewReader(strings.NewReader(string(raw)))
	r.Comment = '#'
	rows, err := r.ReadAll()
	if err != nil {
		panic(fmt.Errorf("%s: %w", name, err))
	}
	if len(rows) < 2 || strings.Join(rows[0], ",") != strings.Join(header, ",") {
		panic(fmt.Errorf("%s: columns are %v, want %v", name, rows[0], header))
	}
	return rows[1:]
}

func mustFloat(name, text string) float64 {
	v, err := strconv.ParseFloat(text, 64)
	if err != nil {
		panic(fmt.Errorf("%s: %w", name, err))
	}
	return v
}

func mustAWG(name, text string) quantity.Size {
	if n, zero := strings.CutSuffix(text, "/0"); zero {
		return quantity.AWG(1 - int(mustFloat(name, n)))
	}
	return quantity.AWG(int(mustFloat(name, text)))
}

type metricResistance struct{ plain, tinned float64 } // Ω/m at 20 °C

var metricResistances = func() map[quantity.Size]metricResistance {
	m := map[quantity.Size]metricResistance{}
	for _, row := range mustTable("iso6722.csv", "size_mm2", "max_ohm_per_km") {
		r := mustFloat("iso6722.csv", row[1]) / 1e3
		m[quantity.Metric(quantity.SquareMillimetres(mustFloat("iso6722.csv", row[0])))] = metricResistance{r, r}
	}
	for _, row := range mustTable("iec60228_class5.csv", "size_mm2", "plain_max_ohm_per_km", "tinned_max_ohm_per_km") {
		size := quantity.Metric(quantity.SquareMillimetres(mustFloat("iec60228_class5.csv", row[0])))
		m[size] = metricResistance{mustFloat("iec60228", row[1]) / 1e3, mustFloat("iec60228", row[2]) / 1e3}
	}
	return m
}()

// standardMetric gives the highest resistance per metre at 20 °C that a
// standard allows for a metric size. A size that none lists gets the next smaller
// listed one's, scaled by area, so that it is never taken for better cable than
// its neighbours. False for gauges and below the smallest listed size.
func standardMetric(s quantity.Size, tinned bool) (float64, bool) {
	if s.IsAWG() {
		return 0, false
	}
	r, ok := metricResistances[s]
	scale := 1.0
	if !ok {
		i := sort.Search(len(metricAreas), func(i int) bool { return metricAreas[i] > s.Area() })
		if i == 0 {
			return 0, false
		}
		r = metricResistances[quantity.Metric(metricAreas[i-1])]
		scale = float64(metricAreas[i-1] / s.Area())
	}
	if tinned {
		return r.tinned * scale, true
	}
	return r.plain * scale, true
}

// metricAreas is every listed metric size, thinnest first.
var metricAreas = func() []quantity.SquareMillimetres {
	areas := make([]quantity.SquareMillimetres, 0, len(metricResistances))
	for s := range metricResistances {
		areas = append(areas, s.Area())
	}
	sort.Slice(areas, func(i, j int) bool { return areas[i] < areas[j] })
	return areas
}()
