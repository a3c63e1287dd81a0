package cli

import (
	"slices"
	"strconv"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
)

// outline is a quote's design in the order in which people read it, and what its
// ids are called: a reply refers by id, a reader wants names.
type outline struct {
	quote   *lugbookv1.Quote
	entries []entry
	names   map[string]string // by id of circuit, run, lead, device or zone
	parts   map[string]string // descriptions of parts by number
}

// entry is one circuit with its place.
type entry struct {
	circuit *lugbookv1.Circuit
	name    string // what it feeds
	number  string // 1, and 1.2 for the second branch of trunk 1
	depth   int    // how many trunks are between it and the battery
	feeder  string // title of the trunk that feeds it; empty at the battery
	trunk   bool   // branches hang on it
}

// title gives number and name of a circuit.
func (e entry) title() string {
	if e.depth == 0 {
		return e.number + ". " + e.name
	}
	return e.number + " " + e.name
}

// newOutline puts the circuits of a quote in order.
func newOutline(q *lugbookv1.Quote) *outline {
	o := &outline{quote: q, names: map[string]string{}, parts: map[string]string{}}
	o.nameEquipment()
	o.arrange(q.GetDesign().GetCircuits())
	o.nameCircuits()
	for _, l := range q.GetLines() {
		o.parts[l.GetSku()] = l.GetDescription()
	}
	return o
}

// arrange puts each trunk before its branches and keeps the order of the reply
// otherwise.
func (o *outline) arrange(circuits []*lugbookv1.Circuit) {
	branches := map[string][]*lugbookv1.Circuit{}
	var tops []*lugbookv1.Circuit
	for _, c := range circuits {
		if trunk := trunkOf(c, circuits); trunk != "" {
			branches[trunk] = append(branches[trunk], c)
		} else {
			tops = append(tops, c)
		}
	}
	seen := map[*lugbookv1.Circuit]bool{}
	var add func(c *lugbookv1.Circuit, number string, depth int, feeder string)
	add = func(c *lugbookv1.Circuit, number string, depth int, feeder string) {
		if seen[c] {
			return
		}
		seen[c] = true
		e := entry{circuit: c, name: o.circuitName(c), number: number, depth: depth, feeder: feeder, trunk: len(branches[c.GetId()]) > 0}
		o.entries = append(o.entries, e)
		for i, b := range branches[c.GetId()] {
			add(b, number+"."+strconv.Itoa(i+1), depth+1, e.title())
		}
	}
	for i, c := range tops {
		add(c, strconv.Itoa(i+1), 0, "")
	}
	n := len(tops)
	for _, c := range circuits { // no reply feeds circuits in a ring, but none may vanish
		if !seen[c] {
			n++
			add(c, strconv.Itoa(n), 0, "")
		}
	}
}

// trunkOf gives the id of the trunk that feeds a circuit, empty for one at a
// battery. A battery may have the id of a circuit, so the trunk has to feed the
// circuit's devices too.
func trunkOf(c *lugbookv1.Circuit, circuits []*lugbookv1.Circuit) string {
	for _, t := range circuits {
		if t.GetId() != c.GetFedFrom() || t == c || len(t.GetDeviceIds()) == 0 {
			continue
		}
		outside := func(id string) bool { return !slices.Contains(t.GetDeviceIds(), id) }
		if !slices.ContainsFunc(c.GetDeviceIds(), outside) {
			return t.GetId()
		}
	}
	return ""
}

// strapsTitle heads the straps that the body gets.
const strapsTitle = "Ground straps"

// nameEquipment collects what zones, devices, leads and straps are called. Where a zone
// and a device have one id, the device wins.
func (o *outline) nameEquipment() {
	for _, z := range o.quote.GetVehicle().GetZones() {
		o.names[z.GetId()] = firstOf(z.GetLabel(), z.GetId())
	}
	for _, d := range o.quote.GetSystem().GetDevices() {
		o.names[d.GetId()] = firstOf(d.GetLabel(), d.GetId())
	}
	for _, l := range o.quote.GetDesign().GetLeads() {
		o.names[l.GetId()] = o.leadName(l)
	}
	if straps := o.quote.GetDesign().GetGroundStraps(); straps != nil {
		o.names[straps.GetId()] = strapsTitle
	}
}

// nameCircuits adds circuits and their runs, which win over all others.
func (o *outline) nameCircuits() {
	for _, e := range o.entries {
		o.names[e.circuit.GetId()] = e.name
		for _, r := range e.circuit.GetRuns() {
			o.names[r.GetId()] = e.name + labelled(", %", word(r.GetPolarity()))
		}
	}
}

// circuitName says what a circuit feeds.
func (o *outline) circuitName(c *lugbookv1.Circuit) string {
	var devices []string
	for _, id := range c.GetDeviceIds() {
		devices = append(devices, o.called(id))
	}
	return firstOf(c.GetLabel(), strings.Join(devices, ", "), c.GetId())
}

// called gives the name of an id. Of "amp/coil", where nothing has that id, it
// gives the name of amp; and the id itself where nothing has a name.
func (o *outline) called(id string) string {
	if name := o.names[id]; name != "" {
		return name
	}
	owner, _, _ := strings.Cut(id, "/")
	return firstOf(o.names[owner], id)
}

// part describes a part by its number, which is all that parts of a design carry
// that have no description of their own.
func (o *outline) part(sku string) string {
	if text := o.parts[sku]; text != "" && sku != "" {
		return text + " (" + sku + ")"
	}
	return sku
}

// blocks gives the blocks that a circuit feeds.
func (o *outline) blocks(circuit string) []*lugbookv1.Block {
	var list []*lugbookv1.Block
	for _, b := range o.quote.GetDesign().GetBlocks() {
		if b.GetFedBy() == circuit {
			list = append(list, b)
		}
	}
	return list
}

// leadName says which lead it is.
func (o *outline) leadName(l *lugbookv1.LeadPlan) string {
	return listed(firstOf(l.GetLabel(), o.called(l.GetDeviceId())), labelled("% lead", word(l.GetKind())))
}
