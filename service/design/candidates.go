package design

import (
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// pair is a feed and a return cable of one size and make.
type pair struct{ feed, back *catalog.Conductor }

// makeOf is what feed and return must share.
type makeOf struct {
	size       quantity.Size
	material   electrical.Material
	insulation electrical.Insulation
	rating     quantity.Celsius
}

// pairsOf gives the cables that a habit allows, as pairs of feed and return in
// the first colours each size is stocked in; thinnest first, then SKU.
func pairsOf(cat *catalog.Catalog, h catalog.Habit) []pair {
	feeds, backs := map[makeOf][]*catalog.Conductor{}, map[makeOf][]*catalog.Conductor{}
	for i := range cat.Conductors {
		c := &cat.Conductors[i]
		if !allowed(h, c) {
			continue
		}
		key := makeOf{c.Size, c.Material, c.Insulation, c.Rating}
		feeds[key] = keepColour(feeds[key], c, h.FeedColours)
		backs[key] = keepColour(backs[key], c, h.ReturnColours)
	}
	var out []pair
	for key, list := range feeds {
		for _, f := range list {
			for _, b := range backs[key] {
				out = append(out, pair{f, b})
			}
		}
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if aa, ba := a.feed.Size.Area(), b.feed.Size.Area(); aa != ba {
			return aa < ba
		}
		if a.feed.SKU != b.feed.SKU {
			return a.feed.SKU < b.feed.SKU
		}
		return a.back.SKU < b.back.SKU
	})
	return out
}

func allowed(h catalog.Habit, c *catalog.Conductor) bool {
	if h.SizeSystem == catalog.SizesAWG && !c.Size.IsAWG() || h.SizeSystem == catalog.SizesMetric && c.Size.IsAWG() {
		return false
	}
	if c.Rating < h.MinInsulation {
		return false
	}
	for _, m := range h.Materials {
		if m == c.Material {
			return true
		}
	}
	return false
}

// keepColour keeps the conductors of the most preferred colour seen so far.
func keepColour(kept []*catalog.Conductor, c *catalog.Conductor, preferred []string) []*catalog.Conductor {
	rank := colourRank(preferred, c.Colour)
	if rank < 0 {
		return kept
	}
	if len(kept) == 0 {
		return append(kept, c)
	}
	switch best := colourRank(preferred, kept[0].Colour); {
	case rank < best:
		return []*catalog.Conductor{c}
	case rank == best:
		return append(kept, c)
	}
	return kept
}

func colourRank(preferred []string, colour string) int {
	for i, p := range preferred {
		if p == colour {
			return i
		}
	}
	return -1
}

// protection is a fuse in a holder.
type protection struct {
	fuse    *catalog.Fuse
	holder  *catalog.Holder
	figures electrical.FamilyFigures
}

// protectionsOf gives every fuse and holder that go together within a habit, by
// rating, then fuse and holder SKU.
func protectionsOf(cat *catalog.Catalog, h catalog.Habit) []protection {
	holders := map[electrical.Family][]*catalog.Holder{}
	for i := range cat.Holders {
		holders[cat.Holders[i].Family] = append(holders[cat.Holders[i].Family], &cat.Holders[i])
	}
	var out []protection
	for i := range cat.Fuses {
		f := &cat.Fuses[i]
		if !hasFamily(h.Families, f.Family) {
			continue
		}
		figures, _ := electrical.FamilyOf(f.Family)
		for _, holder := range holders[f.Family] {
			if f.Rating >= holder.MinRating && f.Rating <= holder.MaxRating {
				out = append(out, protection{f, holder, figures})
			}
		}
	}
	sort.Slice(out, func(i, j int) bool {
		a, b := out[i], out[j]
		if a.fuse.Rating != b.fuse.Rating {
			return a.fuse.Rating < b.fuse.Rating
		}
		if a.fuse.SKU != b.fuse.SKU {
			return a.fuse.SKU < b.fuse.SKU
		}
		return a.holder.SKU < b.holder.SKU
	})
	return out
}

func hasFamily(families []electrical.Family, f electrical.Family) bool {
	for _, one := range families {
		if one == f {
			return true
		}
	}
	return false
}
