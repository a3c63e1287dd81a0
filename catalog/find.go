package catalog

import (
	"cmp"
	"slices"
	"strings"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
)

// Filter narrows a list of parts; a zero field does not.
type Filter struct {
	// Text is words that the part is about: each stands in the SKU or the description.
	// Where no part has them all, words that are nearly theirs count.
	Text     string
	Kind     Kind
	Size     quantity.Size   // the conductor is, or the part takes, this size
	Stud     Stud            // the part fits this stud
	Rating   quantity.Amps   // the fuse is, or the holder, block or relay takes, this rating
	MaxPrice currency.Amount // highest price per unit of sale, of what is sold; the zero Amount is no bound
}

// Find gives the entries that pass a filter: with words by how well they fit, else, and
// of equals, by kind in the order of Kinds and then by SKU. Each is a pointer as Entry
// gives it.
func (c *Catalog) Find(f Filter) []any {
	words := strings.Fields(strings.ToLower(f.Text))
	found := c.ranked(&f, words, written)
	if len(found) == 0 && len(words) > 0 {
		found = c.ranked(&f, words, misspelt())
	}
	slices.SortStableFunc(found, func(a, b ranking) int { return cmp.Compare(a.off, b.off) })
	out := make([]any, len(found))
	for i := range found {
		out[i] = found[i].entry
	}
	return out
}

// ranking is an entry with how far it is off the words that were asked for.
type ranking struct {
	entry any
	off   int
}

// ranked gives the entries that pass, with how far they are off.
func (c *Catalog) ranked(f *Filter, words []string, off measure) []ranking {
	var found []ranking
	for _, kind := range Kinds() {
		if f.Kind != "" && f.Kind != kind {
			continue
		}
		c.each(kind, func(p *Part, entry any) {
			if !f.fits(entry) || !f.affords(p) {
				return
			}
			if sum, ok := offAll(p, words, off); ok {
				found = append(found, ranking{entry, sum})
			}
		})
	}
	return found
}

// affords tells that a part is sold at no more than the highest price.
func (f *Filter) affords(p *Part) bool {
	if f.MaxPrice.CurrencyCode() == "" {
		return true
	}
	return p.Price.CurrencyCode() == f.MaxPrice.CurrencyCode() && exact(p.Price).Cmp(exact(f.MaxPrice)) <= 0
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
	case *Relay:
		return e.Landing.Stud == f.Stud
	case *Equipment:
		return e.Positive.Stud == f.Stud || e.Negative.Stud == f.Stud
	}
	return false
}

func (f *Filter) fitsRating(entry any) bool {
	switch e := entry.(type) {
	case *Fuse:
		return e.Rating == f.Rating
	case *Holder:
		return f.Rating >= e.MinRating && f.Rating <= e.MaxRating
	case *Block:
		return f.Rating <= e.WayMax
	case *Relay:
		return f.Rating <= e.Contact
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
		_, named := offAll(&Part{SKU: v.ID, Description: v.Label}, words, written)
		if named && (category == "" || v.Category == category) {
			out = append(out, v)
		}
	}
	return out
}
