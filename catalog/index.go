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
	parts      directory
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

// enter sorts the parts and makes their directory; false where an SKU is there twice.
// Afterwards nothing moves.
func (c *Catalog) enter() (once bool) {
	together(
		func() { c.Conductors = bySKU(c.Conductors) },
		func() { c.Fuses = bySKU(c.Fuses) },
		func() { c.Holders = bySKU(c.Holders) },
		func() { c.Blocks = bySKU(c.Blocks) },
		func() { c.Terminals = bySKU(c.Terminals) },
		func() { c.Sleeves = bySKU(c.Sleeves) },
		func() { c.Relays = bySKU(c.Relays) },
		func() { c.Sundries = bySKU(c.Sundries) },
		func() { c.Equipment = bySKU(c.Equipment) },
		func() { c.Tools = bySKU(c.Tools) },
	)
	slices.SortFunc(c.Operations, func(a, b Operation) int { return compare(a.Code, b.Code) })
	slices.SortFunc(c.Vehicles, func(a, b Vehicle) int { return compare(a.ID, b.ID) })
	return c.index.parts.enter(c)
}

// arrange builds the lookups of a catalog without faults.
func (c *Catalog) arrange() {
	x := &c.index
	together(
		c.indexLabour, c.indexTools, c.indexConductors, c.indexTerminals,
		func() {
			x.fuses = group(c.Fuses, func(f *Fuse) electrical.Family { return f.Family }, func(f *Fuse) float64 { return float64(f.Rating) })
		},
		func() {
			x.holders = group(c.Holders, func(h *Holder) electrical.Family { return h.Family }, func(h *Holder) float64 { return float64(h.MaxRating) })
		},
		func() {
			x.blocks = group(c.Blocks, func(b *Block) electrical.Family { return b.Family }, func(b *Block) float64 { return float64(b.Ways) })
		},
		func() {
			x.sleeves = group(c.Sleeves, func(s *Sleeve) bool { return s.Adhesive }, func(s *Sleeve) float64 { return float64(s.Supplied) })
		},
		func() {
			x.relays = group(c.Relays, func(r *Relay) quantity.Volts { return r.CoilV }, func(r *Relay) float64 { return float64(r.Contact) })
		},
		func() {
			x.sundries = group(c.Sundries, func(s *Sundry) Use { return s.Use }, func(s *Sundry) float64 { return float64(s.Inner) })
		},
	)
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

func (c *Catalog) indexTools() {
	x := &c.index
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
}

// indexTerminals finds the terminals for every size of the catalog's own conductors.
func (c *Catalog) indexTerminals() {
	c.index.terminals = map[quantity.Size]map[Form][]*Terminal{}
	cheapest := inOrder(c.Terminals, every[*Terminal], func(*Terminal) float64 { return 0 })
	spans := make([]areaSpan, len(cheapest)) // the areas of a gauge are powers, which take long
	for i, t := range cheapest {
		spans[i] = t.Takes.areas()
	}
	for i := range c.Conductors {
		size := c.Conductors[i].Size
		if c.index.terminals[size] != nil {
			continue
		}
		byForm, area := map[Form][]*Terminal{}, size.Area()
		for i, t := range cheapest {
			if !size.IsZero() && spans[i].includes(area) {
				byForm[t.Form] = append(byForm[t.Form], t)
			}
		}
		c.index.terminals[size] = byForm
	}
}

// habitKeyOf tells habits apart by what ConductorsFor looks at.
func habitKeyOf(h Habit) string {
	return fmt.Sprintf("%q %s %v", h.Materials, h.SizeSystem, float64(h.MinInsulation))
}

// conductorsFor goes through all conductors.
func (c *Catalog) conductorsFor(h Habit) []*Conductor {
	return inOrder(c.Conductors, h.Admits, func(k *Conductor) float64 { return float64(k.Size.Area()) })
}

// Admits tells whether a conductor is a candidate, its colour apart.
func (h Habit) Admits(c *Conductor) bool {
	system := h.SizeSystem == SizesBoth || (h.SizeSystem == SizesAWG) == c.Size.IsAWG()
	return system && c.Rating >= h.MinInsulation && slices.Contains(h.Materials, c.Material)
}

// terminalsFor goes through all terminals of a form.
func (c *Catalog) terminalsFor(form Form, size quantity.Size) []*Terminal {
	return inOrder(c.Terminals, func(t *Terminal) bool { return t.Form == form && t.Takes.Includes(size) }, func(*Terminal) float64 { return 0 })
}
