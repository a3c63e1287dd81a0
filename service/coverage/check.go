package coverage

import (
	"errors"
	"fmt"
	"slices"
	"strings"

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
	gaps    map[string]*Finding // by code and figures
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
				f := c.gap(Fault, "unmet."+unfit.Constraint, unfit.Figures...)
				f.Parts = append(f.Parts, g.skus...)
				f.Stops = append(f.Stops, p.names...)
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
	f := c.gap(severity, code, figures...)
	f.Parts = append(f.Parts, g.skus...)
}

// gap gives the finding of a code and figures, a new one where there is none.
func (c *checker) gap(severity Severity, code string, figures ...electrical.Figure) *Finding {
	k := key(code, figures)
	if c.gaps[k] == nil {
		c.gaps[k] = &Finding{Severity: severity, Code: code, Figures: figures}
	}
	return c.gaps[k]
}

func key(code string, figures []electrical.Figure) string {
	var b strings.Builder
	b.WriteString(code)
	for _, f := range figures {
		fmt.Fprintf(&b, "|%s=%v %s %v", f.Key, f.Value, f.Text, f.Size)
	}
	return b.String()
}

// fuses finds fuses that sit in nothing, and holders and blocks without a fuse.
func (c *checker) fuses() {
	for i := range c.cat.Fuses {
		f := &c.cat.Fuses[i]
		if f.Family == electrical.Breaker || c.seated(f) {
			continue
		}
		c.gap(Advice, "check.fuse_without_holder", electrical.Name("fuse_sku", f.SKU), electrical.Num("fuse_a", f.Rating, electrical.UnitA)).Parts = []string{f.SKU}
	}
	for i := range c.cat.Holders {
		h := &c.cat.Holders[i]
		if !slices.ContainsFunc(c.cat.FuseLadder(h.Family), func(f *catalog.Fuse) bool { return f.Rating >= h.MinRating && f.Rating <= h.MaxRating }) {
			c.gap(Advice, "check.holder_without_fuse", electrical.Name("holder_sku", h.SKU)).Parts = []string{h.SKU}
		}
	}
}

// seated tells that a stocked holder, or a block's way, carries the fuse.
func (c *checker) seated(f *catalog.Fuse) bool {
	return slices.ContainsFunc(c.cat.HoldersOf(f.Family), func(h *catalog.Holder) bool { return f.Rating >= h.MinRating && f.Rating <= h.MaxRating }) ||
		slices.ContainsFunc(c.cat.BlocksOf(f.Family), func(b *catalog.Block) bool { return f.Rating <= b.WayMax })
}
