package coverage

import (
	"slices"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// sizedTasks is the labour that goes by the size of the conductor.
var sizedTasks = []catalog.Task{catalog.TaskPull, catalog.TaskCrimpEnd, catalog.TaskSolderAdd, catalog.TaskSplice, catalog.TaskFerrule, catalog.TaskPushOn}

// conductors gives what goes with each stocked conductor; those that are ended
// alike share the work of finding it.
func (c *checker) conductors() []Conductor {
	all := make([]Conductor, 0, len(c.cat.Conductors))
	for _, g := range c.groups {
		k := g.example
		one := Conductor{Size: k.Size, Studs: c.studs(k), Sleeves: c.sleeves(k), Holders: c.holders(k), Blocks: c.blocks(k), Tools: c.tools(k)}
		for _, form := range catalog.Forms() {
			n := len(c.fitting(form, k))
			switch form {
			case catalog.Ferrule:
				one.Ferrules = n
			case catalog.PushOn:
				one.PushOns = n
			case catalog.Butt:
				one.Butts = n
			case catalog.Ring: // told by its studs
			}
		}
		for _, task := range sizedTasks {
			if _, ok := c.cat.Operation(task, k.Size); ok {
				one.Labour = append(one.Labour, task)
			}
		}
		for _, sku := range g.skus {
			one.SKU = sku
			all = append(all, one)
		}
	}
	slices.SortFunc(all, func(a, b Conductor) int {
		switch {
		case a.SKU < b.SKU:
			return -1
		case a.SKU > b.SKU:
			return 1
		}
		return 0
	})
	return all
}

// fitting gives the terminals of a form whose barrel takes the conductor whole.
func (c *checker) fitting(form catalog.Form, k *catalog.Conductor) []*catalog.Terminal {
	var all []*catalog.Terminal
	for _, t := range c.cat.TerminalsFor(form, k.Size) {
		if t.BarrelInner >= k.BundleDiameter {
			all = append(all, t)
		}
	}
	return all
}

// studs gives the studs for which a ring takes the conductor.
func (c *checker) studs(k *catalog.Conductor) []catalog.Stud {
	var all []catalog.Stud
	rings := c.fitting(catalog.Ring, k)
	for _, s := range catalog.Studs() {
		if slices.ContainsFunc(rings, func(t *catalog.Terminal) bool { return s.Admits(t.Hole) }) {
			all = append(all, s)
		}
	}
	return all
}

// sleeves counts the adhesive-lined sleeves that go over the conductor itself.
func (c *checker) sleeves(k *catalog.Conductor) int {
	n := 0
	for _, s := range c.cat.SleeveLadder(true) {
		if termination.SleeveFits(s, k.OuterDiameter, k.OuterDiameter) {
			n++
		}
	}
	return n
}

// offers counts the holders and blocks by where a conductor may land on them.
type offers struct {
	holders map[catalog.Landing]int
	blocks  map[[2]catalog.Landing]int // in and out
}

// collectOffers counts them.
func (c *checker) collectOffers() {
	c.offers = &offers{map[catalog.Landing]int{}, map[[2]catalog.Landing]int{}}
	for i := range c.cat.Holders {
		c.offers.holders[c.cat.Holders[i].Landing]++
	}
	for i := range c.cat.Blocks {
		c.offers.blocks[[2]catalog.Landing{c.cat.Blocks[i].In, c.cat.Blocks[i].Out}]++
	}
}

func (c *checker) holders(k *catalog.Conductor) int {
	n := 0
	for landing, count := range c.offers.holders {
		p := place{landing: landing}
		if p.calls(k.Size) {
			n += count
		}
	}
	return n
}

func (c *checker) blocks(k *catalog.Conductor) int {
	n := 0
	for landings, count := range c.offers.blocks {
		in, out := place{landing: landings[0]}, place{landing: landings[1]}
		if in.calls(k.Size) || out.calls(k.Size) {
			n += count
		}
	}
	return n
}

func (c *checker) tools(k *catalog.Conductor) []string {
	var all []string
	for i := range c.cat.Tools {
		if c.cat.Tools[i].Takes.Includes(k.Size) {
			all = append(all, c.cat.Tools[i].SKU)
		}
	}
	slices.Sort(all)
	return all
}

// curves finds the families whose opening times nobody published and no row of
// the shop states.
func (c *checker) curves() {
	typical := map[electrical.Family][]string{}
	for i := range c.cat.Fuses {
		if f := &c.cat.Fuses[i]; f.CurveSource == "" && f.Curve.Typical {
			typical[f.Family] = append(typical[f.Family], f.SKU)
		}
	}
	for family, skus := range typical {
		c.gap(Advice, "check.typical_curve", electrical.Word("family", family)).finding.Parts = skus
	}
}
