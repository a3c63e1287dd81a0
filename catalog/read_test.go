package catalog_test

import (
	"errors"
	"io/fs"
	"maps"
	"os"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// minimal gives the smallest complete catalog folder, to be changed at will.
func minimal(t testing.TB) fstest.MapFS {
	t.Helper()
	folder := fstest.MapFS{}
	root := os.DirFS("testdata/minimal")
	names, err := fs.Glob(root, "*")
	require.NoError(t, err)
	for _, name := range names {
		raw, err := fs.ReadFile(root, name)
		require.NoError(t, err)
		folder[name] = &fstest.MapFile{Data: raw}
	}
	return folder
}

// change replaces text that must be there once in a file.
func change(t testing.TB, folder fstest.MapFS, file, old, replacement string) {
	t.Helper()
	text := string(folder[file].Data)
	require.Equal(t, 1, strings.Count(text, old), "%q in %s", old, file)
	folder[file] = &fstest.MapFile{Data: []byte(strings.Replace(text, old, replacement, 1))}
}

// read gives the catalog of a folder that must be sound.
func read(t testing.TB, folder fs.FS) *catalog.Catalog {
	t.Helper()
	c, err := catalog.Read(folder)
	require.NoError(t, err)
	return c
}

// faultsOf gives the faults of a folder that must have some.
func faultsOf(t testing.TB, folder fs.FS) catalog.Faults {
	t.Helper()
	c, err := catalog.Read(folder)
	require.Error(t, err)
	assert.Nil(t, c)
	var faults catalog.Faults
	require.ErrorAs(t, err, &faults)
	return faults
}

func TestReadMinimal(t *testing.T) {
	c := read(t, minimal(t))
	assert.Empty(t, c.Advice)
	assert.Len(t, c.Revision, 64)

	require.Len(t, c.Conductors, 2)
	cable := c.Conductors[0]
	assert.Equal(t, "CB-08-CU-RD", cable.SKU)
	assert.Equal(t, quantity.AWG(8), cable.Size)
	assert.Equal(t, electrical.Copper, cable.Material)
	assert.Equal(t, electrical.PVC, cable.Insulation)
	assert.Equal(t, quantity.Celsius(105), cable.Rating)
	assert.Equal(t, "red", cable.Colour)
	assert.Equal(t, "2.10", cable.Price.Number())
	assert.Equal(t, "USD", cable.Price.CurrencyCode())
	// 2.10 per foot of 0.3048 m is 6.889763779527… per metre.
	assert.Equal(t, int64(6_889_763_780), cable.UnitNano)

	require.Len(t, c.Fuses, 2)
	assert.Equal(t, quantity.Volts(32), c.Fuses[0].Voltage, "the family's, ISO 8820-5")
	assert.Equal(t, int64(6_000_000_000), c.Fuses[1].UnitNano, "12.00 for a pack of 2")

	require.Len(t, c.Vehicles, 1)
	sedan := c.Vehicles[0]
	assert.Equal(t, 1, sedan.Batteries[0].Count)
	assert.Equal(t, catalog.Zone{ID: "engine", Label: "engine", Environment: electrical.EngineSpace, ChassisGround: true, GroundStud: "M8", Reach: 1}, sedan.Zones[0])
	assert.Equal(t, catalog.Zone{ID: "boot", Label: "Luggage space", Environment: electrical.Cabin, ChassisGround: true, Reach: 0.5, HasReach: true}, sedan.Zones[1])
	assert.Equal(t, catalog.Route{From: "engine", To: "boot", Length: 4.5, Environment: electrical.EngineSpace, Grommets: 1, Access: []string{"ACCESS-SEAT"}}, sedan.Routes[0])

	shop := c.Shop
	assert.Equal(t, int64(110_000_000), shop.RateMicro)
	assert.Equal(t, []catalog.Tax{{Label: "Sales tax", RatePercent: "8.25", On: []catalog.Section{catalog.Parts, catalog.Supplies}}}, shop.Taxes)
	assert.Equal(t, []string{"yellow", "black"}, shop.Habits[electrical.Boat].ReturnColours)
	want := electrical.Standard()
	want.AmbientCabin, want.Volts12.Running = 35, 13.6
	assert.Equal(t, want, shop.Defaults)
}

func TestFuseInterruptingAt(t *testing.T) {
	c := read(t, minimal(t))
	family := c.Fuses[0] // nothing of its own
	assert.Equal(t, quantity.Amps(1000), family.InterruptingAt(15))
	assert.Equal(t, quantity.Amps(0), family.InterruptingAt(60), "above 32 V")
	own := c.Fuses[1] // 58 V, 2000 A
	assert.Equal(t, quantity.Amps(2000), own.InterruptingAt(30))
	assert.Equal(t, quantity.Amps(0), own.InterruptingAt(60))
}

func TestReadReportsAllAtOnce(t *testing.T) {
	folder := minimal(t)
	change(t, folder, "conductors.csv", "2.10", "two")
	change(t, folder, "conductors.csv", "tinned_copper", "tined_copper")
	change(t, folder, "shop.yaml", "units: us", "units: imperial")
	delete(folder, "tools.csv")
	text := faultsOf(t, folder).Error()
	assert.Equal(t, []string{
		`conductors.csv:2:3: price: "two" is not a number; allowed: above 0, up to 1000000 USD`,
		`conductors.csv:3:9: material: unknown word "tined_copper"; did you mean tinned_copper?; allowed: copper, tinned_copper, copper_clad_aluminium`,
		`shop.yaml:5:8: units: unknown word "imperial"; allowed: us, metric`,
		`tools.csv: the file is missing; allowed: a file of that name; its header row alone where there is nothing to list`,
	}, strings.Split(text, "\n"))
}

func TestReadManyFaultsAreBounded(t *testing.T) {
	folder := minimal(t)
	folder["sundries.csv"] = &fstest.MapFile{Data: []byte("sku,description,price,sold_by,use\n" + strings.Repeat("A B,x,1,each,clamp\n", 5000))}
	faults := faultsOf(t, folder)
	require.Len(t, faults, 1001)
	assert.Equal(t, "4000 further faults are not listed; mend these first", faults[1000].Problem)
}

func TestReadEmptyFolder(t *testing.T) {
	faults := faultsOf(t, fstest.MapFS{})
	var files []string
	for _, f := range faults {
		assert.Equal(t, "the file is missing", f.Problem)
		files = append(files, f.File)
	}
	assert.ElementsMatch(t, catalog.Files(), files)
}

func TestReadBrokenFileSystem(t *testing.T) {
	faults := faultsOf(t, brokenFS{minimal(t)})
	assert.Equal(t, catalog.Faults{{File: "fuses.csv", Problem: "cannot be read: " + errBroken.Error()}}, faults)
}

var errBroken = errors.New("the disk is gone")

// brokenFS fails while fuses.csv is read.
type brokenFS struct{ fstest.MapFS }

func (b brokenFS) Open(name string) (fs.File, error) {
	f, err := b.MapFS.Open(name)
	if err == nil && name == "fuses.csv" {
		f = brokenFile{f}
	}
	return f, err
}

type brokenFile struct{ fs.File }

func (brokenFile) Read([]byte) (int, error) { return 0, errBroken }

func TestReadAdvice(t *testing.T) {
	folder := minimal(t)
	change(t, folder, "terminals.csv", "1.60,0.89", "1.60,1.89")
	folder["conductor.csv"] = &fstest.MapFile{Data: []byte("sku\n")}
	assert.Equal(t, []catalog.Fault{
		{File: "conductor.csv", Problem: `the file is not read: unknown name "conductor.csv"; did you mean conductors.csv?`},
		{File: "terminals.csv", Line: 2, Column: 4, Problem: "cost: 1.89 is above the price 1.60"},
	}, read(t, folder).Advice)
}

func TestReadTakesSpreadsheetHabits(t *testing.T) {
	plain := read(t, minimal(t))
	folder := minimal(t)
	for name, file := range folder {
		text := strings.ReplaceAll(string(file.Data), "\n", "\r\n")
		folder[name] = &fstest.MapFile{Data: []byte("\ufeff" + text)}
	}
	// Empty rows, a cell without a name at the edge, and space around a cell.
	change(t, folder, "tools.csv", "repeatable\r\n", "repeatable,\r\n,,,,,,,,\r\n\r\n")
	change(t, folder, "tools.csv", "ring butt,", " ring  butt ,")
	c := read(t, folder)
	assert.Equal(t, plain.Conductors, c.Conductors)
	assert.Equal(t, plain.Shop, c.Shop)
	assert.Equal(t, plain.Vehicles, c.Vehicles)
	assert.Equal(t, plain.Tools, c.Tools)
}

func TestFilesAndColumns(t *testing.T) {
	assert.ElementsMatch(t, catalog.Files(), slices.Collect(maps.Keys(minimal(t))))
	for name, file := range minimal(t) {
		if strings.HasSuffix(name, ".csv") {
			header, _, _ := strings.Cut(string(file.Data), "\n")
			columns := slices.DeleteFunc(catalog.Columns(name), func(c string) bool { return c == "breaks" || c == "broken_packs" })
			assert.Equal(t, strings.Split(header, ","), columns, name)
		}
	}
	assert.Nil(t, catalog.Columns("shop.yaml"))
}
