package catalog_test

import (
	"fmt"
	"math/big"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// sizes is what the random catalogs are made of, thinnest first.
var sizes = []string{"18 AWG", "1.5 mm2", "14 AWG", "10 AWG", "6 mm2", "8 AWG", "16 mm2", "4 AWG", "35 mm2", "1/0 AWG"}

// price draws a price and gives its text.
func price(r *rapid.T) string {
	cents := rapid.IntRange(1, 500).Draw(r, "cents")
	return fmt.Sprintf("%d.%02d", cents/100, cents%100)
}

// file writes random rows under a file's full header.
func file(folder fstest.MapFS, name string, rows []string) {
	text := strings.Join(catalog.Columns(name), ",") + "\n" + strings.Join(rows, "\n") + "\n"
	folder[name] = &fstest.MapFile{Data: []byte(text)}
}

// band draws two sizes in order.
func band(r *rapid.T) (smallest, largest string) {
	i := rapid.IntRange(0, len(sizes)-1).Draw(r, "smallest")
	return sizes[i], sizes[rapid.IntRange(i, len(sizes)-1).Draw(r, "largest")]
}

// random gives a sound folder with random parts and labour.
func random(t *testing.T, r *rapid.T) fstest.MapFS {
	t.Helper()
	folder := minimal(t)
	rows := func(what string, row func(n int) string) []string {
		var all []string
		for n := range rapid.IntRange(0, 25).Draw(r, what) {
			all = append(all, row(n))
		}
		return all
	}
	word := func(words ...string) string { return rapid.SampledFrom(words).Draw(r, "word") }
	file(folder, "conductors.csv", rows("conductors", func(n int) string {
		return fmt.Sprintf("C%d,cable,%s,,metre,,,%s,%s,pvc,%s,%s,30,20,,", n, price(r), word(sizes...),
			word("copper", "tinned_copper", "copper_clad_aluminium"), word("60", "80", "105"), word("red", "black"))
	}))
	file(folder, "fuses.csv", rows("fuses", func(n int) string {
		return fmt.Sprintf("F%d,fuse,%s,,each,,,%s,%s,,,", n, price(r), word("blade", "maxi", "anl"), word("5", "10", "60"))
	}))
	file(folder, "terminals.csv", rows("terminals", func(n int) string {
		smallest, largest := band(r)
		return fmt.Sprintf("T%d,terminal,%s,,each,,,%s,%s,%s,,,,10,12,20,closed,,", n, price(r), word("ferrule", "butt"), smallest, largest)
	}))
	file(folder, "tools.csv", rows("tools", func(n int) string {
		smallest, largest := band(r)
		return fmt.Sprintf("X%d,tool,%s,%s,%s,ratchet,,%s", n, word("ring", "butt", "ferrule butt"), smallest, largest, word("yes", "no"))
	}))
	labour := rows("labour", func(n int) string {
		smallest, largest := band(r)
		if rapid.Bool().Draw(r, "all") {
			smallest, largest = "", ""
		}
		return fmt.Sprintf("L%d,%s,work,%d,each,%s,%s,,,", n, word("crimp_end", "ferrule"), n+1, smallest, largest)
	})
	labour = append(labour, rows("fits", func(n int) string {
		return fmt.Sprintf("D%d,fit_device,work,5,each,,,%s,,", n, word("", "pump", "pump fan", "fan light pump"))
	})...)
	file(folder, "labour.csv", append(labour, "ACCESS-SEAT,access,seat,5,job,,,,,"))
	return folder
}

// skus gives the SKUs of parts in their order.
func skus[P any](parts []P, sku func(P) string) []string {
	all := []string{}
	for _, p := range parts {
		all = append(all, sku(p))
	}
	return all
}

func anySize(r *rapid.T) quantity.Size {
	s, err := quantity.ParseSize(rapid.SampledFrom(append([]string{"2 AWG", "0.75 mm2"}, sizes...)).Draw(r, "size"))
	require.NoError(r, err)
	return s
}

// TestLookupsAgreeWithScans holds every index against a pass over all parts.
func TestLookupsAgreeWithScans(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := read(t, random(t, r))
		size := anySize(r)

		for i := range c.Conductors {
			want := &c.Conductors[i]
			got, ok := c.Entry(want.SKU)
			require.True(r, ok)
			assert.Same(r, want, got)
			part, ok := c.Part(want.SKU)
			require.True(r, ok)
			assert.Equal(r, want.Part, part)
		}

		family := rapid.SampledFrom([]electrical.Family{electrical.Blade, electrical.Maxi, electrical.ANL}).Draw(r, "family")
		var fuses []catalog.Fuse
		for _, f := range c.Fuses {
			if f.Family == family {
				fuses = append(fuses, f)
			}
		}
		slices.SortStableFunc(fuses, func(a, b catalog.Fuse) int { // SKU order before
			if a.Rating != b.Rating {
				return int(a.Rating - b.Rating)
			}
			return int(a.UnitNano - b.UnitNano)
		})
		assert.Equal(r, skus(fuses, func(f catalog.Fuse) string { return f.SKU }),
			skus(c.FuseLadder(family), func(f *catalog.Fuse) string { return f.SKU }))

		form := rapid.SampledFrom([]catalog.Form{catalog.Ferrule, catalog.Butt}).Draw(r, "form")
		var terminals []catalog.Terminal
		for _, x := range c.Terminals {
			if x.Form == form && x.Takes.Includes(size) {
				terminals = append(terminals, x)
			}
		}
		slices.SortStableFunc(terminals, func(a, b catalog.Terminal) int { return int(a.UnitNano - b.UnitNano) })
		assert.Equal(r, skus(terminals, func(x catalog.Terminal) string { return x.SKU }),
			skus(c.TerminalsFor(form, size), func(x *catalog.Terminal) string { return x.SKU }))

		tools := []string{}
		for _, repeat := range []bool{true, false} {
			for _, x := range c.Tools {
				if x.Repeat == repeat && slices.Contains(x.Forms, form) && x.Takes.Includes(size) {
					tools = append(tools, x.SKU)
				}
			}
		}
		assert.Equal(r, tools, skus(c.ToolsFor(form, size), func(x *catalog.Tool) string { return x.SKU }))
	})
}

