package design_test

import (
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/design"
)

// circuits gives the circuits of a network's loads, in their order.
func (on *schematic) circuits(got *design.Design) []*design.Circuit {
	out := make([]*design.Circuit, len(on.loads))
	for i := range on.loads {
		for k := range got.Circuits {
			if c := &got.Circuits[k]; on.loads[i].plus == c.ID+"/plus" {
				out[i] = c
			}
		}
	}
	return out
}

// exceeds tells that a load of the network really draws more than the current that
// its cables were chosen for: one of constant power, at volts below those that its
// watts were counted at.
func (on *schematic) exceeds(circuits []*design.Circuit, volts func(*design.Node) quantity.Volts) bool {
	for i, c := range circuits {
		if on.loads[i].demand.At(volts(&c.Nodes[0])) > c.Runs[0].Current*(1+1e-9) {
			return true
		}
	}
	return false
}

// TestSelectionIsOnTheSafeSide: once every load draws what it really draws, no
// device gets less than its voltage check says. That is asked of networks in which
// no load draws more than was counted. The others are told, not judged: output watts
// are counted at nominal volts and neighbours on trunk and body at the volts of a
// running engine, and below those a load of constant power draws more.
func TestSelectionIsOnTheSafeSide(t *testing.T) {
	t.Parallel()
	jobs := 20
	if testing.Short() {
		jobs = 8
	}
	held, excused, most := map[string]int{}, map[string]int{}, quantity.Volts(0)
	forAnyNetwork(t, 2, jobs, func(solved []solvedDesign) {
		for _, d := range solved {
			for _, on := range d.drawn {
				circuits := on.circuits(d.got)
				judge := func(condition string, volts func(*design.Node) quantity.Volts, check func(*design.Circuit) *design.VoltageCheck) {
					beyond := on.exceeds(circuits, volts)
					for _, c := range circuits {
						promise := check(c)
						switch {
						case promise == nil:
						case beyond:
							excused[condition]++
							most = max(most, promise.Device-volts(&c.Nodes[0]))
						default:
							held[condition]++
							assert.GreaterOrEqual(t, float64(volts(&c.Nodes[0])), float64(promise.Device)-1e-6, "%s %s, %s", d.name, c.ID, condition)
						}
					}
				}
				judge("running", func(n *design.Node) quantity.Volts { return n.Running }, func(c *design.Circuit) *design.VoltageCheck { return &c.Running })
				judge("engine off", func(n *design.Node) quantity.Volts { return n.EngineOff }, func(c *design.Circuit) *design.VoltageCheck {
					if !c.Nodes[0].HasEngineOff {
						return nil
					}
					return c.EngineOff
				})
			}
		}
	})
	for _, condition := range []string{"running", "engine off"} {
		assert.Greater(t, held[condition], jobs, "enough devices are judged, %s", condition)
	}
	t.Logf("held %v; beside loads that draw more than was counted %v, short by %.3f V at the most", held, excused, float64(most))
}
