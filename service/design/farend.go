package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// deadShort is a short at the far end of a circuit's wires; besides is all that the
// fault goes through but they.
func (n *need) deadShort(w *wires, fuse *catalog.Fuse, besides quantity.Ohms, soldered bool) electrical.FarEndVerdict {
	section := func(side *wire, l quantity.Metres) electrical.Section {
		return electrical.Section{Conductor: w.conductor, Length: l, Ambient: side.ambient, Ampacity: side.ampacity, Load: n.load}
	}
	return electrical.FarEnd{Bank: n.bank, Source: n.restVolts, Fuse: fuse.Rated(), Joints: besides, Soldered: soldered,
		Sections: []electrical.Section{section(&w.feed, n.feed.length), section(&w.back, n.back.length)}}.Judge()
}

// soldered tells whether any of some ends is soldered.
func soldered(ends ...*termination.Plan) bool {
	for _, e := range ends {
		if e != nil && e.Soldered() {
			return true
		}
	}
	return false
}

func (e *circuitEnds) soldered() bool {
	return soldered(e.source, e.holderIn, e.holderOut, &e.devicePlus, &e.deviceMinus, &e.back)
}

func (e *branchEnds) soldered() bool {
	return soldered(&e.blockOut, &e.devicePlus, &e.deviceMinus, &e.back)
}

func (e *trunkEnds) soldered() bool {
	return soldered(e.source, e.holderIn, e.holderOut, &e.blockIn, e.busIn, e.backSource)
}

// deadShort is a short at the far end of a branch behind a trunk.
func (t *trunkDrop) deadShort(n *need, o *branchOption) electrical.FarEndVerdict {
	before := t.feedR
	if !n.chassis {
		before += t.backR
	}
	return n.deadShort(&o.wires, o.fuse, before+o.total-o.wires.resistance, o.ends.soldered())
}

// deadShort is a short at the trunk's block: back on the trunk's own return, or over
// the body where it has none.
func (t *trunkNeed) deadShort(w *wires, main *catalog.Fuse, d *trunkDrop, ends *trunkEnds) electrical.FarEndVerdict {
	besides := d.feedR - d.feedWire + d.backR - d.backWire
	if !t.hasReturn {
		besides += t.chassisR
	}
	return t.need.deadShort(w, main, besides, ends.soldered())
}

// selectivity tells whether a branch's fuse opens before the trunk's main, from a
// short at the branch's far end to one right behind its fuse.
func (t *trunkChoice) selectivity(n *need, o *branchOption, least quantity.Amps) electrical.Selectivity {
	figures, _ := electrical.FamilyOf(o.fuse.Family)
	behind := t.drop.faultPath + figures.Contacts + electrical.ColdFuseResistance(figures, o.fuse.Rating)
	return electrical.InLine{Downstream: o.fuse.Rated(), Upstream: t.main.fuse.Rated(), Besides: max(0, t.need.load-n.load),
		Lowest: least, Highest: n.bank.Prospective(n.restVolts, behind)}.Selectivity()
}