func TestConductorsForAgreesWithScan(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := read(t, random(t, r))
		habit := c.Shop.Habits[rapid.SampledFrom(electrical.Categories()).Draw(r, "category")]
		if rapid.Bool().Draw(r, "foreign") { // a habit that is not indexed
			habit = catalog.Habit{Materials: []electrical.Material{electrical.CopperClad}, SizeSystem: catalog.SizesAWG, MinInsulation: 60}
		}
		var want []catalog.Conductor
		for _, k := range c.Conductors {
			metricOrAWG := habit.SizeSystem == catalog.SizesBoth || k.Size.IsAWG()
			if metricOrAWG && slices.Contains(habit.Materials, k.Material) && k.Rating >= habit.MinInsulation {
				want = append(want, k)
			}
		}
		slices.SortStableFunc(want, func(a, b catalog.Conductor) int {
			switch {
			case a.Size.Area() < b.Size.Area():
				return -1
			case a.Size.Area() > b.Size.Area():
				return 1
			}
			return int(a.UnitNano - b.UnitNano)
		})
		assert.Equal(r, skus(want, func(k catalog.Conductor) string { return k.SKU }),
			skus(c.ConductorsFor(habit), func(k *catalog.Conductor) string { return k.SKU }))
	})
}

func TestOperationAgreesWithScan(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := read(t, random(t, r))
		size := anySize(r)
		var best *catalog.Operation
		for i := range c.Operations { // by code, so that the first of equals stays
			o := &c.Operations[i]
			whole := o.Takes == catalog.Range{}
			if o.Task != catalog.TaskCrimpEnd || !whole && !o.Takes.Includes(size) {
				continue
			}
			if best == nil || narrower(o.Takes, best.Takes) {
				best = o
			}
		}
		got, ok := c.Operation(catalog.TaskCrimpEnd, size)
		assert.Equal(r, best != nil, ok)
		assert.Equal(r, best, got)

		none, ok := c.Operation(catalog.TaskCrimpEnd, quantity.Size{})
		if ok {
			assert.Equal(r, catalog.Range{}, none.Takes)
		}
	})
}

func narrower(a, b catalog.Range) bool {
	if (a == catalog.Range{}) || (b == catalog.Range{}) {
		return a != catalog.Range{} && b == catalog.Range{}
	}
	return a.Max.Area()-a.Min.Area() < b.Max.Area()-b.Min.Area()
}

