package design_test

import (
	"fmt"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// arrangementOf says what feeds what: battery, the block's zone where there is one,
// device.
func arrangementOf(d *design.Design) string {
	var out []string
	zones := map[string]string{}
	for _, c := range d.Circuits {
		zones[c.ID] = c.FedFrom
		if c.Kind == design.TrunkCircuit {
			zones[c.ID] = c.FedFrom + " at " + c.Zone
		}
	}
	for _, c := range d.Circuits {
		switch c.Kind {
		case design.BranchCircuit:
			out = append(out, zones[c.FedFrom]+" to "+c.ID)
		case design.SingleCircuit:
			out = append(out, c.FedFrom+" to "+c.ID)
		}
	}
	slices.Sort(out)
	return strings.Join(out, "; ")
}

// crowdedPosts counts the terminals on every battery's posts, a sensor's chassis
// side counted as the negative one.
func crowdedPosts(category electrical.Category, d *design.Design) bool {
	posts := map[string]int{}
	for _, c := range d.Circuits {
		if h := c.Protection.Holder; h != nil && h.OnPost() {
			posts["+"+c.FedFrom]++
		}
		for _, r := range c.Runs {
			for _, p := range []design.Point{r.From, r.To} {
				switch p.Kind {
				case design.AtBatteryPositive:
					posts["+"+p.ID]++
				case design.AtBatteryNegative, design.AtSensor:
					posts["-"+p.ID]++
				}
			}
		}
	}
	limit := 3 // MIL-DTL-917F; on boats four, ABYC E-11 (from memory)
	if category == electrical.Boat {
		limit = 4
	}
	for _, n := range posts {
		if n > limit {
			return true
		}
	}
	return false
}

// TestAlternatives: at most two, the cheapest first, each another arrangement than
// the chosen one and than the others, and each that crowds a post says so. The
// chosen one is dearer than an alternative only to spare a post or to have the
// trunk that was asked for.
func TestAlternatives(t *testing.T) {
	some, crowded := 0, 0
	for shop := range uint64(20) {
		random := rand.New(rand.NewPCG(shop, 404))
		cat := leanShop(t, random)
		designer := design.New(cat)
		for n := range 12 {
			v := layoutVehicle(random)
			s := layoutSystem(random, v, 2+random.IntN(6))
			s.Layout = anyone(random, design.AutoLayout, design.TrunkFeeds)
			got, err := designer.Design(v, s)
			if _, ok := unmet(err); ok {
				continue
			}
			require.NoError(t, err)
			where := fmt.Sprintf("shop %d job %d", shop, n)
			assert.Equal(t, crowdedPosts(v.Category, got), got.Crowded, where)
			assert.LessOrEqual(t, len(got.Alternatives), 2, where)
			seen, before := []string{arrangementOf(got)}, int64(0)
			for _, a := range got.Alternatives {
				some++
				d := a.Design
				assert.NotContains(t, seen, arrangementOf(d), where)
				seen = append(seen, arrangementOf(d))
				price := priceOf(cat, d)
				assert.GreaterOrEqual(t, price, before, where)
				before = price
				assert.Equal(t, crowdedPosts(v.Category, d), d.Crowded, where)
				assert.Empty(t, d.Alternatives, where)
				assert.NotEmpty(t, a.Differences, where)
				if d.Crowded {
					crowded++
				}
				if price < priceOf(cat, got) {
					assert.True(t, d.Crowded && len(v.Batteries) > 1 || d.Crowded && !got.Crowded || s.Layout == design.TrunkFeeds, "%s: %s is cheaper than %s", where, outline(d), outline(got))
				}
			}
		}
	}
	assert.Greater(t, some, 200)
	assert.Greater(t, crowded, 20)
}
