package pricing

import (
	"fmt"
	"math/big"

	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// Cut goods are charged in steps of a unit of sale, rounded up: cable and loom in
// tenths, sleeve in hundredths (common practice, no source).
const (
	cableParts  = 10
	sleeveParts = 100
)

// parts adds the parts of the circuits in their order, and then what belongs to
// the whole job: its sundries, spare terminals, and all that is sold by the pack.
func (q *quoter) parts(d *design.Design) error {
	for _, c := range circuitsOf(d) {
		for _, group := range []func(*design.Circuit) error{q.equipment, q.protection, q.cable, q.terminals, q.sleeves} {
			if err := group(c); err != nil {
				return fmt.Errorf("circuit %s: %w", c.ID, err)
			}
		}
		if err := q.sundries(c.ID, c.Sundries); err != nil {
			return fmt.Errorf("circuit %s: %w", c.ID, err)
		}
		if err := q.blocks(c.ID, d.Blocks); err != nil {
			return fmt.Errorf("circuit %s: %w", c.ID, err)
		}
	}
	if err := q.sundries("", d.Sundries); err != nil {
		return fmt.Errorf("whole job: %w", err)
	}
	if err := q.spares(); err != nil {
		return fmt.Errorf("spare terminals: %w", err)
	}
	if err := q.wholePacks(); err != nil {
		return err
	}
	return q.priceBreaks()
}

// circuitsOf gives the circuits of a design, then its leads and ground straps, which
// are priced like circuits.
func circuitsOf(d *design.Design) []*design.Circuit {
	out := make([]*design.Circuit, 0, len(d.Circuits)+len(d.Leads))
	for i := range d.Circuits {
		out = append(out, &d.Circuits[i])
	}
	for i := range d.Leads {
		out = append(out, &d.Leads[i].Circuit)
	}
	if d.Straps != nil {
		out = append(out, d.Straps)
	}
	return out
}

func (q *quoter) equipment(c *design.Circuit) error {
	var t tally
	for _, s := range c.Equipment {
		if s.Part != nil {
			t.add(&s.Part.Part, big.NewRat(int64(s.Count), 1)).about = electrical.Name("device", s.Label)
		}
	}
	for _, u := range t.rows {
		if err := q.pieces(Line{CircuitID: c.ID, WhyCode: "why.equipment", Figures: []electrical.Figure{u.about}}, u.part, u.sum); err != nil {
			return err
		}
	}
	return nil
}

// blocks is the block and the bus that a trunk feeds.
func (q *quoter) blocks(trunk string, blocks []design.BlockUse) error {
	for _, b := range blocks {
		if b.FedBy != trunk {
			continue
		}
		why := Line{CircuitID: trunk, WhyCode: "why.block", Figures: []electrical.Figure{electrical.Num("ways", b.Ways, electrical.UnitCount)}}
		if !b.Part.Fused {
			why.WhyCode = "why.bus"
		}
		if err := q.pieces(why, &b.Part.Part, big.NewRat(1, 1)); err != nil {
			return err
		}
	}
	return nil
}

// protection is the fuse and what holds it. A breaker, and a fuse in a block, has
// no holder.
func (q *quoter) protection(c *design.Circuit) error {
	if err := q.fuse(c, &c.Protection); err != nil {
		return err
	}
	if c.FarProtection != nil {
		if err := q.fuse(c, c.FarProtection); err != nil {
			return err
		}
	}
	if c.Relay == nil {
		return nil
	}
	why := Line{CircuitID: c.ID, WhyCode: "why.relay", Figures: []electrical.Figure{electrical.Num("contact_a", c.Relay.Part.Contact, electrical.UnitA)}}
	return q.pieces(why, &c.Relay.Part.Part, big.NewRat(1, 1))
}

// fuse is one overcurrent device with its holder, where it has them.
func (q *quoter) fuse(c *design.Circuit, o *design.Overcurrent) error {
	one := big.NewRat(1, 1)
	if fuse := o.Fuse; fuse != nil {
		why := Line{CircuitID: c.ID, WhyCode: "why.fuse", Figures: []electrical.Figure{
			electrical.Num("fuse_a", fuse.Rating, electrical.UnitA), electrical.Num("current_a", c.Load, electrical.UnitA)}}
		if err := q.pieces(why, &fuse.Part, one); err != nil {
			return err
		}
	}
	if o.Holder == nil {
		return nil
	}
	why := Line{CircuitID: c.ID, WhyCode: "why.holder", Figures: []electrical.Figure{electrical.Num("fuse_max_a", o.Holder.MaxRating, electrical.UnitA)}}
	return q.pieces(why, &o.Holder.Part, one)
}

// cable is one line per SKU: the lengths to cut, each at least the shortest piece
// that is worth cutting, and the waste on top.
func (q *quoter) cable(c *design.Circuit) error {
	shortest, err := wholeMillimetres("minimum cut", q.shop.Allowances.MinimumCut.Millimetres())
	if err != nil {
		return err
	}
	var t tally
	for i := range c.Runs {
		r := &c.Runs[i]
		cut, err := wholeMillimetres("length of run "+r.ID, r.Length.Millimetres())
		if err != nil {
			return err
		}
		if r.Conductor == nil || cut.Sign() == 0 {
			continue
		}
		if cut.Cmp(shortest) < 0 {
			cut = shortest
		}
		t.add(&r.Conductor.Part, cut).about = electrical.SizeFigure("conductor", r.Conductor.Size)
	}
	for _, u := range t.rows {
		if err := q.withWaste(c.ID, "why.cable", u, q.shop.Allowances.Waste, cableParts); err != nil {
			return err
		}
	}
	return nil
}

func (q *quoter) terminals(c *design.Circuit) error {
	one := big.NewRat(1, 1)
	var t tally
	for i := range c.Runs {
		for j := range c.Runs[i].Ends {
			if terminal := c.Runs[i].Ends[j].Plan.Terminal; terminal != nil {
				t.add(&terminal.Part, one)
				q.ends.add(&terminal.Part, one)
			}
		}
	}
	for _, u := range t.rows {
		why := Line{CircuitID: c.ID, Termination: true, WhyCode: "why.terminal", Figures: []electrical.Figure{electrical.Num("ends", u.uses, electrical.UnitCount)}}
		if err := q.pieces(why, u.part, u.sum); err != nil {
			return err
		}
	}
	return nil
}

func (q *quoter) sleeves(c *design.Circuit) error {
	var t tally
	for i := range c.Runs {
		for j := range c.Runs[i].Ends {
			plan := &c.Runs[i].Ends[j].Plan
			if plan.Sleeve == nil {
				continue
			}
			cut, err := wholeMillimetres("sleeve of run "+c.Runs[i].ID, plan.SleeveCut)
			if err != nil {
				return err
			}
			u := t.add(&plan.Sleeve.Part, cut)
			u.about, u.termination = electrical.Num("supplied_mm", plan.Sleeve.Supplied, electrical.UnitMM), true
		}
	}
	for _, u := range t.rows {
		if err := q.withWaste(c.ID, "why.sleeve", u, q.shop.Allowances.SleeveWaste, sleeveParts); err != nil {
			return err
		}
	}
	return nil
}

// sundries takes thousandths as they are: a piece may be shared, and a length is
// in millimetres.
func (q *quoter) sundries(circuit string, materials []design.Material) error {
	var t tally
	for _, m := range materials {
		if m.Sundry != nil {
			t.add(&m.Sundry.Part, big.NewRat(m.Milli, 1000)).about = electrical.Word("use", m.Sundry.Use)
		}
	}
	for _, u := range t.rows {
		why := Line{CircuitID: circuit, WhyCode: "why.sundry", Figures: []electrical.Figure{u.about}}
		sell := q.pieces
		if byLength(u.part) {
			sell = q.lengths(cableParts)
		}
		if err := sell(why, u.part, u.sum); err != nil {
			return err
		}
	}
	return nil
}
