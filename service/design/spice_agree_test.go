package design_test

import (
	"fmt"
	"math"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// spiceTolerance is how far the two solutions may lie apart, as a share of the
// source's volts. Both are exact but for rounding; one forgotten lug of 0.05 mΩ
// shows from half an ampere on.
const spiceTolerance = 1e-6

// simulator gives the path of ngspice. Without it the test is skipped, or fails
// where the tools are required.
func simulator(t *testing.T) string {
	t.Helper()
	path, err := exec.LookPath("ngspice")
	if err == nil {
		return path
	}
	const advice = "ngspice is not installed: apt-get install -y ngspice"
	if os.Getenv("LUGBOOK_REQUIRE_TOOLS") == "1" || os.Getenv("CI") == "true" {
		require.Fail(t, advice)
	}
	t.Skip(advice)
	return ""
}

// deck is the text that ngspice reads: the networks of some designs side by side.
// Their only common point is the ground.
type deck struct {
	strings.Builder
	nodes map[string]string
	parts int
}

// deckOf writes networks down, solves them at the running volts and then at the
// resting ones, and asks for the volts of every probe.
func deckOf(drawn []*schematic) string {
	d := &deck{nodes: map[string]string{}}
	d.line("* networks of a job")
	for i, on := range drawn {
		d.network(i, on)
	}
	d.line(".options reltol=1e-9 vntol=1e-9 abstol=1e-9 gmin=1e-15")
	d.line(".control")
	d.line("set numdgt=12")
	d.measure("running", drawn)
	for i, on := range drawn {
		d.line("alter Vsource%d = %.12g", i, on.rest)
	}
	d.measure("off", drawn)
	d.line("quit")
	d.line(".endc")
	d.line(".end")
	return d.String()
}

func (d *deck) line(format string, args ...any) { fmt.Fprintf(d, format+"\n", args...) }

// node gives the short name of a point of a network.
func (d *deck) node(network int, point string) string {
	if point == ground {
		return ground
	}
	key := fmt.Sprintf("%d %s", network, point)
	if _, ok := d.nodes[key]; !ok {
		d.nodes[key] = fmt.Sprintf("n%d", len(d.nodes))
	}
	return d.nodes[key]
}

// part numbers the parts, whose first letter says what they are.
func (d *deck) part(letter string) string {
	d.parts++
	return fmt.Sprintf("%s%d", letter, d.parts)
}

func (d *deck) network(i int, on *schematic) {
	d.line("Vsource%d %s 0 DC %.12g", i, d.node(i, sourcePlus), on.running)
	for _, r := range on.resistors {
		d.line("%s %s %s %.12g", d.part("R"), d.node(i, r.a), d.node(i, r.b), r.ohm)
	}
	for _, l := range on.loads {
		plus, minus := d.node(i, l.plus), d.node(i, l.minus)
		switch l.demand.Behaviour {
		case electrical.ConstantPower:
			// The search may pass through 0 V. No stable point is below half the
			// source's volts, so at a quarter the power may as well end.
			d.line("%s %s %s I={%.12g/max(V(%s,%s),%.12g)}", d.part("B"), plus, minus, float64(l.demand.Power), plus, minus, on.rest/4)
		case electrical.Resistive:
			d.line("%s %s %s %.12g", d.part("R"), plus, minus, float64(l.demand.Reference)/float64(l.demand.Design))
		default:
			d.line("%s %s %s DC %.12g", d.part("I"), plus, minus, float64(l.demand.Design))
		}
		d.line(".nodeset V(%s)=%.12g", plus, on.running)
	}
}

// measure solves the operating point and asks for the volts of the probes.
func (d *deck) measure(condition string, drawn []*schematic) {
	d.line("op")
	for i, on := range drawn {
		for k, p := range on.probes {
			minus := ""
			if p.minus != ground {
				minus = fmt.Sprintf("-v(%s)", d.node(i, p.minus))
			}
			name := measured(condition, i, k)
			d.line("let %s = v(%s)%s", name, d.node(i, p.plus), minus)
			d.line("print %s", name)
		}
	}
}

// measured names the volts of a probe.
func measured(condition string, network, probe int) string {
	return fmt.Sprintf("%s_%d_%d", condition, network, probe)
}

// simulate runs a deck and gives what it printed.
func simulate(t *testing.T, path, text string) map[string]float64 {
	t.Helper()
	file := filepath.Join(t.TempDir(), "job.cir")
	require.NoError(t, os.WriteFile(file, []byte(text), 0o600))
	out, err := exec.CommandContext(t.Context(), path, "-n", "-b", file).CombinedOutput()
	require.NoError(t, err, "%s\n%s", out, text)
	volts := map[string]float64{}
	for line := range strings.Lines(string(out)) {
		name, value, ok := strings.Cut(strings.TrimSpace(line), " = ")
		if v, err := strconv.ParseFloat(value, 64); ok && err == nil {
			volts[name] = v
		}
	}
	return volts
}

// TestNgspiceAgrees holds every node of made-up designs against ngspice, a circuit
// simulator that shares nothing with this program but Ohm's law: the network is
// drawn from the cables, ends, fuses and relays of the reply, and solved engine
// running and off.
func TestNgspiceAgrees(t *testing.T) {
	t.Parallel()
	path := simulator(t)
	jobs := 55
	if testing.Short() {
		jobs = 8
	}
	worst, where, nodes := 0.0, "", 0
	compare := func(name string, source, want, got float64) {
		apart := math.Abs(got-want) / source
		nodes++
		if apart > worst {
			worst, where = apart, name
		}
		assert.LessOrEqual(t, apart, spiceTolerance, "%s: ngspice says %.6f V, the design %.6f V", name, want, got)
	}
	count := forAnyNetwork(t, 1, jobs, func(solved []solvedDesign) {
		for _, d := range solved {
			volts := simulate(t, path, deckOf(d.drawn))
			for i, on := range d.drawn {
				for k, p := range on.probes {
					name := d.name + " " + p.circuit
					running, ok := volts[measured("running", i, k)]
					require.True(t, ok, "%s: ngspice found no operating point\n%s", name, deckOf(d.drawn))
					compare(name, on.running, running, float64(p.node.Running))
					assert.InEpsilon(t, on.current(volts, i, &p), float64(p.node.Current), spiceTolerance, "%s: current", name)
					if !p.node.HasEngineOff {
						continue
					}
					off, ok := volts[measured("off", i, k)]
					require.True(t, ok, "%s: ngspice found no operating point at rest\n%s", name, deckOf(d.drawn))
					compare(name+", engine off", on.rest, off, float64(p.node.EngineOff))
				}
			}
		}
	})
	t.Logf("%d volts of nodes; the largest deviation is %.2g of the source's volts, at %s; %v", nodes, worst, where, count)
	if testing.Short() {
		return
	}
	for _, feature := range []string{"24 V", "48 V", "several batteries", "boat", "truck", "motorcycle", "body shared", "trunks", "hubs", "relays", "fuses on the post",
		"links", "from converters", string(electrical.ConstantPower), string(electrical.ConstantCurrent), string(electrical.Resistive)} {
		assert.Positive(t, count[feature], "no design with: %s", feature)
	}
}

// current is what the loads behind a probe draw at the volts that were measured at
// their own.
func (on *schematic) current(volts map[string]float64, network int, p *probe) float64 {
	sum := 0.0
	for _, load := range p.loads {
		for k := range on.probes {
			if on.probes[k].plus == on.loads[load].plus {
				sum += float64(on.loads[load].demand.At(quantity.Volts(volts[measured("running", network, k)])))
			}
		}
	}
	return sum
}
