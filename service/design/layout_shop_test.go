package design_test

import (
	"bytes"
	"encoding/csv"
	"fmt"
	"io/fs"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/require"
)

// leanShop gives the demo shop with few of its cables, fuses, holders and blocks,
// at other prices and with other limits: few enough that every system can be built
// from every combination, and blocks cheap enough that a trunk often pays.
func leanShop(t testing.TB, random *rand.Rand) *catalog.Catalog {
	t.Helper()
	return readShop(t, leanFolder(t, random))
}

func readShop(t testing.TB, folder fs.FS) *catalog.Catalog {
	t.Helper()
	cat, err := catalog.Read(folder)
	require.NoError(t, err)
	return cat
}

// table is a file of a catalog, row by row, the header first.
type table [][]string

func readTable(t testing.TB, folder fstest.MapFS, file string) table {
	t.Helper()
	rows, err := csv.NewReader(bytes.NewReader(folder[file].Data)).ReadAll()
	require.NoError(t, err)
	return rows
}

func (rows table) file(t testing.TB) *fstest.MapFile {
	t.Helper()
	var text bytes.Buffer
	require.NoError(t, csv.NewWriter(&text).WriteAll(rows))
	return &fstest.MapFile{Data: text.Bytes()}
}

// times multiplies a figure of a row, to the cent.
func (rows table) times(row int, column string, by float64) {
	at := slices.Index(rows[0], column)
	if figure, err := strconv.ParseFloat(rows[row][at], 64); err == nil {
		rows[row][at] = strconv.FormatFloat(max(0.01, figure*by), 'f', 2, 64)
	}
}

func (rows table) set(row int, column, value string) {
	rows[row][slices.Index(rows[0], column)] = value
}

const labourFile, strapOperation = "labour.csv", "GROUND-STRAP"

// demoFolder is the demo shop's folder, to be changed. It has no time for ground
// straps, which the tests that build systems by other means know nothing of; they
// have a test of their own.
func demoFolder(t testing.TB) fstest.MapFS {
	t.Helper()
	folder := fstest.MapFS{}
	require.NoError(t, fs.WalkDir(demo.Files(), ".", func(path string, e fs.DirEntry, err error) error {
		if err != nil || e.IsDir() {
			return err
		}
		data, err := fs.ReadFile(demo.Files(), path)
		folder[path] = &fstest.MapFile{Data: data}
		return err
	}))
	rows := readTable(t, folder, labourFile)
	rows = slices.DeleteFunc(rows, func(row []string) bool { return row[0] == strapOperation })
	folder[labourFile] = rows.file(t)
	return folder
}

// leanFolderOf is the demo shop's folder with one file's rows changed or left out.
func leanFolderOf(t testing.TB, file string, keep func(rows table, i int) bool) fstest.MapFS {
	t.Helper()
	folder := demoFolder(t)
	rows := readTable(t, folder, file)
	kept := rows[:1:1]
	for i := 1; i < len(rows); i++ {
		if keep(rows, i) {
			kept = append(kept, rows[i])
		}
	}
	folder[file] = kept.file(t)
	keepCurves(t, folder)
	return folder
}

// leanFolder is the folder of a leanShop.
func leanFolder(t testing.TB, random *rand.Rand) fstest.MapFS {
	t.Helper()
	folder := demoFolder(t)
	cables := 0.3 + 5*random.Float64()*random.Float64()
	for _, f := range []struct {
		name            string
		keep, low, high float64 // share of rows, prices
	}{{"conductors.csv", 0.4, 0.5 * cables, 1.5 * cables}, {"fuses.csv", 0.45, 0.3, 2.3}, {"holders.csv", 0.5, 0.3, 2.3}, {"blocks.csv", 0.6, 0.05, 0.8},
		{"terminals.csv", 1, 0.3, 2.3}, {"sleeves.csv", 1, 0.3, 2.3}} {
		rows := someRows(readTable(t, folder, f.name), f.keep, random)
		for i := 1; i < len(rows); i++ {
			rows.set(i, "cost", "")
			rows.times(i, "price", f.low+(f.high-f.low)*random.Float64())
			if f.name == "blocks.csv" {
				otherLimits(rows, i, random)
			}
		}
		folder[f.name] = rows.file(t)
	}
	keepCurves(t, folder)
	return folder
}

// keepCurves leaves out the opening times of fuses that are not stocked.
func keepCurves(t testing.TB, folder fstest.MapFS) {
	t.Helper()
	stocked := map[string]bool{"sku": true}
	for _, row := range readTable(t, folder, "fuses.csv") {
		stocked[row[0]] = true
	}
	rows := readTable(t, folder, "curves.csv")
	folder["curves.csv"] = slices.DeleteFunc(rows, func(row []string) bool { return !stocked[row[0]] }).file(t)
}

