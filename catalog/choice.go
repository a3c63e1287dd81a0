package catalog

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Choice gives the catalog as whoever selects parts may look at it: of parts that
// differ in nothing but number, words, supplier and price it has the cheapest alone,
// of those at one price the first by SKU. None of the others can be part of a cheapest
// design, so that a catalog that has a thousand of a kind is gone through as one that
// has a few. Equipment, tools, labour and vehicles are the catalog's own.
//
// It takes a pass over all parts; a catalog never changes, so once is enough.
func (c *Catalog) Choice() *Catalog {
	few := &Catalog{Shop: c.Shop, Equipment: c.Equipment, Tools: c.Tools, Operations: c.Operations, Vehicles: c.Vehicles, Revision: c.Revision, Advice: c.Advice}
	together(
		func() { few.Conductors = cheapestOf(c.Conductors, (*Conductor).alike) },
		func() { few.Fuses = cheapestOf(c.Fuses, (*Fuse).alike) },
		func() { few.Holders = cheapestOf(c.Holders, (*Holder).alike) },
		func() { few.Blocks = cheapestOf(c.Blocks, (*Block).alike) },
		func() { few.Terminals = cheapestOf(c.Terminals, (*Terminal).alike) },
		func() { few.Sleeves = cheapestOf(c.Sleeves, (*Sleeve).alike) },
		func() { few.Relays = cheapestOf(c.Relays, (*Relay).alike) },
		func() { few.Sundries = cheapestOf(c.Sundries, (*Sundry).alike) },
	)
	few.index.parts.enter(few)
	few.arrange()
	return few
}

// cheapestOf keeps the cheapest of the parts that have one key; they stand by SKU.
func cheapestOf[K comparable, T any, P interface {
	*T
	entry
}](parts []T, key func(P) K) []T {
	best := map[K]int{}
	for i := range parts {
		p := P(&parts[i])
		k := key(p)
		if b, ok := best[k]; !ok || p.common().UnitNano < P(&parts[b]).common().UnitNano {
			best[k] = i
		}
	}
	kept := make([]T, 0, len(best))
	for i := range parts {
		if best[key(P(&parts[i]))] == i {
			kept = append(kept, parts[i])
		}
	}
	return kept
}

// What follows is all that a part has besides what is common to parts.

type conductorLike struct {
	electrical.Conductor
	colour        string
	outer, bundle quantity.Millimetres
}

func (c *Conductor) alike() conductorLike {
	return conductorLike{c.Conductor, c.Colour, c.OuterDiameter, c.BundleDiameter}
}

type fuseLike struct {
	family                electrical.Family
	rating, interrupting  quantity.Amps
	voltage               quantity.Volts
	ignitionProtected     bool
	ownCurve, curveSource string
}

// alike takes fuses with gates of their own as each different.
func (f *Fuse) alike() fuseLike {
	own := ""
	if f.CurveSource != "" {
		own = f.SKU
	}
	return fuseLike{f.Family, f.Rating, f.Interrupting, f.Voltage, f.IgnitionProtected, own, f.CurveSource}
}

type holderLike struct {
	family                    electrical.Family
	minRating, maxRating      quantity.Amps
	landing                   Landing
	postHole                  quantity.Millimetres
	sealed, ignitionProtected bool
}

func (h *Holder) alike() holderLike {
	return holderLike{h.Family, h.MinRating, h.MaxRating, h.Landing, h.PostHole, h.Sealed, h.IgnitionProtected}
}

type blockLike struct {
	fused, sealed    bool
	family           electrical.Family
	ways             int
	wayMax, totalMax quantity.Amps
	in, out          Landing
}

func (b *Block) alike() blockLike {
	return blockLike{b.Fused, b.Sealed, b.Family, b.Ways, b.WayMax, b.TotalMax, b.In, b.Out}
}

type terminalLike struct {
	form                                              Form
	takes                                             Range
	stud                                              Stud
	hole, tab, barrelInner, barrelOuter, barrelLength quantity.Millimetres
	construction                                      Construction
	insulated, tinned                                 bool
}

func (t *Terminal) alike() terminalLike {
	return terminalLike{t.Form, t.Takes, t.Stud, t.Hole, t.TabWidth, t.BarrelInner, t.BarrelOuter, t.BarrelLength, t.Construction, t.Insulated, t.Tinned}
}

type sleeveLike struct {
	supplied, recovered quantity.Millimetres
	adhesive            bool
	loss                quantity.Percent
	colour              string
}

func (s *Sleeve) alike() sleeveLike {
	return sleeveLike{s.Supplied, s.Recovered, s.Adhesive, s.LengthLoss, s.Colour}
}

type relayLike struct {
	contact, coil quantity.Amps
	coilV         quantity.Volts
	landing       Landing
	sealed        bool
}

func (r *Relay) alike() relayLike {
	return relayLike{r.Contact, r.Coil, r.CoilV, r.Landing, r.Sealed}
}

type sundryLike struct {
	use   Use
	inner quantity.Millimetres
	cut   bool // sold by length: a price of one metre is none of one piece
}

func (s *Sundry) alike() sundryLike {
	return sundryLike{s.Use, s.Inner, s.SoldBy == ByMetre || s.SoldBy == ByFoot}
}
