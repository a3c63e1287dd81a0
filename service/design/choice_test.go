package design_test

import (
	"fmt"
	"slices"
	"testing"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// chosenFiles are those of the parts that a design chooses.
var chosenFiles = []string{"conductors.csv", "fuses.csv", "holders.csv", "blocks.csv", "terminals.csv", "sleeves.csv", "relays.csv", "sundries.csv"}

// withDearer gives the demo shop with so many parts more, each like one of its own but
// for a higher number and price.
func withDearer(t testing.TB, parts int, files ...string) *catalog.Catalog {
	t.Helper()
	folder := demoFolder(t)
	for _, name := range files {
		rows := readTable(t, folder, name)
		own := len(rows) - 1
		for n := range parts / len(files) {
			row := slices.Clone(rows[1+n%own])
			row[0] = fmt.Sprintf("%s-%06d", row[0], n)
			rows = append(rows, row)
			rows.times(len(rows)-1, "price", 1.05+float64(n%40)/10)
		}
		folder[name] = rows.file(t)
	}
	return readShop(t, folder)
}

// TestDearerPartsChangeNothing: what is like another part but dearer is in no design.
func TestDearerPartsChangeNothing(t *testing.T) {
	few, many := demoShop(t), withDearer(t, 4000, chosenFiles...)
	require.Equal(t, few.PartCount()+4000, many.PartCount())
	for _, vehicle := range []string{"camper-van", "open-boat", "service-truck-24v"} {
		want, got := designOf(t, few, vehicle, 12), designOf(t, many, vehicle, 12)
		assert.Equal(t, want, got, vehicle)
	}
}

// TestChoiceKeepsWhatDiffers: a part is left out only for one that is its like, and no
// dearer.
func TestChoiceKeepsWhatDiffers(t *testing.T) {
	many := withDearer(t, 4000, chosenFiles...)
	few := many.Choice()
	own := demoShop(t).Choice()
	assert.Len(t, few.Conductors, len(own.Conductors))
	assert.Len(t, few.Terminals, len(own.Terminals))
	assert.Len(t, few.Sleeves, len(own.Sleeves))
	for i := range many.Terminals {
		left := &many.Terminals[i]
		assert.True(t, slices.ContainsFunc(few.Terminals, func(kept catalog.Terminal) bool {
			dearer := kept.UnitNano > left.UnitNano
			kept.Part = left.Part
			return !dearer && assert.ObjectsAreEqual(*left, kept)
		}), left.SKU)
	}
	for i := range few.Fuses {
		entry, ok := few.Entry(few.Fuses[i].SKU)
		require.True(t, ok)
		assert.Same(t, &few.Fuses[i], entry)
	}
}

// designOf gives the design of a job of small devices all over a vehicle.
func designOf(t testing.TB, cat *catalog.Catalog, vehicle string, devices int) *design.Design {
	t.Helper()
	v, ok := cat.Vehicle(vehicle)
	require.True(t, ok)
	var zones []string
	for _, z := range v.Zones {
		zones = append(zones, z.ID)
	}
	d, err := design.New(cat).Design(&v, manyDevices(zones, devices))
	require.NoError(t, err)
	return d
}

// BenchmarkLargeCatalog sets the design of one job on a catalog of 100,000 parts
// against that on the demo shop, in one run.
func BenchmarkLargeCatalog(b *testing.B) {
	var times []time.Duration
	shops := []*catalog.Catalog{demoShop(b), withDearer(b, 100_000, chosenFiles...)}
	var designers []*design.Designer
	var vehicles []catalog.Vehicle
	var system design.System
	for _, cat := range shops {
		v, ok := cat.Vehicle("camper-van")
		require.True(b, ok)
		var zones []string
		for _, z := range v.Zones {
			zones = append(zones, z.ID)
		}
		system = manyDevices(zones, 10)
		designers, vehicles, times = append(designers, design.New(cat)), append(vehicles, v), append(times, 0)
	}
	for b.Loop() {
		for i, d := range designers {
			start := time.Now()
			_, err := d.Design(&vehicles[i], system)
			require.NoError(b, err)
			times[i] += time.Since(start)
		}
	}
	b.ReportMetric(float64(times[1])/float64(times[0]), "demo-times")
}
