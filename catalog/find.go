package catalog

import (
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Filter narrows a list of parts; a zero field does not.
type Filter struct {
	Text   string // every word stands in the SKU or the description
	Kind   Kind
	Size   quantity.Size // the conductor is, or the part takes, this size
	Stud   Stud          // the part fits this stud
	Rating quantity.Amps // the fuse is, or the holder takes, this rating
}

// Find gives the entries that pass a filter, by kind in the order of Kinds, then
// by SKU. Each is a pointer as Entry gives it.
func (c *Catalog) Find(f Filter) []any {
	words := strings.Fields(strings.ToLower(f.Text))
	var out []any
	for _, kind := range Kinds() {
		if f.Kind != "" && f.Kind != kind {
			continue
		}
		c.each(kind, func(p *Part, entry any) {
			if hasWords(p, words) && f.fits(entry) {
				out = append(out, entry)
			}
		})
	}
	return out
}

// each calls visit for every part of a kind, by SKU.
func (c *Catalog) each(kind Kind, visit func(*Part, any)) {
	switch kind {
	case KindConductor:
		visitAll(c.Conductors, func(e *Conductor) *Part { return &e.Part }, visit)
	case KindFuse:
		visitAll(c.Fuses, func(e *Fuse) *Part { return &e.Part }, visit)
	case KindHolder:
		visitAll(c.Holders, func(e *Holder) *Part { return &e.Part }, visit)
	case KindBlock:
		visitAll(c.Blocks, func(e *Block) *Part { return &e.Part }, visit)
	case KindTerminal:
		visitAll(c.Terminals, func(e *Terminal) *Part { return &e.Part }, visit)
	case KindSleeve:
		visitAll(c.Sleeves, func(e *Sleeve) *Part { return &e.Part }, visit)
	case KindRelay:
		visitAll(c.Relays, func(e *Relay) *Part { return &e.Part }, visit)
	case KindSundry:
		visitAll(c.Sundries, func(e *Sundry) *Part { return &e.Part }, visit)
	case KindEquipment:
		visitAll(c.Equipment, func(e *Equipment) *Part { return &e.Part }, visit)
	case KindTool:
		visitAll(c.Tools, func(e *Tool) *Part { return &e.Part }, visit)
	}
}

func visitAll[E any](list []E, part func(*E) *Part, visit func(*Part, any)) {
	for i := range list {
		visit(part(&list[i]), &list[i])
	}
}

func hasWords(p *Part, words []string) bool {
	text := strings.ToLower(p.SKU + " " + p.Description)
	for _, w := range words {
		if !strings.Contains(text, w) {
			return false
		}
	}
	return true
}

// fits tells whether an entry passes the size, stud and rating of a filter. A
// kind that has no such attribute does not.
func (f *Filter) fits(entry any) bool {
	return (f.Size.IsZero() || f.fitsSize(entry)) && (f.Stud == "" || f.fitsStud(entry)) && (f.Rating == 0 || f.fitsRating(entry))
}

func (f *Filter) fitsSize(entry any) bool {
	switch e := entry.(type) {
	case *Conductor:
		return e.Size == f.Size
	case *Terminal:
		return e.Takes.Includes(f.Size)
	case *Holder:
		return e.Landing.Admits(f.Size)
	case *Block:
		return e.In.Admits(f.Size) || e.Out.Admits(f.Size)
	case *Tool:
		return e.Takes.Includes(f.Size)
	}
	return false
}

func (f *Filter) fitsStud(entry any) bool {
	switch e := entry.(type) {
	case *Terminal:
		return e.Form == Ring && f.Stud.Admits(e.Hole)
	case *Holder:
		return e.Landing.Stud == f.Stud
	case *Block:
		return e.In.Stud == f.Stud || e.Out.Stud == f.Stud
	}
	return false
}

func (f *Filter) fitsRating(entry any) bool {
	switch e := entry.(type) {
	case *Fuse:
		return e.Rating == f.Rating
	case *Holder:
		return f.Rating >= e.MinRating && f.Rating <= e.MaxRating
	}
	return false
}

// FindVehicles gives the vehicles of a category, every one where it is empty,
// whose id or label holds every word of the text, by id.
func (c *Catalog) FindVehicles(text string, category electrical.Category) []*Vehicle {
	words := strings.Fields(strings.ToLower(text))
	var out []*Vehicle
	for i := range c.Vehicles {
		v := &c.Vehicles[i]
		if (category == "" || v.Category == category) && hasWords(&Part{SKU: v.ID, Description: v.Label}, words) {
			out = append(out, v)
		}
	}
	return out
}
