package demo_test

import (
	"slices"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// largestSingle is what the largest cable on the shelf carries: 4/0 AWG, 105 °C,
// 33 CFR 183.425 Table 5. Fuses above it are sold as spares for what others
// built with cables in parallel; no new circuit gets one.
const largestSingle quantity.Amps = 445

func TestEveryFuseHasAHolderAndACableForIt(t *testing.T) {
	c := read(t)
	for i := range c.Fuses {
		f := &c.Fuses[i]
		var carriers []*catalog.Holder
		for _, h := range c.HoldersOf(f.Family) {
			if f.Rating >= h.MinRating && f.Rating <= h.MaxRating {
				carriers = append(carriers, h)
			}
		}
		require.NotEmpty(t, carriers, "%s: no holder", f.SKU)
		if f.Rating <= largestSingle {
			assert.True(t, slices.ContainsFunc(carriers, func(h *catalog.Holder) bool { return cableFor(t, c, f, h) != nil }),
				"%s: no holder takes a cable of its ampacity", f.SKU)
		}
	}
}

// cableFor gives a copper cable of a habit that the fuse protects and that the
// holder takes, nil without one.
func cableFor(t *testing.T, c *catalog.Catalog, f *catalog.Fuse, h *catalog.Holder) *catalog.Conductor {
	t.Helper()
	for _, k := range c.ConductorsFor(c.Shop.Habits[electrical.Car]) {
		iz, err := electrical.Ampacity(k.Conductor, electrical.Surroundings{})
		require.NoError(t, err, k.SKU)
		if iz >= f.Rating && h.Landing.Admits(k.Size) && lands(c, k.Size, h.Landing) {
			return k
		}
	}
	return nil
}

// lands tells whether the catalog has the terminal that a landing asks for.
func lands(c *catalog.Catalog, s quantity.Size, l catalog.Landing) bool {
	switch l.Kind {
	case catalog.OnStud:
		return ringFor(c, s, l.Stud) != nil
	case catalog.OnSetScrew:
		return len(c.TerminalsFor(catalog.Ferrule, s)) > 0
	case catalog.OnBlade:
		return slices.ContainsFunc(c.TerminalsFor(catalog.PushOn, s), func(t *catalog.Terminal) bool { return t.TabWidth == l.TabWidth })
	default:
		return len(c.TerminalsFor(catalog.Butt, s)) > 0
	}
}

func TestEveryLandingTakesEveryCableItAdmits(t *testing.T) {
	c := read(t)
	landings := map[string]catalog.Landing{}
	for _, h := range c.Holders {
		landings[h.SKU] = h.Landing
	}
	for _, b := range c.Blocks {
		landings[b.SKU+" in"], landings[b.SKU+" out"] = b.In, b.Out
	}
	for sku, l := range landings {
		for _, k := range c.Conductors {
			if k.Size.IsAWG() && l.Admits(k.Size) {
				assert.True(t, lands(c, k.Size, l), "%s: no terminal for %v", sku, k.Size)
			}
		}
	}
}

func TestEquipmentTakesTheLargestCableItStates(t *testing.T) {
	c := read(t)
	for _, e := range c.Equipment {
		for _, l := range []catalog.Landing{e.Positive, e.Negative} {
			if !l.Largest.IsZero() {
				assert.True(t, lands(c, l.Largest, l), "%s: no terminal for %v", e.SKU, l.Largest)
			}
		}
	}
}

func TestBatteriesAndGroundsTakeBatteryCable(t *testing.T) {
	c := read(t)
	for _, v := range c.Vehicles {
		var studs []catalog.Stud
		for _, b := range v.Batteries {
			studs = append(studs, b.Stud)
		}
		for _, z := range v.Zones {
			if z.GroundStud != "" {
				studs = append(studs, z.GroundStud)
			}
		}
		for _, stud := range studs {
			for _, k := range c.ConductorsFor(c.Shop.Habits[v.Category]) {
				// M6 is a small battery's or a dashboard's stud: cable up to 1/0 AWG.
				if stud == "M6" && catalog.Thinner(quantity.AWG(0), k.Size) {
					continue
				}
				assert.NotNil(t, ringFor(c, k.Size, stud), "%s: %v has no ring for %s", v.ID, k.Size, stud)
			}
		}
	}
}

func TestEveryHabitHasFamiliesAndColoursOnTheShelf(t *testing.T) {
	c := read(t)
	for category, h := range c.Shop.Habits {
		for _, family := range h.Families {
			assert.NotEmpty(t, c.FuseLadder(family), "%s: no %s fuse", category, family)
			assert.True(t, slices.ContainsFunc(c.HoldersOf(family), func(h *catalog.Holder) bool { return h.Sealed }),
				"%s: no sealed %s holder", category, family)
		}
		stocked := map[quantity.Size][]string{}
		for _, k := range c.ConductorsFor(h) {
			stocked[k.Size] = append(stocked[k.Size], k.Colour)
		}
		require.NotEmpty(t, stocked, category)
		for size, colours := range stocked {
			if !catalog.Thinner(size, quantity.AWG(18)) { // thinner is trigger wire, in its own colour
				assert.Contains(t, colours, h.FeedColours[0], "%s: %v", category, size)
				assert.Contains(t, colours, h.ReturnColours[0], "%s: %v", category, size)
			}
		}
	}
}
