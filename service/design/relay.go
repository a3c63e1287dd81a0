package design

import (
	"sort"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// RelayUse is the relay of a switched circuit.
type RelayUse struct {
	Part    *catalog.Relay
	Zone    string
	Reasons []electrical.Reason
}

// switching is a relay in a feed with its two contact ends; the zero switching is
// none.
type switching struct {
	relay *catalog.Relay
	end   termination.Plan // each of the two contacts
	r     quantity.Ohms    // contact and both ends
	nano  int64
}

// contacts of a relay that carry the load: in and out.
const contacts = 2

// relayLoops is the cable that the relay adds to the feed: a service loop at each
// contact.
func (s *solver) relayLoops() quantity.Metres { return contacts * s.allowances.LoopPerEnd }

// switchings gives the relays that may switch a circuit behind a fuse, cheapest
// first: the contact bears the fuse's rating, the coil is for the nominal volts.
// A circuit that needs none gives the zero switching alone.
func (s *solver) switchings(c *circuitPlan, cable *catalog.Conductor, rating quantity.Amps, where *catalog.Zone, t *tally) []switching {
	if !c.need.relay {
		return []switching{{}}
	}
	if where.Vapour { // no relay of a catalog states ignition protection
		return nil
	}
	sealed := electrical.NeedsSealing(where.Environment)
	var out []switching
	for _, r := range s.cat.RelaysFor(c.need.nominal) {
		if r.Contact < rating || sealed && !r.Sealed {
			continue
		}
		end, ok := s.end(cable, r.Landing, where.Environment, false, AtRelay, t)
		if !ok {
			continue
		}
		w := switching{relay: r, end: end, r: electrical.RelayContact(r.Contact) + contacts*end.Resistance, nano: r.UnitNano + contacts*end.Nano}
		w.nano += s.workNano(s.addWork(nil, catalog.TaskRelay, 1, where.Environment))
		out = append(out, w)
	}
	sort.SliceStable(out, func(i, j int) bool { return out[i].nano < out[j].nano })
	return out
}

// use gives the relay for the reply; nil where there is none.
func (w *switching) use(zone string, n *need) *RelayUse {
	if w.relay == nil {
		return nil
	}
	return &RelayUse{Part: w.relay, Zone: zone, Reasons: []electrical.Reason{electrical.Because("relay.needed", "common practice, no source",
		electrical.Num("current_a", n.load, electrical.UnitA), electrical.Num("limit_a", electrical.RelayAbove, electrical.UnitA), electrical.Num("contact_a", w.relay.Contact, electrical.UnitA))}}
}

// throughRelay splits a feed at its relay: a short run from the fuse to the relay
// and the rest from there. Without a relay the feed stays whole.
func (s *solver) throughRelay(w *switching, feed Run, id string) []Run {
	if w.relay == nil {
		return []Run{feed}
	}
	contact := End{w.relay.Landing, w.end}
	short, rest := feed, feed
	share := float64(s.relayLoops() / feed.Length)
	short.ID, short.To, short.Ends[1], short.Reasons = id+"/relay", Point{AtRelay, id}, contact, nil
	short.Length, short.Drop, short.Resistance = s.relayLoops(), feed.Drop*quantity.Volts(share), feed.Resistance*quantity.Ohms(share)
	rest.From, rest.Ends[0] = Point{AtRelay, id}, contact
	rest.Length, rest.Drop, rest.Resistance = feed.Length-short.Length, feed.Drop-short.Drop, feed.Resistance-short.Resistance
	return []Run{short, rest}
}
