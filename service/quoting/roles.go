package quoting

import (
	"cmp"
	"slices"
	"strconv"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
)

// role is what a part does in a design: the same in two designs of one job.
type role struct {
	circuit string // empty for what belongs to the whole job
	place   string // within the circuit
}

// rolesOf gives the part of every role in a design.
func rolesOf(d *design.Design) map[role]*catalog.Part {
	all := map[role]*catalog.Part{}
	circuits := make([]*design.Circuit, 0, len(d.Circuits)+len(d.Leads)+1)
	for i := range d.Circuits {
		circuits = append(circuits, &d.Circuits[i])
	}
	for i := range d.Leads {
		circuits = append(circuits, &d.Leads[i].Circuit)
	}
	if d.Straps != nil {
		circuits = append(circuits, d.Straps)
	}
	for _, c := range circuits {
		rolesOfCircuit(all, c)
	}
	for i := range d.Blocks {
		all[role{d.Blocks[i].FedBy, "block " + strconv.FormatBool(d.Blocks[i].Part.Fused)}] = &d.Blocks[i].Part.Part
	}
	sundryRoles(all, "", d.Sundries)
	return all
}

func rolesOfCircuit(all map[role]*catalog.Part, c *design.Circuit) {
	overcurrentRoles(all, c.ID, "fuse", &c.Protection)
	if c.FarProtection != nil {
		overcurrentRoles(all, c.ID, "far fuse", c.FarProtection)
	}
	if c.Relay != nil {
		all[role{c.ID, "relay"}] = &c.Relay.Part.Part
	}
	for i := range c.Runs {
		run := &c.Runs[i]
		if run.Conductor != nil {
			all[role{c.ID, run.ID}] = &run.Conductor.Part
		}
		for n := range run.Ends {
			at := run.ID + " end " + strconv.Itoa(n)
			if terminal := run.Ends[n].Plan.Terminal; terminal != nil {
				all[role{c.ID, at}] = &terminal.Part
			}
			if sleeve := run.Ends[n].Plan.Sleeve; sleeve != nil {
				all[role{c.ID, at + " sleeve"}] = &sleeve.Part
			}
		}
	}
	for _, s := range c.Equipment {
		if s.Part != nil {
			all[role{c.ID, "device " + s.DeviceID}] = &s.Part.Part
		}
	}
	sundryRoles(all, c.ID, c.Sundries)
}

func overcurrentRoles(all map[role]*catalog.Part, circuit, at string, o *design.Overcurrent) {
	if o.Fuse != nil {
		all[role{circuit, at}] = &o.Fuse.Part
	}
	if o.Holder != nil {
		all[role{circuit, at + " holder"}] = &o.Holder.Part
	}
}

func sundryRoles(all map[role]*catalog.Part, circuit string, list []design.Material) {
	for _, m := range list {
		if m.Sundry != nil {
			all[role{circuit, string(m.Sundry.Use)}] = &m.Sundry.Part
		}
	}
}

// placesOf gives what stands in the places that a part has in a design, in another
// design of the same job: on one circuit, on any for the empty one. The part that
// takes most of them comes first, of equals the first SKU.
func placesOf(sku, circuit string, was, now map[role]*catalog.Part) []*catalog.Part {
	count := map[string]int{}
	var found []*catalog.Part
	for r, p := range was {
		instead := now[r]
		if p.SKU != sku || circuit != "" && r.circuit != circuit || instead == nil || instead.Kind != p.Kind {
			continue
		}
		if count[instead.SKU]++; count[instead.SKU] == 1 {
			found = append(found, instead)
		}
	}
	slices.SortFunc(found, func(a, b *catalog.Part) int {
		return cmp.Or(cmp.Compare(count[b.SKU], count[a.SKU]), cmp.Compare(a.SKU, b.SKU))
	})
	return found
}
