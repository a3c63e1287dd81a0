package design

import (
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// distribution is a fused block, and the bus for the returns where any comes back
// on cable.
type distribution struct {
	block   *catalog.Block
	bus     *catalog.Block // nil where every return goes to the body
	figures electrical.FamilyFigures
}

// branchEnds is every end of a branch.
type branchEnds struct {
	blockOut, devicePlus, deviceMinus, back termination.Plan
}

func (e *branchEnds) joints() quantity.Ohms {
	return e.blockOut.Resistance + e.devicePlus.Resistance + e.deviceMinus.Resistance + e.back.Resistance
}

func (e *branchEnds) nano() int64 {
	return e.blockOut.Nano + e.devicePlus.Nano + e.deviceMinus.Nano + e.back.Nano
}

// branchOption is one way to build a branch behind a block, whatever the trunk.
type branchOption struct {
	pair  pair
	wires wires
	fuse  *catalog.Fuse
	ends  branchEnds
	relay switching
	total quantity.Ohms // of the branch: cables, joints, fuse, contacts, body
	nano  int64
}

// branch is a circuit behind a block with its options, cheapest first.
type branch struct {
	index   int // of the plan
	need    need
	options []branchOption
}

// approach is a circuit's way behind the block of a group, with the cables that
// serve on it, whatever the block: worked out once for all of them.
type approach struct {
	need   need
	cables []approachCable
}

// approachCable is one pair of cables on that way.
type approachCable struct {
	pair  pair
	wires wires
	lay   int64 // price of laying it
}

// approachOf works out a circuit's way behind a group's block. The maker's fuse
// plays no part in it.
func (s *solver) approachOf(c *circuitPlan, g *group, trunk quantity.Metres) approach {
	at := *c
	at.need = c.made
	out := approach{need: s.branchNeed(&at, g, trunk)}
	n := &out.need
	for _, p := range s.pairs {
		if catalog.Thinner(p.feed.Size, n.thinnest) {
			continue
		}
		if least := c.device.Maker.ConductorMin; !least.IsZero() && catalog.Thinner(p.feed.Size, least) {
			continue
		}
		w, ok := n.wiresOf(p.feed.Conductor)
		if !ok || !n.carries(&w) || !n.conductorDropHolds(&w) {
			continue
		}
		out.cables = append(out.cables, approachCable{p, w, s.layNano(&n.feed, &n.back, p, n.chassis)})
	}
	return out
}

// branchOf lists the options of a circuit behind a distribution: with the maker's
// fuse, or, where the block cannot hold that, with one below it.
func (s *solver) branchOf(i int, c *circuitPlan, a *approach, g *group, d distribution) branch {
	out := s.branchWith(i, c, a.need, a.cables, g, d)
	if len(out.options) > 0 || c.made.makerFuse == 0 {
		return out
	}
	return s.branchWith(i, c, a.need.belowMaker(), a.cables, g, d)
}

// branchWith lists the options by the need in force. All have the same rating, the
// smallest that serves.
func (s *solver) branchWith(i int, c *circuitPlan, n need, cables []approachCable, g *group, d distribution) branch {
	out := branch{index: i, need: n}
	fuses := s.blockFuses(&n, d)
	if len(fuses) == 0 {
		return out
	}
	for _, cable := range cables {
		if fuses[0].Rating > cable.wires.ampacity() {
			continue
		}
		ends, ok := s.branchEnds(c, g, cable.pair, d)
		if !ok {
			continue
		}
		base := ends.nano() + cable.lay
		for _, fuse := range fuses {
			own := electrical.FuseResistance(d.figures, fuse.Rating, max(n.peak, n.load)) + d.figures.Contacts
			for _, relay := range s.switchings(c, cable.pair.feed, fuse.Rating, g.zone, &tally{}) {
				r := n.totalResistance(&cable.wires, ends.joints()+relay.r, own)
				if n.totalDropHolds(n.totalDrop(r)) && n.restHolds(r) {
					out.options = append(out.options, branchOption{pair: cable.pair, wires: cable.wires, fuse: fuse, ends: ends, relay: relay, total: r, nano: base + fuse.UnitNano + relay.nano})
				}
			}
		}
	}
	sort.SliceStable(out.options, func(a, b int) bool { return out.options[a].before(&out.options[b]) })
	return out
}

// before orders options: cost, then drop, then SKU.
func (o *branchOption) before(p *branchOption) bool {
	switch {
	case o.nano != p.nano:
		return o.nano < p.nano
	case o.total != p.total:
		return o.total < p.total
	case o.pair.feed.SKU != p.pair.feed.SKU:
		return o.pair.feed.SKU < p.pair.feed.SKU
	case o.pair.back.SKU != p.pair.back.SKU:
		return o.pair.back.SKU < p.pair.back.SKU
	}
	return o.fuse.SKU < p.fuse.SKU
}

// blockFuses gives the fuses of the block's family with the smallest rating that
// suits the circuit, by SKU; none where the ways of the block, or of the bus that
// its return comes to, cannot carry it.
func (s *solver) blockFuses(n *need, d distribution) []*catalog.Fuse {
	most := d.block.WayMax
	if !n.chassis {
		most = min(most, d.bus.WayMax)
	}
	var out []*catalog.Fuse
	for _, f := range s.cat.FuseLadder(d.block.Family) {
		if len(out) > 0 && f.Rating > out[0].Rating {
			break
		}
		if f.Rating > most {
			break
		}
		if n.fuseSuits(f) && n.voltageHolds(f) && (!n.ignition || f.IgnitionProtected) {
			out = append(out, f)
		}
	}
	return out
}

// branchEnds plans the ends of a branch; false where one cannot be made.
func (s *solver) branchEnds(c *circuitPlan, g *group, p pair, d distribution) (branchEnds, bool) {
	var e branchEnds
	var ok bool
	var t tally
	at, block := c.zone.Environment, g.zone.Environment
	if e.blockOut, ok = s.end(p.feed, d.block.Out, block, false, AtBlock, &t); !ok {
		return e, false
	}
	if e.devicePlus, ok = s.end(p.feed, c.positive, at, false, AtDevicePositive, &t); !ok {
		return e, false
	}
	if e.deviceMinus, ok = s.end(p.back, c.negative, at, false, AtDeviceNegative, &t); !ok {
		return e, false
	}
	if c.need.chassis {
		landing, kind, where := s.returnLanding(c)
		e.back, ok = s.end(p.back, landing, where, false, kind, &t)
		return e, ok
	}
	e.back, ok = s.end(p.back, d.bus.Out, block, false, AtBus, &t)
	return e, ok
}

// fits gives the first, that is the cheapest, option whose drop fits behind a
// trunk; nil where none does.
func (b *branch) fits(t *trunkDrop) *branchOption {
	for i := range b.options {
		if t.allows(&b.need, &b.options[i]) {
			return &b.options[i]
		}
	}
	return nil
}

// trunkDrop is what a trunk loses before its block, engine running and off: on
// the feed side, and on the return side for those that come back on cable.
type trunkDrop struct {
	conductorFeed, conductorBack quantity.Volts
	feed, back                   quantity.Volts // with joints, fuse and holder
	restFeed, restBack           quantity.Volts
	feedR, backR                 quantity.Ohms // whole resistance of each side
	feedWire, backWire           quantity.Ohms // of that, the conductors
	// faultPath is the least resistance that a fault behind the block goes through
	// between the bank and the branch's own fuse: cold trunk, main and holder.
	faultPath quantity.Ohms
	roadFuses bool // the bank accepts the block's family as road vehicles do
}

// allows tells whether a branch option keeps its limits behind the trunk.
func (t *trunkDrop) allows(n *need, o *branchOption) bool {
	conductors, total, rest := t.of(n)
	return t.interrupted(n, o) && o.wires.drop+conductors <= n.conductorLimit.Of(n.nominal)+dropSlack &&
		n.totalDropHolds(n.totalDrop(o.total)+total) &&
		(n.restLimit == 0 || n.restVolts-n.restDrop(o.total)-rest >= n.restLimit-dropSlack) && t.deadShort(n, o).Cleared
}

// interrupted tells whether a branch's fuse can break a fault right behind it.
func (t *trunkDrop) interrupted(n *need, o *branchOption) bool {
	if t.roadFuses {
		return true
	}
	figures, _ := electrical.FamilyOf(o.fuse.Family)
	r := t.faultPath + figures.Contacts + electrical.ColdFuseResistance(figures, o.fuse.Rating)
	return o.fuse.InterruptingAt(n.source.Highest) >= n.bank.Prospective(n.restVolts, r)
}

// of gives what of the trunk's drop a circuit shares.
func (t *trunkDrop) of(n *need) (conductors, total, rest quantity.Volts) {
	if n.chassis {
		return t.conductorFeed, t.feed, t.restFeed
	}
	return t.conductorFeed + t.conductorBack, t.feed + t.back, t.restFeed + t.restBack
}
