package pricing

import (
	"fmt"
	"math"
	"math/big"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// footInMetres is exact (international yard and pound agreement, 1959).
var footInMetres = big.NewRat(3048, 10000)

func byLength(p *catalog.Part) bool { return p.SoldBy == catalog.ByMetre || p.SoldBy == catalog.ByFoot }

// pieces sells pieces of a part: as a line, or into the packs of the whole job.
func (q *quoter) pieces(l Line, part *catalog.Part, n *big.Rat) error {
	switch {
	case n.Sign() < 0:
		return fmt.Errorf("%s pieces of %s: %w", text(n), part.SKU, ErrUnpriceable)
	case n.Sign() == 0:
		return nil
	case part.SoldBy == catalog.ByPack:
		q.packs.add(part, n).termination = l.Termination
		return nil
	case part.SoldBy != catalog.Each:
		return fmt.Errorf("%s is counted, yet sold by %q: %w", part.SKU, part.SoldBy, ErrUnpriceable)
	}
	l.Unit = Each
	return q.addPart(l, n, part)
}

// lengths sells metres of a part in its unit of sale, rounded up to the next part
// of that unit.
func (q *quoter) lengths(parts int64) func(Line, *catalog.Part, *big.Rat) error {
	return func(l Line, part *catalog.Part, metres *big.Rat) error {
		switch {
		case !byLength(part):
			return fmt.Errorf("%s is cut, yet sold by %q: %w", part.SKU, part.SoldBy, ErrUnpriceable)
		case metres.Sign() < 0:
			return fmt.Errorf("%s m of %s: %w", text(metres), part.SKU, ErrUnpriceable)
		case metres.Sign() == 0:
			return nil
		}
		l.Unit = Metre
		if part.SoldBy == catalog.ByFoot {
			l.Unit = Foot
			metres = new(big.Rat).Quo(metres, footInMetres)
		}
		return q.addPart(l, upTo(metres, parts), part)
	}
}

// withWaste sells what was cut and the waste on top; its reason is told by the
// number of cuts, their length together and the waste.
func (q *quoter) withWaste(circuit, why string, u *usage, waste quantity.Percent, parts int64) error {
	percent, err := decimal("waste", waste)
	if err != nil {
		return err
	}
	l := Line{CircuitID: circuit, Termination: u.termination, WhyCode: why, Figures: []electrical.Figure{u.about,
		electrical.Num("cuts", u.uses, electrical.UnitCount),
		electrical.Num("length_m", nearest(u.sum), electrical.UnitM),
		electrical.Num("waste_percent", waste, electrical.UnitPercent)}}
	return q.lengths(parts)(l, u.part, plus(u.sum, percent))
}

// wholeMillimetres gives a length to cut in metres, rounded up to the millimetre
// as the selection does; what a binary fraction is off does not count as one more.
func wholeMillimetres(what string, l quantity.Millimetres) (*big.Rat, error) {
	const binaryNoise = 1e-6 // mm
	whole := new(big.Rat).SetFloat64(math.Ceil(float64(l) - binaryNoise))
	if whole == nil || whole.Sign() < 0 {
		return nil, fmt.Errorf("%s: %v mm: %w", what, float64(l), ErrUnpriceable)
	}
	return whole.Quo(whole, big.NewRat(1000, 1)), nil
}

// spares adds spare terminals: a share of each sort used in the job, rounded up.
func (q *quoter) spares() error {
	share, err := decimal("spare share", q.shop.Allowances.SpareShare)
	if err != nil {
		return err
	}
	for _, u := range q.ends.rows {
		spare := new(big.Rat).SetInt(ceil(percentOf(u.sum, share)))
		why := Line{Termination: true, WhyCode: "why.spare", Figures: []electrical.Figure{
			electrical.Num("ends", u.uses, electrical.UnitCount), electrical.Num("share_percent", q.shop.Allowances.SpareShare, electrical.UnitPercent)}}
		if err := q.pieces(why, u.part, spare); err != nil {
			return err
		}
	}
	return nil
}

// wholePacks adds what is sold by the pack: as many as cover the pieces of the job, or
// the pieces themselves where a pack may be broken.
func (q *quoter) wholePacks() error {
	for _, u := range q.packs.rows {
		size := max(1, u.part.PackQty)
		packs := ceil(new(big.Rat).Quo(u.sum, big.NewRat(int64(size), 1)))
		l := Line{Unit: Pack, Termination: u.termination, WhyCode: "why.pack", Figures: []electrical.Figure{
			electrical.Num("pieces", nearest(u.sum), electrical.UnitCount), electrical.Num("pack_qty", size, electrical.UnitCount)}}
		if u.part.Broken {
			if err := q.brokenPack(l, u, size); err != nil {
				return err
			}
			continue
		}
		if err := q.addPart(l, new(big.Rat).SetInt(packs), u.part); err != nil {
			return err
		}
	}
	return nil
}
