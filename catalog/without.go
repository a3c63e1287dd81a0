package catalog

import "slices"

// Without gives the catalog as it would be if it lacked some parts, by SKU; all else,
// the revision too, stays. The catalog itself does not change.
func (c *Catalog) Without(skus map[string]bool) *Catalog {
	view := *c
	view.index = index{}
	view.Conductors, view.Fuses, view.Holders = keep(c.Conductors, skus), keep(c.Fuses, skus), keep(c.Holders, skus)
	view.Blocks, view.Terminals, view.Sleeves = keep(c.Blocks, skus), keep(c.Terminals, skus), keep(c.Sleeves, skus)
	view.Relays, view.Sundries, view.Equipment, view.Tools = keep(c.Relays, skus), keep(c.Sundries, skus), keep(c.Equipment, skus), keep(c.Tools, skus)
	view.Operations, view.Vehicles = slices.Clone(c.Operations), slices.Clone(c.Vehicles)
	view.enter()
	view.arrange()
	return &view
}

// keep gives a copy of the parts without some of them.
func keep[T any, P interface {
	*T
	entry
}](parts []T, skus map[string]bool) []T {
	kept := make([]T, 0, len(parts))
	for i := range parts {
		if !skus[P(&parts[i]).common().SKU] {
			kept = append(kept, parts[i])
		}
	}
	return kept
}
