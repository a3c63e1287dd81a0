package pricing

import (
	"math/big"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// tally sums how much of each part is used, by SKU in the order of first use.
// The zero tally is empty.
type tally struct {
	rows  []*usage
	bySKU map[string]*usage
}

// usage is one part with how much of it is used.
type usage struct {
	part        *catalog.Part
	sum         *big.Rat // pieces, or metres of what is cut
	uses        int      // how often it was added
	termination bool
	about       electrical.Figure // what the part is, for its reason
}

// add counts some of a part; the row it gives may be completed.
func (t *tally) add(part *catalog.Part, sum *big.Rat) *usage {
	u, ok := t.bySKU[part.SKU]
	if !ok {
		if t.bySKU == nil {
			t.bySKU = map[string]*usage{}
		}
		u = &usage{part: part, sum: new(big.Rat)}
		t.bySKU[part.SKU] = u
		t.rows = append(t.rows, u)
	}
	u.sum.Add(u.sum, sum)
	u.uses++
	return u
}
