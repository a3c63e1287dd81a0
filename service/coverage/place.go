package coverage

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// place is one sort of landing and who has it.
type place struct {
	landing catalog.Landing
	battery bool
	names   []string
	// category is the vehicle's; empty for a part, which goes into any.
	category electrical.Category
}

type placeKey struct {
	landing  catalog.Landing
	battery  bool
	category electrical.Category
}

// collectPlaces gathers every landing that the catalog names.
func (c *checker) collectPlaces() {
	seen := map[placeKey]*place{}
	add := func(l catalog.Landing, battery bool, category electrical.Category, name string) {
		if l.Kind == "" {
			return
		}
		key := placeKey{l, battery, category}
		if seen[key] == nil {
			seen[key] = &place{landing: l, battery: battery, category: category}
			c.places = append(c.places, seen[key])
		}
		seen[key].names = append(seen[key].names, name)
	}
	for i := range c.cat.Holders {
		add(c.cat.Holders[i].Landing, false, "", c.cat.Holders[i].SKU)
	}
	for i := range c.cat.Blocks {
		add(c.cat.Blocks[i].In, false, "", c.cat.Blocks[i].SKU)
		add(c.cat.Blocks[i].Out, false, "", c.cat.Blocks[i].SKU)
	}
	for i := range c.cat.Relays {
		add(c.cat.Relays[i].Landing, false, "", c.cat.Relays[i].SKU)
	}
	for i := range c.cat.Equipment {
		add(c.cat.Equipment[i].Positive, false, "", c.cat.Equipment[i].SKU)
		add(c.cat.Equipment[i].Negative, false, "", c.cat.Equipment[i].SKU)
	}
	for i := range c.cat.Vehicles {
		v := &c.cat.Vehicles[i]
		for _, b := range v.Batteries {
			if b.Stud != "" {
				add(catalog.Landing{Kind: catalog.OnStud, Stud: b.Stud}, true, v.Category, v.ID+"/"+b.ID)
			}
		}
		for _, z := range v.Zones {
			if z.ChassisGround && z.GroundStud != "" {
				add(catalog.Landing{Kind: catalog.OnChassis, Stud: z.GroundStud}, false, v.Category, v.ID+"/"+z.ID)
			}
		}
	}
}

// studSpan is the conductors that land on a stud where nothing states them: small
// terminals on small screws, battery cable on M8 and M10 (common practice, no source).
func studSpan(s catalog.Stud) catalog.Range {
	thin, thick := quantity.AWG(18), quantity.AWG(-3)
	d, _ := s.Diameter()
	switch {
	case d < 4.5:
		return catalog.Range{Min: thin, Max: quantity.AWG(10)}
	case d < 7:
		return catalog.Range{Min: thin, Max: quantity.AWG(4)}
	case d < 9:
		return catalog.Range{Min: thin, Max: thick}
	}
	return catalog.Range{Min: quantity.AWG(8), Max: thick}
}

// tabSpan is the conductors that a push-on is made for (common practice, no source).
var tabSpan = catalog.Range{Min: quantity.AWG(18), Max: quantity.AWG(10)}

// spliceSpan is the conductors that are joined wire to wire where nothing states
// them: tails of equipment and of holders (common practice, no source).
var spliceSpan = catalog.Range{Min: quantity.AWG(18), Max: quantity.AWG(8)}

// calls tells that work would land a conductor of the size there.
func (p *place) calls(size quantity.Size) bool {
	if !p.landing.Admits(size) {
		return false
	}
	usual := catalog.Range{Min: quantity.AWG(18), Max: quantity.AWG(-3)}
	switch {
	case p.landing.Stud != "":
		usual = studSpan(p.landing.Stud)
	case p.landing.Kind == catalog.OnBlade:
		usual = tabSpan
	case p.landing.Kind == catalog.OnSplice || p.landing.Kind == catalog.OnFlyingLead:
		usual = spliceSpan
	}
	if p.landing.Smallest != (quantity.Size{}) {
		usual.Min = p.landing.Smallest
	}
	if p.landing.Largest != (quantity.Size{}) {
		usual.Max = p.landing.Largest
	}
	return usual.Includes(size)
}