// otherLimits gives a block other ways and currents; now and then a small trunk may
// land there.
func otherLimits(rows table, i int, random *rand.Rand) {
	rows.times(i, "way_max_a", anyone(random, 1, 1, 0.3+0.7*random.Float64()))
	rows.times(i, "total_max_a", 1+0.5*random.Float64())
	rows.set(i, "ways", strconv.Itoa(2+random.IntN(6)))
	if random.IntN(3) == 0 {
		rows.set(i, "in_smallest", "18 AWG")
	}
}

// someRows keeps a share of a file's rows. Rows whose SKU differs in the last word
// alone, which is a cable's colour, stay or go together.
func someRows(rows table, keep float64, random *rand.Rand) table {
	kept, stays := rows[:1:1], map[string]bool{}
	for _, row := range rows[1:] {
		key := row[0]
		if strings.HasPrefix(key, "CB-") {
			key = key[:strings.LastIndex(key, "-")]
		}
		if _, seen := stays[key]; !seen {
			stays[key] = random.Float64() < keep
		}
		if stays[key] {
			kept = append(kept, row)
		}
	}
	return kept
}

// layoutVehicle makes up a vehicle in which a trunk is often possible; now and then
// with a second battery.
func layoutVehicle(random *rand.Rand) *catalog.Vehicle {
	v := anyVehicle(random)
	v.Category = anyone(random, electrical.Car, electrical.Van, electrical.Van, electrical.Truck, electrical.Boat, electrical.Boat, electrical.Motorcycle, electrical.SideBySide, electrical.OtherVehicle)
	if random.IntN(3) > 0 {
		v.Body = catalog.Steel
	}
	if random.IntN(4) > 0 {
		v.Charging.RunningV *= 12 / v.Nominal
		v.Nominal = 12
	}
	for i := range v.Zones {
		z := &v.Zones[i]
		z.Vapour = random.IntN(12) == 0
		if random.IntN(3) > 0 {
			z.Environment, z.HasAmbient, z.Ambient = electrical.Cabin, false, 0
		}
	}
	if random.IntN(3) > 0 {
		v.Batteries[0] = catalog.Battery{ID: "b", Chemistry: electrical.AGM, Capacity: 80, ColdCranking: quantity.Amps(between(random, 250, 1000)), Zone: "z0", Stud: "M8"}
	}
	if random.IntN(5) == 0 {
		v.Batteries = append(v.Batteries, catalog.Battery{ID: "c", Chemistry: electrical.Flooded, Capacity: 100, ColdCranking: 700, Zone: "z1", Stud: "M10"})
	}
	v.SetDefaults()
	return v
}

// layoutSystem makes up a job of some devices, most of them in two zones.
func layoutSystem(random *rand.Rand, v *catalog.Vehicle, devices int) design.System {
	s := design.System{Growth: anyone[quantity.Percent](random, 0, 0, 20, 60)}
	homes := []string{v.Zones[random.IntN(len(v.Zones))].ID, v.Zones[random.IntN(len(v.Zones))].ID}
	for i := range devices {
		d := anyDevice(random, v)
		d.ID = fmt.Sprintf("d%d", i)
		if random.IntN(6) > 0 {
			d.Zone = anyone(random, homes...)
		}
		d.NoLeads = true // leads are the same for every layout
		d.FedFrom = v.Batteries[random.IntN(len(v.Batteries))].ID
		smaller(&d, random)
		if random.IntN(4) > 0 { // or hardly any system of several could be had
			d.MinVolts, d.HasMaxDrop, d.MaxDrop = 0, false, 0
			d.Maker.ConductorMin, d.Maker.TerminalMax = quantity.Size{}, quantity.Size{}
		}
		if random.IntN(3) > 0 {
			d.Maker.Fuse = 0
		}
		s.Devices = append(s.Devices, d)
	}
	return s
}

// smaller brings a device's load down to what a block's way carries, mostly.
func smaller(d *design.Device, random *rand.Rand) {
	by := anyone(random, 0.1, 0.1, 0.2, 0.5)
	d.Load.Current = quantity.Amps(float64(d.Load.Current) * by)
	d.Load.Input, d.Load.Output = quantity.Watts(float64(d.Load.Input)*by), quantity.Watts(float64(d.Load.Output)*by)
	d.Surge.Current = quantity.Amps(float64(d.Surge.Current) * by)
	if a := &d.Load.Audio; *a != (electrical.Audio{}) {
		if a.RMS > 0 {
			a.RMS = max(1, quantity.Watts(float64(a.RMS)*by))
		}
		if a.OnboardFuse > 0 {
			a.OnboardFuse = max(1, quantity.Amps(int(float64(a.OnboardFuse)*by)))
		}
	}
}
