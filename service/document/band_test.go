package document_test

import (
	"encoding/csv"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/document"
	"example.com/lugbook/service/electrical"
)

// gate is one published gate: seconds at a percentage of the rating.
type gate struct {
	family            electrical.Family
	rating            quantity.Amps
	percent           float64
	shortest, longest string // "" = not stated
}

// publishedGates reads the gates of high confidence, as the standards and makers'
// sheets print them, at both ends of their rating bands.
func publishedGates(t *testing.T) []gate {
	t.Helper()
	f, err := os.Open(filepath.Join("..", "electrical", "testdata", "fuse_gates_high.csv"))
	require.NoError(t, err)
	defer f.Close()
	r := csv.NewReader(f)
	r.Comment = '#'
	rows, err := r.ReadAll()
	require.NoError(t, err)
	require.Equal(t, []string{"family", "rating_min_a", "rating_max_a", "percent", "opening_min_s", "opening_max_s"}, rows[0])
	var gates []gate
	for _, row := range rows[1:] {
		for _, rating := range row[1:3] {
			a := max(1, number(t, rating)) // glass from 0 A up
			gates = append(gates, gate{electrical.Family(row[0]), quantity.Amps(a), number(t, row[3]), row[4], row[5]})
		}
	}
	return gates
}

func number(t *testing.T, text string) float64 {
	t.Helper()
	v, err := strconv.ParseFloat(text, 64)
	require.NoError(t, err)
	return v
}

// The drawn edges pass through every published gate. Where no longest time is
// stated the edge is at never, where no shortest is, at once.
func TestEdgesPassThroughPublishedGates(t *testing.T) {
	checked := 0
	for _, g := range publishedGates(t) {
		earliest, latest := document.Edges(document.CurveOf{Fuse: electrical.FuseOf(g.family, g.rating)}, g.rating*20)
		at := g.rating * quantity.Amps(g.percent) / 100
		if g.longest == "" { // up to here it stays closed
			assert.True(t, math.IsInf(on(latest, at), 1) && math.IsInf(on(earliest, at*(1-1e-6)), 1), "%v", g)
			continue
		}
		checked++
		assert.InEpsilon(t, number(t, g.longest), on(latest, at*(1+1e-8)), 1e-6, "latest of %v", g)
		switch {
		case g.shortest != "":
			assert.InEpsilon(t, number(t, g.shortest), on(earliest, at*(1-1e-8)), 1e-6, "earliest of %v", g)
		default:
			assert.Zero(t, on(earliest, at), "%v", g)
		}
	}
	require.Greater(t, checked, 20)
}

// on gives the seconds of an edge at a current, straight on log–log paper between
// its points.
func on(edge []document.Node, i quantity.Amps) float64 {
	if i < edge[0].Current {
		return edge[0].Seconds
	}
	for n := 1; n < len(edge); n++ {
		a, b := edge[n-1], edge[n]
		switch {
		case i > b.Current || a.Current == b.Current:
			continue
		case a.Seconds == b.Seconds:
			return a.Seconds
		}
		share := math.Log(float64(i/a.Current)) / math.Log(float64(b.Current/a.Current))
		return a.Seconds * math.Pow(b.Seconds/a.Seconds, share)
	}
	return edge[len(edge)-1].Seconds
}

// anyFuse is a family with opening times and a rating it has them for.
func anyFuse() *rapid.Generator[document.CurveOf] {
	return rapid.Custom(func(t *rapid.T) document.CurveOf {
		bands := map[electrical.Family][]float64{ // lowest and highest rating, by turns
			electrical.Blade: {1, 30, 35, 40}, electrical.Mini: {2, 30}, electrical.Micro: {5, 30}, electrical.Maxi: {20, 80},
			electrical.BoltSmall: {30, 200}, electrical.BoltLarge: {60, 500}, electrical.ANL: {35, 500}, electrical.MiniANL: {20, 150},
			electrical.TerminalMount: {30, 300}, electrical.ClassT: {31, 60, 61, 100, 101, 200, 201, 400}, electrical.Glass: {0.5, 30, 35, 60},
		}
		families := slices.DeleteFunc(electrical.Families(), func(f electrical.Family) bool { return bands[f] == nil })
		f := rapid.SampledFrom(families).Draw(t, "family")
		n := rapid.IntRange(0, len(bands[f])/2-1).Draw(t, "band")
		rating := rapid.Float64Range(bands[f][2*n], bands[f][2*n+1]).Draw(t, "rating")
		if rapid.Bool().Draw(t, "whole") {
			rating = math.Max(bands[f][2*n], math.Trunc(rating))
		}
		return document.CurveOf{Fuse: electrical.FuseOf(f, quantity.Amps(rating))}
	})
}

// Whatever the fuse, its drawn band is the band of the rules at every current, and
// more current never takes longer.
func TestEdgesFollowTheCurve(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := anyFuse().Draw(t, "fuse")
		upTo := f.Rating * quantity.Amps(rapid.Float64Range(8, 5000).Draw(t, "up to"))
		earliest, latest := document.Edges(f, upTo)
		for _, edge := range [][]document.Node{earliest, latest} {
			for n := 1; n < len(edge); n++ {
				require.GreaterOrEqual(t, edge[n].Current, edge[n-1].Current)
				require.LessOrEqual(t, edge[n].Seconds, edge[n-1].Seconds)
			}
			require.LessOrEqual(t, len(edge), 30, "straight stretches are single lines")
		}
		share := rapid.Float64Range(0, 1).Draw(t, "share")
		i := f.Rating * quantity.Amps(math.Pow(float64(upTo/f.Rating), share)*(1+1e-6)) // off the vertical at the rating
		if i >= upTo {
			return
		}
		want := electrical.CurveOf(f.Family, f.Rating).Opening(f.Rating, i)
		sameTime(t, want.Min, on(earliest, i))
		sameTime(t, want.Max, on(latest, i))
	})
}

func sameTime(t *rapid.T, want, got float64) {
	if want == 0 || math.IsInf(want, 1) {
		require.Equal(t, want, got)
		return
	}
	require.InEpsilon(t, want, got, 1e-5)
}
