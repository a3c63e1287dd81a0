package coverage

import (
	"errors"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// checker is one look through a catalog.
type checker struct {
	cat     *catalog.Catalog
	planner *termination.Planner
	groups  []*group
	places  []*place
	gaps    map[string]*gap // by code and figures
	seats   map[seat]bool   // what carries each sort of fuse is looked for once
	offers  *offers         // where conductors may land, counted once
}

// group is conductors that differ in nothing that an end depends on.
type group struct {
	example *catalog.Conductor
	skus    []string
}

// groupConductors puts together what is ended alike: cables that differ in colour,
// price or maker.
func (c *checker) groupConductors() {
	type ended struct {
		size          quantity.Size
		outer, bundle quantity.Millimetres
		material      electrical.Material
		rating        quantity.Celsius
	}
	seen := map[ended]*group{}
	for i := range c.cat.Conductors {
		k := &c.cat.Conductors[i]
		key := ended{k.Size, k.OuterDiameter, k.BundleDiameter, k.Material, k.Rating}
		if seen[key] == nil {
			seen[key] = &group{example: k}
			c.groups = append(c.groups, seen[key])
		}
		seen[key].skus = append(seen[key].skus, k.SKU)
	}
}

// power tells that a conductor is thick enough to feed anything; what is thinner
// serves signals (18 AWG, the smallest power run in a cabin).
func power(size quantity.Size) bool { return !catalog.Thinner(size, quantity.AWG(18)) }

// categories gives the categories of vehicle in which a conductor is a candidate,
// of all but boats the first: only boats make their ends differently.
func (c *checker) categories(k *catalog.Conductor) []electrical.Category {
	var all []electrical.Category
	ashore := false
	for _, category := range electrical.Categories() {
		if !c.cat.Shop.Habits[category].Admits(k) || category != electrical.Boat && ashore {
			continue
		}
		ashore = ashore || category != electrical.Boat
		all = append(all, category)
	}
	return all
}

// ends plans the end of a conductor at every place that would call for it.
func (c *checker) ends(g *group) {
	if !power(g.example.Size) {
		return
	}
	anywhere := c.categories(g.example)
	for _, p := range c.places {
		if !p.calls(g.example.Size) {
			continue
		}
		categories := anywhere
		if p.category != "" {
			categories = nil
			if c.cat.Shop.Habits[p.category].Admits(g.example) {
				categories = []electrical.Category{p.category}
			}
		}
		for _, category := range categories {
			_, err := c.planner.Plan(termination.Joint{Landing: p.landing, Conductor: g.example, Category: category, Environment: electrical.Cabin, Battery: p.battery})
			var unfit *termination.Unfit
			if errors.As(err, &unfit) {
				c.gap(Fault, "unmet."+unfit.Constraint, unfit.Figures...).stop(g, p)
			}
		}
	}
}

// bare finds conductors that lack what every run takes, wherever it lands.
func (c *checker) bare(g *group) {
	k := g.example
	if !power(k.Size) || len(c.categories(k)) == 0 {
		return
	}
	size := electrical.SizeFigure("conductor", k.Size)
	if _, ok := c.cat.Operation(catalog.TaskPull, k.Size); !ok {
		c.about(g, Fault, "unmet.labour", electrical.Word("task", catalog.TaskPull), size)
	}
	if len(c.studs(k)) == 0 {
		c.about(g, Fault, "check.no_ring", size)
	}
	if c.holders(k)+c.blocks(k) == 0 {
		c.about(g, Advice, "check.no_holder", size)
	}
}

func (c *checker) about(g *group, severity Severity, code string, figures ...electrical.Figure) {
	c.gap(severity, code, figures...).stop(g, nil)
}
