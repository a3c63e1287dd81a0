package catalog_test

import (
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/require"
)

// fuzz reads the minimal folder with one file replaced by whatever comes, and
// holds what Read promises for any bytes.
func fuzz(f *testing.F, name string) {
	f.Helper()
	folder := minimal(f)
	sound := folder[name].Data
	f.Add(sound)
	f.Add([]byte(strings.ReplaceAll(string(sound), "\n", "\r\n")))
	f.Add([]byte("\ufeff" + string(sound)))
	f.Add(sound[:len(sound)/2])
	f.Add([]byte{})
	f.Add([]byte("{"))
	f.Fuzz(func(t *testing.T, raw []byte) {
		changed := fstest.MapFS{}
		for n, file := range folder {
			changed[n] = file
		}
		changed[name] = &fstest.MapFile{Data: raw}
		c, err := catalog.Read(changed)
		if err == nil {
			requireSound(t, c)
			return
		}
		require.Nil(t, c)
		var faults catalog.Faults
		require.ErrorAs(t, err, &faults)
		require.NotEmpty(t, faults)
		for _, fault := range faults {
			require.NotEmpty(t, fault.Problem)
			require.NotContains(t, fault.Error(), "\n")
			require.GreaterOrEqual(t, fault.Line, 0)
			require.LessOrEqual(t, fault.Line, strings.Count(string(raw), "\n")+strings.Count(string(raw), "\r")+strings.Count(string(raw), "\u0085")+
				strings.Count(string(raw), "\u2028")+strings.Count(string(raw), "\u2029")+1)
		}
	})
}

// requireSound checks what users of a catalog rely on.
func requireSound(t *testing.T, c *catalog.Catalog) {
	t.Helper()
	require.Len(t, c.Revision, 64)
	for _, k := range c.Conductors {
		require.NoError(t, k.Conductor.Check())
		require.True(t, k.Price.IsPositive())
		require.Positive(t, k.UnitNano)
		require.Less(t, k.BundleDiameter, k.OuterDiameter)
		part, ok := c.Part(k.SKU)
		require.True(t, ok)
		require.Equal(t, k.Part, part)
	}
	for i := range c.Vehicles {
		require.Empty(t, c.Vehicles[i].Check())
	}
	require.NoError(t, c.Shop.Defaults.Check())
	require.Len(t, c.Shop.Habits, 8)
	require.True(t, c.Shop.LabourRate.IsPositive())
}

func FuzzReadCSV(f *testing.F)      { fuzz(f, "conductors.csv") }
func FuzzReadVehicles(f *testing.F) { fuzz(f, "vehicles.yaml") }
func FuzzReadShop(f *testing.F)     { fuzz(f, "shop.yaml") }
