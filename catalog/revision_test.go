package catalog_test

import (
	"encoding/csv"
	"math/rand"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// rewrite writes a CSV file anew: rows and columns shuffled, every cell in
// quotes if asked, with the line end and beginning given.
func rewrite(t require.TestingT, text string, seed int64, quoted bool, bom, eol string) string {
	records, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	require.NoError(t, err)
	rng := rand.New(rand.NewSource(seed))
	rows := records[1:]
	rng.Shuffle(len(rows), func(i, j int) { rows[i], rows[j] = rows[j], rows[i] })
	order := rng.Perm(len(records[0]))
	var b strings.Builder
	b.WriteString(bom)
	for _, record := range records {
		for k, from := range order {
			cell := record[from]
			if quoted || strings.ContainsAny(cell, `",`) {
				cell = `"` + strings.ReplaceAll(cell, `"`, `""`) + `"`
			}
			if k > 0 {
				b.WriteString(",")
			}
			b.WriteString(cell)
		}
		b.WriteString(eol)
	}
	return b.String()
}

func TestRevisionIgnoresTheWriting(t *testing.T) {
	want := read(t, minimal(t)).Revision
	rapid.Check(t, func(r *rapid.T) {
		folder := minimal(t)
		for name, file := range folder {
			if !strings.HasSuffix(name, ".csv") {
				continue
			}
			text := rewrite(r, string(file.Data), rapid.Int64().Draw(r, "seed"), rapid.Bool().Draw(r, "quoted"),
				rapid.SampledFrom([]string{"", "\ufeff"}).Draw(r, "bom"), rapid.SampledFrom([]string{"\n", "\r\n"}).Draw(r, "eol"))
			folder[name] = &fstest.MapFile{Data: []byte(text)}
		}
		assert.Equal(r, want, read(t, folder).Revision)
	})
}

func TestRevisionOfYAMLIgnoresTheWriting(t *testing.T) {
	folder := minimal(t)
	want := read(t, folder).Revision
	change(t, folder, "shop.yaml", "units: us\n", "")
	change(t, folder, "shop.yaml", "labour_step: 10\n", "labour_step: \"10\"   # tenths\nunits: 'us'\n")
	change(t, folder, "vehicles.yaml", "    nominal_v: 12\n    fuel: petrol\n", "    fuel: petrol\n    nominal_v: 12\n    outboard_only:\n")
	change(t, folder, "vehicles.yaml", "{id: engine, environment: engine_space, chassis_ground: yes, ground_stud: M8}",
		"id: engine\n        ground_stud: M8\n        environment: engine_space\n        chassis_ground: yes")
	assert.Equal(t, want, read(t, folder).Revision)
}

func TestRevisionIgnoresEmptyOptionalColumn(t *testing.T) {
	folder := minimal(t)
	want := read(t, folder).Revision
	text := strings.ReplaceAll(string(folder["sundries.csv"].Data), "pack_qty,", "")
	folder["sundries.csv"] = &fstest.MapFile{Data: []byte(strings.ReplaceAll(text, "metre,,", "metre,"))}
	assert.Equal(t, want, read(t, folder).Revision)
}

func TestRevisionFollowsTheContent(t *testing.T) {
	seen := map[string]string{read(t, minimal(t)).Revision: "unchanged"}
	for _, c := range []struct{ name, file, old, replacement string }{
		{"price", "fuses.csv", "6.00", "6.01"},
		{"text moved to the next cell", "conductors.csv", "foot,,North Quay Supply,8 AWG", "foot,1,North Quay Supply,8 AWG"},
		{"description", "tools.csv", "Hydraulic press", "Hydraulic  press"},
		{"cost left out", "sundries.csv", "1.80,1.00", "1.80,"},
		{"route", "vehicles.yaml", "length_m: 4.5", "length_m: 4.6"},
		{"vehicle's label", "vehicles.yaml", "label: Sedan", "label: Saloon"},
		{"tax", "shop.yaml", `"8.25"`, `"8.5"`},
		{"order of return colours", "shop.yaml", "[yellow, black]", "[black, yellow]"},
	} {
		folder := minimal(t)
		change(t, folder, c.file, c.old, c.replacement)
		revision := read(t, folder).Revision
		assert.Empty(t, seen[revision], c.name)
		seen[revision] = c.name
	}
}
