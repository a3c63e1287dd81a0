package catalog

// directory finds parts by SKU: an open hash table of places, without a pointer in it
// or a word of its own. The zero directory knows nothing.
type directory struct {
	// slots hold, from the top, 32 bits of the SKU's hash, 4 of the part's kind and 28 of
	// its place in the list of the kind, counted from 1; 0 is an empty slot. Their number
	// is a power of two, and at most half of them are taken.
	slots []uint64
}

const (
	placeBits = 28
	placeMask = 1<<placeBits - 1
	kindMask  = 1<<4 - 1
)

// hashOf is FNV-1a of 64 bits, its upper half folded into the lower.
func hashOf(sku string) uint64 {
	h := uint64(14695981039346656037)
	for i := range len(sku) {
		h = (h ^ uint64(sku[i])) * 1099511628211
	}
	return h ^ h>>32
}

// enter makes the directory of a catalog's parts; false where an SKU is there twice.
func (d *directory) enter(c *Catalog) (once bool) {
	size := 2
	for size < 2*c.PartCount() {
		size *= 2
	}
	d.slots, once = make([]uint64, size), true
	for k, kind := range Kinds() {
		place := uint64(0)
		c.each(kind, func(p *Part, _ any) {
			place++
			h := hashOf(p.SKU)
			at, known := d.find(c, h, p.SKU)
			once = once && !known
			d.slots[at] = h<<32 | uint64(k)<<placeBits | place
		})
	}
	return once
}

// find gives the slot of an SKU, and whether it is taken.
func (d *directory) find(c *Catalog, hash uint64, sku string) (slot int, taken bool) {
	mask := len(d.slots) - 1
	for slot = int(hash) & mask; d.slots[slot] != 0; slot = (slot + 1) & mask {
		if d.slots[slot]>>32 == hash&(1<<32-1) && c.entryAt(d.slots[slot]).common().SKU == sku {
			return slot, true
		}
	}
	return slot, false
}

// entry gives a part by its SKU.
func (c *Catalog) entry(sku string) (entry, bool) {
	if len(c.index.parts.slots) == 0 {
		return nil, false
	}
	slot, ok := c.index.parts.find(c, hashOf(sku), sku)
	if !ok {
		return nil, false
	}
	return c.entryAt(c.index.parts.slots[slot]), true
}

// entryAt gives the part that a slot stands for; the kinds are in the order of Kinds.
func (c *Catalog) entryAt(slot uint64) entry {
	i := int(slot&placeMask) - 1
	switch slot >> placeBits & kindMask {
	case 0:
		return &c.Conductors[i]
	case 1:
		return &c.Fuses[i]
	case 2:
		return &c.Holders[i]
	case 3:
		return &c.Blocks[i]
	case 4:
		return &c.Terminals[i]
	case 5:
		return &c.Sleeves[i]
	case 6:
		return &c.Relays[i]
	case 7:
		return &c.Sundries[i]
	case 8:
		return &c.Equipment[i]
	default:
		return &c.Tools[i]
	}
}

// entries gives every part by its SKU.
func (c *Catalog) entries() map[string]entry {
	all := make(map[string]entry, c.PartCount())
	for _, kind := range Kinds() {
		c.each(kind, func(p *Part, e any) {
			if one, ok := e.(entry); ok {
				all[p.SKU] = one
			}
		})
	}
	return all
}
