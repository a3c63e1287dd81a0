package design_test

import (
	"fmt"
	"testing"

	"example.com/lugbook/service/design"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// faultDeck writes a network down once for every probe, each time with the bank's
// highest resistance, nothing switched on and a dead short at the probe, and asks for
// the current through it.
func faultDeck(drawn []*schematic) string {
	d := &deck{nodes: map[string]string{}}
	d.line("* dead shorts of a job")
	n := 0
	for _, on := range drawn {
		for k := range on.probes {
			p := &on.probes[k]
			emf := sourcePlus
			if on.high > 0 {
				emf = "emf"
				d.line("Rbank%d %s %s %.12g", n, d.node(n, emf), d.node(n, sourcePlus), on.high)
			}
			d.line("Vbank%d %s 0 DC %.12g", n, d.node(n, emf), on.rest)
			for _, r := range on.resistors {
				d.line("%s %s %s %.12g", d.part("R"), d.node(n, r.a), d.node(n, r.b), r.ohm)
			}
			d.line("Vshort%d %s %s DC 0", n, d.node(n, p.plus), d.node(n, p.minus))
			n++
		}
	}
	d.line(".options reltol=1e-9 vntol=1e-9 abstol=1e-9 gmin=1e-15")
	d.line(".control")
	d.line("set numdgt=12")
	d.line("op")
	for i := range n {
		d.line("let fault_%d = i(vshort%d)", i, i)
		d.line("print fault_%d", i)
	}
	d.line("quit")
	d.line(".endc")
	d.line(".end")
	return d.String()
}

// TestNgspiceAgreesOnFaults holds the least current of a short at every far end, behind
// trunks too, against ngspice.
func TestNgspiceAgreesOnFaults(t *testing.T) {
	t.Parallel()
	path := simulator(t)
	jobs := 25
	if testing.Short() {
		jobs = 4
	}
	faults := 0
	count := forAnyNetwork(t, 2, jobs, func(solved []solvedDesign) {
		for _, d := range solved {
			amps := simulate(t, path, faultDeck(d.drawn))
			shorts := map[string]*design.Circuit{}
			for i := range d.got.Circuits {
				shorts[d.got.Circuits[i].ID] = &d.got.Circuits[i]
			}
			n := 0
			for _, on := range d.drawn {
				for _, p := range on.probes {
					want, ok := amps[fmt.Sprintf("fault_%d", n)]
					require.True(t, ok, "%s: ngspice found no current", d.name)
					if on.rated > 0 { // a converter gives no more for sure
						want = min(want, on.rated)
					}
					assert.InEpsilon(t, want, float64(shorts[p.circuit].Short.Fault), spiceTolerance, "%s %s", d.name, p.circuit)
					n++
					faults++
				}
			}
		}
	})
	t.Logf("%d faults; %v", faults, count)
	if !testing.Short() {
		for _, feature := range []string{"trunks", "hubs", "body shared", "relays", "fuses on the post", "from converters"} {
			assert.Positive(t, count[feature], "no design with: %s", feature)
		}
	}
}
