package catalog_test

import (
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withCurves is the minimal folder with rows in curves.csv.
func withCurves(t *testing.T, rows string) fstest.MapFS {
	t.Helper()
	folder := minimal(t)
	folder["curves.csv"] = &fstest.MapFile{Data: []byte("sku,percent,opening_min_s,opening_max_s,source\n" + rows)}
	return folder
}

// TestOwnCurve: a part's own times win over its family's, in whatever order its rows
// stand; the other parts keep their family's.
func TestOwnCurve(t *testing.T) {
	cat := read(t, withCurves(t, "FU-BS-060,200,3,30,made up\nFU-BS-060,110,,,made up\nFU-BS-060,135,90,900,made up\n"))
	fuse := func(sku string) *catalog.Fuse {
		entry, ok := cat.Entry(sku)
		require.True(t, ok)
		return entry.(*catalog.Fuse)
	}
	own := fuse("FU-BS-060")
	assert.Equal(t, "made up", own.CurveSource)
	assert.True(t, own.Rated().Opening(66).StaysClosed, "110 % of 60 A")
	at := own.Rated().Opening(120)
	assert.InDelta(t, 3, at.Min, 1e-9)
	assert.InDelta(t, 30, at.Max, 1e-9)
	other := fuse("FU-BS-080")
	assert.Empty(t, other.CurveSource)
	assert.Equal(t, electrical.CurveOf(electrical.BoltSmall, 80), other.Curve)
}

func TestCurveFaults(t *testing.T) {
	for name, tt := range map[string]struct{ rows, want string }{
		"no such fuse":           {"FU-X,200,1,2,made up\n", `curves.csv:2:1: sku: no fuse has the number "FU-X"; allowed: the number of a fuse in fuses.csv`},
		"minimum above":          {"FU-BS-060,200,5,2,made up\n", "curves.csv:2:4: opening_max_s: 2 does not go with the other gates of FU-BS-060; allowed: the gate's minimum of 5 s or more"},
		"no maximum":             {"FU-BS-060,110,,,made up\n", "curves.csv:2:4: opening_max_s: 0 does not go with the other gates of FU-BS-060; allowed: a maximum at one gate at the least"},
		"a gate twice":           {"FU-BS-060,200,1,9,made up\nFU-BS-060,200,1,9,made up\n", "curves.csv:3:2: percent: 200 does not go with the other gates of FU-BS-060; allowed: above the 200 % of a gate before"},
		"longer at more":         {"FU-BS-060,200,1,9,made up\nFU-BS-060,300,1,10,made up\n", "curves.csv:3:4: opening_max_s: 10 does not go with the other gates of FU-BS-060; allowed: at most the 9 s of a gate before"},
		"below the rating":       {"FU-BS-060,50,1,9,made up\n", "curves.csv:2:2: percent: 50 is out of range; allowed: 100 to 10000 % of the rating"},
		"nobody said so":         {"FU-BS-060,200,1,9,\n", "curves.csv:2:5: source: the cell is empty"},
		"time that is no number": {"FU-BS-060,200,soon,9,made up\n", `curves.csv:2:3: opening_min_s: "soon" is not a number; allowed: above 0, up to 1000000 s`},
	} {
		t.Run(name, func(t *testing.T) {
			assert.Contains(t, faultsOf(t, withCurves(t, tt.rows)).Error(), tt.want)
		})
	}
}
