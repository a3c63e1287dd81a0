package coverage

import (
	"slices"
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// seat is what a fuse's seat depends on.
type seat struct {
	family electrical.Family
	rating quantity.Amps
}

// fuses finds fuses that sit in nothing, and holders and blocks without a fuse.
func (c *checker) fuses() {
	c.seats = map[seat]bool{}
	for i := range c.cat.Fuses {
		f := &c.cat.Fuses[i]
		if f.Family == electrical.Breaker || c.seated(f) {
			continue
		}
		c.gap(Advice, "check.fuse_without_holder", electrical.Name("fuse_sku", f.SKU), electrical.Num("fuse_a", f.Rating, electrical.UnitA)).finding.Parts = []string{f.SKU}
	}
	for i := range c.cat.Holders {
		if h := &c.cat.Holders[i]; !c.filled(h) {
			c.gap(Advice, "check.holder_without_fuse", electrical.Name("holder_sku", h.SKU)).finding.Parts = []string{h.SKU}
		}
	}
}

// seated tells that a stocked holder, or a block's way, carries the fuse.
func (c *checker) seated(f *catalog.Fuse) bool {
	key := seat{f.Family, f.Rating}
	if known, ok := c.seats[key]; ok {
		return known
	}
	c.seats[key] = slices.ContainsFunc(c.cat.HoldersOf(f.Family), func(h *catalog.Holder) bool { return f.Rating >= h.MinRating && f.Rating <= h.MaxRating }) ||
		slices.ContainsFunc(c.cat.BlocksOf(f.Family), func(b *catalog.Block) bool { return f.Rating <= b.WayMax })
	return c.seats[key]
}

// filled tells that a stocked fuse belongs in the holder: the smallest that is not too
// small, if any.
func (c *checker) filled(h *catalog.Holder) bool {
	ladder := c.cat.FuseLadder(h.Family)
	i := sort.Search(len(ladder), func(i int) bool { return ladder[i].Rating >= h.MinRating })
	return i < len(ladder) && ladder[i].Rating <= h.MaxRating
}
