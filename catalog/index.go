package catalog

import (
	"cmp"
	"fmt"
	"slices"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// entry is a part of any kind.
type entry interface{ common() *Part }

func (p *Part) common() *Part { return p }

// index is every lookup of a catalog that would otherwise go through all parts.
type index struct {
	entries    map[string]entry
	tasks      map[Task][]*Operation // narrowest band first
	fits       []*Operation          // fewest kinds first
	fuses      map[electrical.Family][]*Fuse
	holders    map[electrical.Family][]*Holder
	blocks     map[electrical.Family][]*Block
	conductors map[string][]*Conductor // by habitKeyOf the shop's habits
	terminals  map[quantity.Size]map[Form][]*Terminal
	sleeves    map[bool][]*Sleeve
	relays     map[quantity.Volts][]*Relay
	sundries   map[Use][]*Sundry
	tools      map[Form][]*Tool
}

func compare(a, b string) int { return strings.Compare(a, b) }

// arrange sorts the parts and builds the lookups; afterwards nothing moves.
func (c *Catalog) arrange() {
	c.index.entries = make(map[string]entry, len(c.Conductors)+len(c.Fuses)+len(c.Holders)+len(c.Blocks)+len(c.Terminals)+len(c.Sleeves)+
		len(c.Relays)+len(c.Sundries)+len(c.Equipment)+len(c.Tools))
	c.Conductors = enter(c, c.Conductors)
	c.Fuses = enter(c, c.Fuses)
	c.Holders = enter(c, c.Holders)
	c.Blocks = enter(c, c.Blocks)
	c.Terminals = enter(c, c.Terminals)
	c.Sleeves = enter(c, c.Sleeves)
	c.Relays = enter(c, c.Relays)
	c.Sundries = enter(c, c.Sundries)
	c.Equipment = enter(c, c.Equipment)
	c.Tools = enter(c, c.Tools)
	slices.SortFunc(c.Operations, func(a, b Operation) int { return compare(a.Code, b.Code) })
	slices.SortFunc(c.Vehicles, func(a, b Vehicle) int { return compare(a.ID, b.ID) })
	c.indexLabour()
	c.indexParts()
	c.indexConductors()
}

// enter gives the parts of one kind sorted by SKU, and enters them by it. Pointers are
// sorted and each part is moved once: parts are large.
func enter[T any, P interface {
	*T
	entry
}](c *Catalog, parts []T) []T {
	order := make([]P, len(parts))
	for i := range parts {
		order[i] = P(&parts[i])
	}
	bySKU := func(a, b P) int { return compare(a.common().SKU, b.common().SKU) }
	if !slices.IsSortedFunc(order, bySKU) || cap(parts) > len(parts)+len(parts)/8 {
		slices.SortFunc(order, bySKU)
		sorted := make([]T, len(parts))
		for i, p := range order {
			sorted[i] = *p
		}
		parts = sorted
	}
	for i := range parts {
		p := P(&parts[i])
		c.index.entries[p.common().SKU] = p
	}
	return parts
}

// group sorts pointers to the items under their key: by the given order, then
// by unit price, then by SKU.
func group[K comparable, T any, P interface {
	*T
	entry
}](items []T, key func(P) K, order func(a, b P) int) map[K][]P {
	groups := map[K][]P{}
	for i := range items {
		p := P(&items[i])
		groups[key(p)] = append(groups[key(p)], p)
	}
	for _, g := range groups {
		slices.SortFunc(g, func(a, b P) int { return cmp.Or(order(a, b), cheaper(a, b)) })
	}
	return groups
}

func cheaper[P entry](a, b P) int {
	return cmp.Or(cmp.Compare(a.common().UnitNano, b.common().UnitNano), compare(a.common().SKU, b.common().SKU))
}

func (c *Catalog) indexLabour() {
	c.index.tasks = map[Task][]*Operation{}
	for i := range c.Operations {
		o := &c.Operations[i]
		if o.Task == TaskFitDevice {
			c.index.fits = append(c.index.fits, o)
		}
		c.index.tasks[o.Task] = append(c.index.tasks[o.Task], o)
	}
	for _, ops := range c.index.tasks {
		slices.SortFunc(ops, func(a, b *Operation) int {
			none := Range{}
			switch {
			case (a.Takes == none) != (b.Takes == none):
				if a.Takes == none {
					return 1
				}
				return -1
			default:
				return cmp.Or(cmp.Compare(a.Takes.width(), b.Takes.width()), compare(a.Code, b.Code))
			}
		})
	}
	slices.SortFunc(c.index.fits, func(a, b *Operation) int {
		return cmp.Or(cmp.Compare(len(a.Devices), len(b.Devices)), compare(a.Code, b.Code))
	})
}

// width is the copper area that a band spans.
func (r Range) width() quantity.SquareMillimetres { return r.Max.Area() - r.Min.Area() }

func (c *Catalog) indexParts() {
	x := &c.index
	x.fuses = group(c.Fuses, func(f *Fuse) electrical.Family { return f.Family },
		func(a, b *Fuse) int { return cmp.Compare(a.Rating, b.Rating) })
	x.holders = group(c.Holders, func(h *Holder) electrical.Family { return h.Family },
		func(a, b *Holder) int { return cmp.Compare(a.MaxRating, b.MaxRating) })
	x.blocks = group(c.Blocks, func(b *Block) electrical.Family { return b.Family },
		func(a, b *Block) int { return cmp.Compare(a.Ways, b.Ways) })
	x.sleeves = group(c.Sleeves, func(s *Sleeve) bool { return s.Adhesive },
		func(a, b *Sleeve) int { return cmp.Compare(a.Supplied, b.Supplied) })
	x.relays = group(c.Relays, func(r *Relay) quantity.Volts { return r.CoilV },
		func(a, b *Relay) int { return cmp.Compare(a.Contact, b.Contact) })
	x.sundries = group(c.Sundries, func(s *Sundry) Use { return s.Use },
		func(a, b *Sundry) int { return cmp.Compare(a.Inner, b.Inner) })
	x.tools = map[Form][]*Tool{}
	for i := range c.Tools {
		for _, f := range c.Tools[i].Forms {
			x.tools[f] = append(x.tools[f], &c.Tools[i])
		}
	}
	for _, tools := range x.tools {
		slices.SortStableFunc(tools, func(a, b *Tool) int { // by SKU before
			switch {
			case a.Repeat == b.Repeat:
				return 0
			case a.Repeat:
				return -1
			default:
				return 1
			}
		})
	}
}

func (c *Catalog) indexConductors() {
	c.index.conductors = map[string][]*Conductor{}
	for _, h := range c.Shop.Habits {
		if key := habitKeyOf(h); c.index.conductors[key] == nil {
			c.index.conductors[key] = c.conductorsFor(h)
		}
	}
	c.index.terminals = map[quantity.Size]map[Form][]*Terminal{}
	spans := make([]areaSpan, len(c.Terminals)) // the areas of a gauge are powers, which take long
	for i := range c.Terminals {
		spans[i] = c.Terminals[i].Takes.areas()
	}
	for i := range c.Conductors {
		size := c.Conductors[i].Size
		if c.index.terminals[size] != nil {
			continue
		}
		area := size.Area()
		c.index.terminals[size] = c.terminalsThat(func(i int) bool { return !size.IsZero() && spans[i].includes(area) })
	}
}

// habitKeyOf tells habits apart by what ConductorsFor looks at.
func habitKeyOf(h Habit) string {
	return fmt.Sprintf("%q %s %v", h.Materials, h.SizeSystem, float64(h.MinInsulation))
}

// conductorsFor goes through all conductors.
func (c *Catalog) conductorsFor(h Habit) []*Conductor {
	var found []*Conductor
	for i := range c.Conductors {
		if k := &c.Conductors[i]; h.Admits(k) {
			found = append(found, k)
		}
	}
	slices.SortFunc(found, func(a, b *Conductor) int {
		return cmp.Or(cmp.Compare(a.Size.Area(), b.Size.Area()), cheaper(a, b))
	})
	return found
}

// Admits tells whether a conductor is a candidate, its colour apart.
func (h Habit) Admits(c *Conductor) bool {
	system := h.SizeSystem == SizesBoth || (h.SizeSystem == SizesAWG) == c.Size.IsAWG()
	return system && c.Rating >= h.MinInsulation && slices.Contains(h.Materials, c.Material)
}

// terminalsFor goes through all terminals.
func (c *Catalog) terminalsFor(size quantity.Size) map[Form][]*Terminal {
	return c.terminalsThat(func(i int) bool { return c.Terminals[i].Takes.Includes(size) })
}

// terminalsThat gives the terminals, told by their places, that take a conductor.
func (c *Catalog) terminalsThat(take func(i int) bool) map[Form][]*Terminal {
	found := map[Form][]*Terminal{}
	for i := range c.Terminals {
		if take(i) {
			t := &c.Terminals[i]
			found[t.Form] = append(found[t.Form], t)
		}
	}
	for _, terminals := range found {
		slices.SortFunc(terminals, cheaper)
	}
	return found
}
