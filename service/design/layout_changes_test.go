package design_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strconv"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// withTwin adds to a file of the folder a twin of one of its parts: another SKU and
// a lower price, all else alike.
func withTwin(t *testing.T, folder fstest.MapFS, file string, random *rand.Rand) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	for name, f := range folder {
		out[name] = f
	}
	rows := readTable(t, folder, file)
	i := 1 + random.IntN(len(rows)-1)
	rows = append(rows, slices.Clone(rows[i]))
	twin := len(rows) - 1
	rows.set(twin, "sku", "TWIN-1")
	rows.times(twin, "price", random.Float64())
	out[file] = rows.file(t)
	return out
}

// withOtherCable adds a gauge that the shop does not stock, in the colours of its
// first cable, at a random price.
func withOtherCable(t *testing.T, folder fstest.MapFS, random *rand.Rand) fstest.MapFS {
	t.Helper()
	out := fstest.MapFS{}
	for name, f := range folder {
		out[name] = f
	}
	all, rows := readTable(t, demoFolder(t), "conductors.csv"), readTable(t, folder, "conductors.csv")
	stocked := func(row []string) bool {
		return slices.ContainsFunc(rows, func(r []string) bool { return r[0] == row[0] })
	}
	start := 1 + random.IntN(len(all)-1)
	for k := range all {
		row := all[(start+k-1)%(len(all)-1)+1]
		if stocked(row) || !strings.HasPrefix(row[0], "CB-") {
			continue
		}
		gauge := row[0][:strings.LastIndex(row[0], "-")]
		for _, r := range all[1:] {
			if strings.HasPrefix(r[0], gauge+"-") {
				rows = append(rows, r)
				rows.set(len(rows)-1, "cost", "")
				rows.times(len(rows)-1, "price", random.Float64())
			}
		}
		break
	}
	out["conductors.csv"] = rows.file(t)
	return out
}

// TestMoreToChooseFromIsNeverDearer: a cheaper twin of any cable, fuse, holder,
// terminal, sleeve or block, or a gauge that was not stocked, never makes a design
// dearer, unless it spares a battery post. (A new rating of fuse may, and so may a
// holder for one: the smallest rating that serves is taken, not the cheapest.)
func TestMoreToChooseFromIsNeverDearer(t *testing.T) {
	files := []string{"conductors.csv", "fuses.csv", "holders.csv", "terminals.csv", "sleeves.csv", "blocks.csv"}
	compared, cheaper := 0, 0
	for shop := range uint64(30) {
		random := rand.New(rand.NewPCG(shop, 909))
		folder := leanFolder(t, random)
		cat := readShop(t, folder)
		more := withOtherCable(t, folder, random)
		if random.IntN(4) > 0 {
			more = withTwin(t, folder, anyone(random, files...), random)
		}
		other := readShop(t, more)
		for n := range 15 {
			v := layoutVehicle(random)
			s := layoutSystem(random, v, 2+random.IntN(3))
			s.Layout = anyone(random, design.AutoLayout, design.AutoLayout, design.TrunkFeeds)
			before, err := design.New(cat).Design(v, s)
			if err != nil {
				continue
			}
			after, err := design.New(other).Design(v, s)
			where := fmt.Sprintf("shop %d job %d", shop, n)
			require.NoError(t, err, where)
			was, is := priceOf(cat, before), priceOf(other, after)
			if is > was {
				assert.True(t, before.Crowded && !after.Crowded || s.Layout == design.TrunkFeeds && len(before.Blocks) < len(after.Blocks),
					"%s: %s was %s", where, outline(after), outline(before))
			}
			compared++
			if is < was {
				cheaper++
			}
		}
	}
	assert.Greater(t, compared, 100)
	assert.Greater(t, cheaper, 5)
}

// TestForbiddingTrunksIsNeverCheaper, but where trunks spare a battery post.
func TestForbiddingTrunksIsNeverCheaper(t *testing.T) {
	compared, dearer := 0, 0
	forAnyJob(t, func(where string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		if s.Layout != design.AutoLayout {
			return
		}
		s.Layout = design.SingleFeeds
		single, err := design.New(cat).Design(v, s)
		if _, ok := unmet(err); ok {
			return
		}
		require.NoError(t, err, where)
		compared++
		assert.Empty(t, single.Blocks, where)
		assert.Empty(t, single.Alternatives, where)
		if single.Crowded && (!got.Crowded || len(v.Batteries) > 1) {
			return
		}
		assert.LessOrEqual(t, priceOf(cat, got), priceOf(cat, single), where)
		if priceOf(cat, got) < priceOf(cat, single) {
			dearer++
		}
	})
	assert.Greater(t, compared, 80)
	assert.Positive(t, dearer, "some trunk pays")
}

// forAnyJob calls check with designs of random jobs in lean shops.
func forAnyJob(t *testing.T, check func(where string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design)) {
	t.Helper()
	for shop := range uint64(15) {
		random := rand.New(rand.NewPCG(shop, 5150))
		cat := leanShop(t, random)
		designer := design.New(cat)
		for n := range 12 {
			v := layoutVehicle(random)
			s := layoutSystem(random, v, 2+random.IntN(5))
			s.Layout = anyone(random, design.AutoLayout, design.AutoLayout, design.TrunkFeeds)
			got, err := designer.Design(v, s)
			if _, ok := unmet(err); ok {
				continue
			}
			require.NoError(t, err)
			check(fmt.Sprintf("shop %d job %d", shop, n), cat, v, s, got)
		}
	}
}

// partsOf lists every circuit with the parts that it is made of.
func partsOf(d *design.Design) []string {
	var out []string
	for _, c := range d.Circuits {
		line := c.ID + " from " + c.FedFrom + " " + c.Protection.Fuse.SKU
		if h := c.Protection.Holder; h != nil {
			line += " " + h.SKU
		}
		for _, r := range c.Runs {
			line += " " + r.Conductor.SKU + " " + strconv.FormatInt(millimetres(float64(r.Length)), 10)
		}
		out = append(out, line)
	}
	for _, b := range d.Blocks {
		out = append(out, b.ID+" "+b.Part.SKU+" "+strconv.Itoa(b.Ways))
	}
	return out
}

// TestOrderOfDevicesChangesNoLayout: nor any part, nor the alternatives.
func TestOrderOfDevicesChangesNoLayout(t *testing.T) {
	random := rand.New(rand.NewPCG(8, 8))
	forAnyJob(t, func(where string, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) {
		s.Devices = slices.Clone(s.Devices)
		random.Shuffle(len(s.Devices), func(i, k int) { s.Devices[i], s.Devices[k] = s.Devices[k], s.Devices[i] })
		other, err := design.New(cat).Design(v, s)
		require.NoError(t, err, where)
		assert.ElementsMatch(t, partsOf(got), partsOf(other), where)
		assert.Equal(t, got.Layout, other.Layout, where)
		assert.Equal(t, got.Crowded, other.Crowded, where)
		assert.Equal(t, priceOf(cat, got), priceOf(cat, other), where)
		require.Len(t, other.Alternatives, len(got.Alternatives), where)
		for i := range got.Alternatives {
			assert.ElementsMatch(t, partsOf(got.Alternatives[i].Design), partsOf(other.Alternatives[i].Design), where)
		}
	})
}
