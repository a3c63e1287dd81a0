package design_test

import (
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// panel is a fused block, with a bus for the returns where any comes back on cable.
type panel struct{ block, bus *catalog.Block }

// panels lists what may sit in a zone: sealed where it is harsh, nothing where
// vapour gathers.
func (j *job) panels(zone *catalog.Zone, cabled bool) []panel {
	var out []panel
	fits := func(b *catalog.Block) bool { return zone.Environment == electrical.Cabin || b.Sealed }
	for i := range j.cat.Blocks {
		block := &j.cat.Blocks[i]
		if zone.Vapour || !block.Fused || !fits(block) || !j.family(block.Family) {
			continue
		}
		if !cabled {
			out = append(out, panel{block: block})
		}
		for k := range j.cat.Blocks {
			if bus := &j.cat.Blocks[k]; cabled && !bus.Fused && fits(bus) {
				out = append(out, panel{block, bus})
			}
		}
	}
	return out
}

// branchWay is one way to build a branch.
type branchWay struct {
	w        cabled
	fuse     *catalog.Fuse
	joints   float64
	soldered bool
	nano     int64
}

// behind gives a circuit as it is behind a block in a zone.
func (j *job) behind(m member, zone *catalog.Zone, trunk float64) member {
	a := j.cat.Shop.Allowances
	loop := float64(a.LoopPerEnd)
	if m.end.Removable {
		loop = float64(a.LoopRemovable)
	}
	w := way{stretches: map[stretch]float64{zoneStretch(zone): float64(a.LoopPerEnd)}}
	routes, _ := shortestWay(j.vehicle, zone.ID, m.end.ID)
	for _, r := range routes {
		w.stretches[stretch{environment: r.Environment}] += float64(r.Length) * (1 + float64(a.Route)/100)
		w.bundled = max(w.bundled, r.BundledWith)
	}
	w.stretches[zoneStretch(m.end)] += float64(m.end.Reach)*(1+float64(a.Route)/100) + loop
	if m.device.HasMeasured {
		scale := max(float64(a.LoopPerEnd)+loop, float64(m.device.Measured)-trunk) / w.length()
		for s := range w.stretches {
			w.stretches[s] *= scale
		}
	}
	m.feed, m.at = w, zone
	if !m.chassis {
		m.back = w
	}
	return m
}

// branchWays lists the ways to build a circuit behind a panel, with the maker's
// fuse or, where the block cannot hold that, the nearest below it.
func (j *job) branchWays(m *member, p panel) []branchWay {
	ways := j.branchWaysAsAsked(m, p)
	if len(ways) > 0 || m.makerFuse == 0 {
		return ways
	}
	m.makerFuse, m.ceiling = 0, m.makerFuse
	return j.branchWaysAsAsked(m, p)
}

func (j *job) branchWaysAsAsked(m *member, p panel) []branchWay {
	most := p.block.WayMax
	if !m.chassis {
		most = min(most, p.bus.WayMax)
	}
	var fuses []*catalog.Fuse
	for i := range j.cat.Fuses {
		fuse := &j.cat.Fuses[i]
		if fuse.Family != p.block.Family || fuse.Rating > most || !m.ratingServes(fuse) || float64(fuse.Voltage) < m.highest {
			continue
		}
		if len(fuses) > 0 && fuse.Rating < fuses[0].Rating {
			fuses = nil
		}
		if len(fuses) == 0 || fuse.Rating == fuses[0].Rating {
			fuses = append(fuses, fuse)
		}
	}
	var out []branchWay
	for _, pair := range j.pairs {
		w, ok := m.cable(pair[0].Conductor)
		if !ok {
			continue
		}
		joints, ends, soldered, ok := j.branchEnds(m, pair, p)
		if !ok {
			continue
		}
		for _, fuse := range fuses {
			if float64(fuse.Rating) <= w.iz && m.volts(&w, joints, fuse, lost{}) {
				out = append(out, branchWay{w, fuse, joints, soldered, laid(&m.feeding, pair) + ends + fuse.UnitNano})
			}
		}
	}
	return out
}

func (j *job) branchEnds(m *member, pair [2]*catalog.Conductor, p panel) (ohm float64, nano int64, soldered, ok bool) {
	positive, negative := m.device.Maker.Positive, m.device.Maker.Negative
	positive.Largest, negative.Largest = m.device.Maker.TerminalMax, m.device.Maker.TerminalMax
	back := termination.Joint{Conductor: pair[1], Environment: m.end.Environment, Landing: catalog.Landing{Kind: catalog.OnChassis, Stud: m.end.GroundStud}}
	if !m.chassis {
		back.Environment, back.Landing = m.at.Environment, p.bus.Out
	}
	return j.made([]termination.Joint{
		{Landing: p.block.Out, Conductor: pair[0], Environment: m.at.Environment},
		{Landing: positive, Conductor: pair[0], Environment: m.end.Environment},
		{Landing: negative, Conductor: pair[1], Environment: m.end.Environment}, back})
}
