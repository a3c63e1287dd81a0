package design

import (
	"slices"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Node is a point of a circuit with the volts that are really there once every
// load draws what it draws at them.
type Node struct {
	At           Point
	Running      quantity.Volts
	Current      quantity.Amps  // drawn there, engine running
	EngineOff    quantity.Volts // where HasEngineOff
	HasEngineOff bool           // the source can serve the loads with the engine off
}

// network is the circuits of one battery as shared resistances.
type network struct {
	running, rest quantity.Volts
	elements      []electrical.Element
	loads         []electrical.Demand
	plans         []int // by load
	trunks        []trunkPlace
	body          int // index of the body's element, -1 where nothing returns over it
}

// trunkPlace is where a trunk's block sits in the network.
type trunkPlace struct {
	choice *trunkChoice
	feed   int // index of its element
	// back is the element between the block's other side and the battery: the
	// trunk's return, or the body where no branch comes back on cable.
	back int
}

// operate solves the network of every battery and writes the volts of the nodes
// into the circuits.
func (s *solver) operate(d *drafts, a arrangement, out *Design) {
	for _, members := range byOrigin(d.plans) {
		members = slices.DeleteFunc(members, func(i int) bool { return d.plans[i].device.link != "" })
		if len(members) == 0 {
			continue // links carry charge, not a load that could be solved for
		}
		n := networkOf(d, a, members)
		running, err := electrical.SolveNetwork(n.running, n.elements, n.loads)
		if err != nil {
			continue // every limit was kept at the largest currents, so there is a point
		}
		off, err := electrical.SolveNetwork(n.rest, n.elements, n.loads)
		n.write(d, out, running, off, err == nil)
	}
}

// networkOf gathers the resistances of a battery's circuits.
func networkOf(d *drafts, a arrangement, members []int) *network {
	first := &d.plans[members[0]].need
	n := &network{running: first.source.Running, rest: first.restVolts, body: -1}
	load := map[int]int{}
	var body []int
	for _, i := range members {
		load[i] = len(n.loads)
		n.loads = append(n.loads, d.plans[i].need.demand)
		n.plans = append(n.plans, i)
		if d.plans[i].need.chassis {
			body = append(body, load[i])
		}
	}
	if len(body) > 0 {
		n.body = len(n.elements)
		n.elements = append(n.elements, electrical.Element{R: d.plans[n.plans[body[0]]].need.chassisR, Loads: body})
	}
	fed := fedByTrunk(a.trunks, len(d.plans))
	for _, i := range members {
		if !fed[i] {
			n.own(load[i], d.singles[i].total-d.plans[i].need.chassisR)
		}
	}
	for _, t := range a.trunks {
		if t.group.origin == d.plans[members[0]].origin {
			n.trunk(d, t, load)
		}
	}
	return n
}

// own adds a resistance that one load has to itself.
func (n *network) own(load int, r quantity.Ohms) {
	n.elements = append(n.elements, electrical.Element{R: r, Loads: []int{load}})
}

// trunk adds a trunk, shared on the feed side by all its branches and on the
// return side by those that come back on cable, and the branches.
func (n *network) trunk(d *drafts, t *trunkChoice, load map[int]int) {
	feed := electrical.Element{R: t.drop.feedR}
	back := electrical.Element{R: t.drop.backR}
	for i := range t.branches {
		index := t.branches[i].index
		k := load[index]
		feed.Loads = append(feed.Loads, k)
		if !d.plans[index].need.chassis {
			back.Loads = append(back.Loads, k)
		}
		n.own(k, t.picked[i].total-d.plans[index].need.chassisR)
	}
	place := trunkPlace{choice: t, feed: len(n.elements), back: n.body}
	n.elements = append(n.elements, feed)
	if len(back.Loads) > 0 {
		place.back = len(n.elements)
		n.elements = append(n.elements, back)
	}
	n.trunks = append(n.trunks, place)
}

// write puts the solved volts into the circuits.
func (n *network) write(d *drafts, out *Design, running, off electrical.OperatingPoints, hasOff bool) {
	circuits := map[string]*Circuit{}
	for i := range out.Circuits {
		circuits[out.Circuits[i].ID] = &out.Circuits[i]
	}
	for k, i := range n.plans {
		id := d.plans[i].device.ID
		node := Node{At: Point{AtDevicePositive, id}, Running: running.Volts[k], Current: running.Currents[k], HasEngineOff: hasOff}
		if hasOff {
			node.EngineOff = off.Volts[k]
		}
		circuits[id].Nodes = append(circuits[id].Nodes, node)
	}
	for _, t := range n.trunks {
		id := trunkID(t.choice.group)
		node := Node{At: Point{AtBlock, t.choice.group.zone.ID}, HasEngineOff: hasOff}
		node.Running, node.Current = n.atBlock(t, n.running, running)
		if hasOff {
			node.EngineOff, _ = n.atBlock(t, n.rest, off)
		}
		circuits[id].Nodes = append(circuits[id].Nodes, node)
	}
}

// atBlock gives the volts between a block and its bus, or the body where there is
// none, and the current of the trunk.
func (n *network) atBlock(t trunkPlace, source quantity.Volts, p electrical.OperatingPoints) (quantity.Volts, quantity.Amps) {
	current := n.through(t.feed, p)
	return source - n.lost(t.feed, p) - n.lost(t.back, p), current
}

// lost gives the volts across an element.
func (n *network) lost(element int, p electrical.OperatingPoints) quantity.Volts {
	return n.through(element, p).Through(n.elements[element].R)
}

// through gives the current of an element.
func (n *network) through(element int, p electrical.OperatingPoints) quantity.Amps {
	sum := quantity.Amps(0)
	for _, k := range n.elements[element].Loads {
		sum += p.Currents[k]
	}
	return sum
}