func TestFitOperationAgreesWithScan(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		c := read(t, random(t, r))
		kind := rapid.SampledFrom([]electrical.DeviceKind{electrical.Pump, electrical.Fan, electrical.Light, electrical.Winch}).Draw(r, "kind")
		var named, rest []string
		for _, o := range c.Operations {
			switch {
			case o.Task != catalog.TaskFitDevice:
			case slices.Contains(o.Devices, kind):
				named = append(named, fmt.Sprintf("%d %s", len(o.Devices), o.Code))
			case len(o.Devices) == 0:
				rest = append(rest, fmt.Sprintf("0 %s", o.Code))
			}
		}
		slices.Sort(named)
		slices.Sort(rest)
		got, ok := c.FitOperation(kind)
		if want := slices.Concat(named, rest); len(want) > 0 {
			require.True(r, ok)
			assert.Equal(r, want[0], fmt.Sprintf("%d %s", len(got.Devices), got.Code))
			return
		}
		assert.False(r, ok)
	})
}

func TestLookupsOfOneKind(t *testing.T) {
	c := read(t, minimal(t))
	assert.Equal(t, "HO-BS-M5", c.HoldersOf(electrical.BoltSmall)[0].SKU)
	assert.Empty(t, c.HoldersOf(electrical.ANL))
	assert.Equal(t, "BL-BD-06", c.BlocksOf(electrical.Blade)[0].SKU)
	assert.Empty(t, c.BlocksOf(""), "no plain block")
	assert.Equal(t, "HS-12-04", c.SleeveLadder(true)[0].SKU)
	assert.Empty(t, c.SleeveLadder(false))
	assert.Equal(t, "RY-40-12", c.RelaysFor(12)[0].SKU)
	assert.Empty(t, c.RelaysFor(24))
	assert.Equal(t, "LM-10", c.SundriesFor(catalog.UseLoom)[0].SKU)
	device, ok := c.Device("EQ-FRG-40")
	require.True(t, ok)
	assert.Equal(t, electrical.Load{Current: 5, Behaviour: electrical.ConstantPower}, device.Load)
	_, ok = c.Device("LM-10")
	assert.False(t, ok, "a part of another kind")
	_, ok = c.Part("NONE")
	assert.False(t, ok)
	entry, ok := c.Entry("NONE")
	assert.False(t, ok)
	assert.Nil(t, entry)
	sedan, ok := c.Vehicle("sedan")
	require.True(t, ok)
	assert.Equal(t, "Sedan", sedan.Label)
	_, ok = c.Vehicle("saloon")
	assert.False(t, ok)
	o, ok := c.OperationByCode("CRIMP-ANY")
	require.True(t, ok)
	assert.Equal(t, int64(13_500), o.MilliMinutes)
	_, ok = c.OperationByCode("CRIMP")
	assert.False(t, ok)
}

// TestUnitNano holds the unit price against exact fractions.
func TestUnitNano(t *testing.T) {
	rapid.Check(t, func(r *rapid.T) {
		cents := rapid.Int64Range(1, 100_000_000).Draw(r, "cents")
		pack := rapid.Int64Range(1, 1000).Draw(r, "pack")
		folder := minimal(t)
		text := fmt.Sprintf("%d.%02d", cents/100, cents%100)
		file(folder, "fuses.csv", []string{fmt.Sprintf("F,fuse,%s,,pack,%d,,blade,5,,,", text, pack)})
		file(folder, "sleeves.csv", []string{fmt.Sprintf("S,sleeve,%s,,foot,,,12,4,yes,,", text), fmt.Sprintf("M,sleeve,%s,,metre,,,12,4,yes,,", text)})
		c := read(t, folder)

		assert.Equal(r, nearestNano(big.NewRat(cents, 100*pack)), c.Fuses[0].UnitNano)
		assert.Equal(r, cents*10_000_000, c.Sleeves[0].UnitNano, "per metre")
		assert.Equal(r, nearestNano(big.NewRat(cents*100, 3048)), c.Sleeves[1].UnitNano, "per foot of 0.3048 m")
	})
}

// nearestNano rounds a price to billionths, half up, by decimal text.
func nearestNano(price *big.Rat) int64 {
	n, _ := new(big.Int).SetString(strings.ReplaceAll(price.FloatString(9), ".", ""), 10)
	return n.Int64()
}
