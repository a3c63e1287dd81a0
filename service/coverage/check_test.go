package coverage_test

import (
	"io/fs"
	"strings"
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/coverage"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// shop gives the demo shop's files to plant gaps in.
func shop(t testing.TB) catalog.Folder {
	t.Helper()
	folder := catalog.Folder{}
	for _, name := range catalog.Files() {
		raw, err := fs.ReadFile(demo.Files(), name)
		require.NoError(t, err)
		folder[name] = raw
	}
	return folder
}

// without takes the rows out of a file that contain one of the texts.
func without(t *testing.T, folder catalog.Folder, name string, texts ...string) {
	t.Helper()
	var kept []string
	dropped := 0
rows:
	for _, line := range strings.SplitAfter(string(folder[name]), "\n") {
		for _, text := range texts {
			if strings.Contains(line, text) {
				dropped++
				continue rows
			}
		}
		kept = append(kept, line)
	}
	require.Positive(t, dropped)
	folder[name] = []byte(strings.Join(kept, ""))
}

func check(t *testing.T, folder catalog.Folder) *coverage.Report {
	t.Helper()
	cat, err := catalog.Read(folder)
	require.NoError(t, err)
	return coverage.Check(cat)
}

// faults gives the findings that stop work.
func faults(r *coverage.Report) []coverage.Finding {
	var all []coverage.Finding
	for _, f := range r.Findings {
		if f.Severity == coverage.Fault {
			all = append(all, f)
		}
	}
	return all
}

// told finds the finding with a code and all of the figures' texts; false without.
func told(r *coverage.Report, code string, texts ...string) (coverage.Finding, bool) {
next:
	for _, f := range r.Findings {
		if f.Code != code {
			continue
		}
		for _, text := range texts {
			found := false
			for _, figure := range f.Figures {
				found = found || figure.Text == text || figure.Size.String() == text
			}
			if !found {
				continue next
			}
		}
		return f, true
	}
	return coverage.Finding{}, false
}

func TestDemoStopsNothing(t *testing.T) {
	r := check(t, shop(t))
	assert.Empty(t, faults(r))
	assert.Len(t, r.Conductors, 162)
}

func TestGaps(t *testing.T) {
	for _, c := range []struct {
		name, file string
		drop       []string
		code       string
		texts      []string
		stops      string
		severity   coverage.Severity
	}{
		{"no M10 ring for 1/0", "terminals.csv", []string{"LG-1-0-M10,", "LG-1-0-38,"}, "unmet.terminal", []string{"ring", "1/0 AWG", "M10"}, "service-truck-24v/battery_box", coverage.Fault},
		{"no butt for 12 AWG", "terminals.csv", []string{",butt,"}, "unmet.terminal", []string{"butt", "12 AWG"}, "EQ-FAN-CAB", coverage.Fault},
		{"no heavy tool", "tools.csv", []string{",hydraulic,"}, "unmet.tool", []string{"ring", "2 AWG"}, "HD-BLG-M8", coverage.Fault},
		{"no large sleeve", "sleeves.csv", []string{"SL-3-24", "SL-3-40", "SL-4-"}, "unmet.sleeve", nil, "HD-ANL-38S", coverage.Fault},
		{"no time to crimp 8 AWG", "labour.csv", []string{"CRIMP-08,"}, "unmet.labour", []string{"crimp_end", "8 AWG"}, "BK-BUS-06", coverage.Fault},
		{"no time to pull", "labour.csv", []string{",pull_cable,"}, "unmet.labour", []string{"pull_cable", "8 AWG"}, "", coverage.Fault},
		{"no ring at all", "terminals.csv", []string{"LG-1-0-"}, "check.no_ring", []string{"1/0 AWG"}, "", coverage.Fault},
		{"no maxi holder", "holders.csv", []string{",maxi,"}, "check.fuse_without_holder", []string{"FU-MAX-60"}, "", coverage.Advice},
		{"no micro fuse", "fuses.csv", []string{",micro,"}, "check.holder_without_fuse", []string{"HD-MIC-30S"}, "", coverage.Advice},
	} {
		t.Run(c.name, func(t *testing.T) {
			folder := shop(t)
			without(t, folder, c.file, c.drop...)
			f, ok := told(check(t, folder), c.code, c.texts...)
			require.True(t, ok)
			assert.Equal(t, c.severity, f.Severity)
			assert.NotEmpty(t, f.Parts)
			if c.stops != "" {
				assert.Contains(t, f.Stops, c.stops)
			}
		})
	}
}

// TestConductor: what the counter would find in the files by hand.
func TestConductor(t *testing.T) {
	for _, k := range check(t, shop(t)).Conductors {
		if k.SKU != "CB-1-0-CU-RD" {
			continue
		}
		assert.Equal(t, []catalog.Stud{"M6", "1/4", "5/16", "M8", "3/8", "M10"}, k.Studs)
		assert.Equal(t, 1, k.Ferrules)
		assert.Equal(t, 1, k.Butts)
		assert.Zero(t, k.PushOns)
		assert.Positive(t, k.Sleeves)
		assert.Positive(t, k.Holders)
		assert.Positive(t, k.Blocks)
		assert.Equal(t, []catalog.Task{catalog.TaskPull, catalog.TaskCrimpEnd, catalog.TaskSolderAdd, catalog.TaskFerrule}, k.Labour)
		return
	}
	require.Fail(t, "the conductor is not told of")
}

func TestFamiliesWithoutCurve(t *testing.T) {
	folder := shop(t)
	r := check(t, folder)
	_, ok := told(r, "check.typical_curve", "breaker")
	assert.True(t, ok)
	_, ok = told(r, "check.typical_curve", "anl") // its rows stand in curves.csv
	assert.False(t, ok)
	without(t, folder, "curves.csv", "FU-ANL-")
	_, ok = told(check(t, folder), "check.typical_curve", "anl")
	assert.True(t, ok)
}

func BenchmarkCheck(b *testing.B) {
	cat, err := catalog.Read(demo.Files())
	require.NoError(b, err)
	for b.Loop() {
		coverage.Check(cat)
	}
}

func TestNewGaps(t *testing.T) {
	before := check(t, shop(t))
	assert.Empty(t, coverage.NewGaps(before, before))
	folder := shop(t)
	without(t, folder, "terminals.csv", "LG-1-0-M10,", "LG-1-0-38,")
	after := check(t, folder)
	assert.Len(t, coverage.NewGaps(before, after), 2)
	assert.Empty(t, coverage.NewGaps(after, before))
}
