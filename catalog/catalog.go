package catalog

import (
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Catalog is the shop's whole world at one revision. It never changes after
// Read, so any number of goroutines may use it; what its methods give is shared
// and must not be changed either.
type Catalog struct {
	Shop Shop
	// Parts by kind, each sorted by SKU.
	Conductors []Conductor
	Fuses      []Fuse
	Holders    []Holder
	Blocks     []Block
	Terminals  []Terminal
	Sleeves    []Sleeve
	Relays     []Relay
	Sundries   []Sundry
	Equipment  []Equipment
	Tools      []Tool
	// Operations is the labour, sorted by code.
	Operations []Operation
	// Vehicles is sorted by id.
	Vehicles []Vehicle
	// Revision is the hash of the content: 64 hexadecimal digits. It does not
	// change with the order of files, rows, columns or keys, nor with quotes, line
	// ends, byte-order marks or comments.
	Revision string
	// Advice is what Read found allowed but probably a slip.
	Advice []Fault

	index index
}

// Entry gives a part with all that its kind has: a *Conductor, *Fuse, *Holder,
// *Block, *Terminal, *Sleeve, *Relay, *Sundry, *Equipment or *Tool. False where
// the catalog has no such SKU.
func (c *Catalog) Entry(sku string) (any, bool) {
	e, ok := c.entry(sku)
	return e, ok
}

// PartCount gives how many parts of every kind the catalog has.
func (c *Catalog) PartCount() int {
	return len(c.Conductors) + len(c.Fuses) + len(c.Holders) + len(c.Blocks) + len(c.Terminals) + len(c.Sleeves) + len(c.Relays) +
		len(c.Sundries) + len(c.Equipment) + len(c.Tools)
}

// Part gives what a part has in common with all others.
func (c *Catalog) Part(sku string) (Part, bool) {
	p, ok := c.entry(sku)
	if !ok {
		return Part{}, false
	}
	return *p.common(), true
}

// Device gives a piece of equipment that the shop sells.
func (c *Catalog) Device(sku string) (Equipment, bool) {
	found, _ := c.entry(sku)
	e, ok := found.(*Equipment)
	if !ok {
		return Equipment{}, false
	}
	return *e, true
}

// Vehicle gives a vehicle by id.
func (c *Catalog) Vehicle(id string) (Vehicle, bool) {
	i, ok := slices.BinarySearchFunc(c.Vehicles, id, func(v Vehicle, id string) int { return compare(v.ID, id) })
	if !ok {
		return Vehicle{}, false
	}
	return c.Vehicles[i], true
}

// OperationByCode gives a labour operation by its code.
func (c *Catalog) OperationByCode(code string) (*Operation, bool) {
	i, ok := slices.BinarySearchFunc(c.Operations, code, func(o Operation, code string) int { return compare(o.Code, code) })
	if !ok {
		return nil, false
	}
	return &c.Operations[i], true
}

// Operation gives the labour operation of a task for a conductor size: of those
// whose band includes the size the one with the narrowest band, by copper area;
// one without a band comes last. With the zero size only an operation without a
// band answers. Of equals the first code wins.
func (c *Catalog) Operation(task Task, size quantity.Size) (*Operation, bool) {
	for _, o := range c.index.tasks[task] {
		if o.Takes == (Range{}) || o.Takes.Includes(size) {
			return o, true
		}
	}
	return nil, false
}

// FitOperation gives the labour operation that fixes a kind of device: one that
// names the kind, the fewer kinds the better, or else one that names none.
func (c *Catalog) FitOperation(kind electrical.DeviceKind) (*Operation, bool) {
	var rest *Operation
	for _, o := range c.index.fits {
		if slices.Contains(o.Devices, kind) {
			return o, true
		}
		if len(o.Devices) == 0 && rest == nil {
			rest = o
		}
	}
	return rest, rest != nil
}

// FuseLadder gives the fuses of a family by rating; of one rating the cheapest
// comes first.
func (c *Catalog) FuseLadder(family electrical.Family) []*Fuse { return c.index.fuses[family] }

// HoldersOf gives the holders of a family by the largest fuse they carry; of
// equals the cheapest comes first.
func (c *Catalog) HoldersOf(family electrical.Family) []*Holder { return c.index.holders[family] }

// BlocksOf gives the distribution blocks whose ways take fuses of a family, or
// the plain ones for the empty family, by their number of ways, then price.
func (c *Catalog) BlocksOf(family electrical.Family) []*Block { return c.index.blocks[family] }

// ConductorsFor gives the conductors that a habit allows, thinnest first; of one
// size the cheapest comes first. Colour is no limit here: which colours count
// depends on what the conductor is for. The habits of the shop are looked up,
// any other habit costs one pass over the conductors.
func (c *Catalog) ConductorsFor(h Habit) []*Conductor {
	if found, ok := c.index.conductors[habitKeyOf(h)]; ok {
		return found
	}
	return c.conductorsFor(h)
}

// TerminalsFor gives the terminals of a form that take a conductor of the size,
// the cheapest first. The sizes of the catalog's own conductors are looked up,
// any other size costs one pass over the terminals.
func (c *Catalog) TerminalsFor(form Form, size quantity.Size) []*Terminal {
	if found, ok := c.index.terminals[size]; ok {
		return found[form]
	}
	return c.terminalsFor(form, size)
}

// SleeveLadder gives the sleeves with or without adhesive, by inner diameter as
// supplied; of equals the cheapest comes first.
func (c *Catalog) SleeveLadder(adhesive bool) []*Sleeve { return c.index.sleeves[adhesive] }

// RelaysFor gives the relays whose coil is for a nominal voltage, by contact
// rating; of equals the cheapest comes first.
func (c *Catalog) RelaysFor(coil quantity.Volts) []*Relay { return c.index.relays[coil] }

// SundriesFor gives the sundries of a use by bore, then price.
func (c *Catalog) SundriesFor(use Use) []*Sundry { return c.index.sundries[use] }

// ToolsFor gives the tools that make a form of terminal on a conductor of the
// size: those that give the same crimp in any hands come first.
func (c *Catalog) ToolsFor(form Form, size quantity.Size) []*Tool {
	var found []*Tool
	for _, t := range c.index.tools[form] {
		if t.Takes.Includes(size) {
			found = append(found, t)
		}
	}
	return found
}
