package design_test

import (
	"strings"
	"testing"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"github.com/stretchr/testify/require"
)

// schematic is what a battery or a converter feeds, as the written design has it: every cable with
// its ends, every fuse in its holder, every relay and the body as a resistance
// between two named points.
type schematic struct {
	running, rest float64 // volts of the source
	high          float64 // ohms of the bank, at most
	rated         float64 // what a converter surely gives into a short, in amperes; 0 for a battery
	resistors     []resistor
	loads         []spiceLoad
	probes        []probe
	bodyOhm       float64 // 0 = nothing returns over the body
}

type resistor struct {
	a, b string
	ohm  float64
}

type spiceLoad struct {
	plus, minus string
	demand      electrical.Demand
}

// probe is where the volts of a node of the design are measured again.
type probe struct {
	circuit     string
	plus, minus string
	node        design.Node
	loads       []int // whose current goes through it
}

// The points that all circuits of a battery share.
const (
	sourcePlus = "source"
	ground     = "0" // the battery's negative; ngspice calls it so
	body       = "body"
)

// drawer turns a written design into schematics, one for each battery and converter.
type drawer struct {
	t         *testing.T
	cat       *catalog.Catalog
	vehicle   *catalog.Vehicle
	system    design.System
	trunks    map[string]*design.Circuit
	batteries map[string]*schematic
	order     []*schematic
}

func schematicsOf(t *testing.T, cat *catalog.Catalog, v *catalog.Vehicle, s design.System, got *design.Design) []*schematic {
	t.Helper()
	d := &drawer{t: t, cat: cat, vehicle: v, system: s, trunks: map[string]*design.Circuit{}, batteries: map[string]*schematic{}}
	for i := range got.Circuits {
		if c := &got.Circuits[i]; c.Kind == design.TrunkCircuit {
			d.trunks[c.ID] = c
		}
	}
	loads := map[string]int{}
	circuits := d.loadsOnly(got)
	for _, c := range circuits {
		on := d.of(c)
		d.wire(on, c)
		if c.Kind != design.TrunkCircuit {
			loads[c.ID] = len(on.loads)
			on.loads = append(on.loads, spiceLoad{c.ID + "/plus", c.ID + "/minus", d.demand(c)})
		}
	}
	for _, c := range circuits {
		d.probe(d.of(c), c, loads)
	}
	for _, on := range d.order {
		if on.bodyOhm > 0 {
			on.join(body, ground, on.bodyOhm)
		}
	}
	return d.order
}

// loadsOnly leaves out the links, which carry charge between batteries: they have no
// nodes, and take no part in the network.
func (d *drawer) loadsOnly(got *design.Design) []*design.Circuit {
	var out []*design.Circuit
	for i := range got.Circuits {
		c := &got.Circuits[i]
		if c.Kind != design.TrunkCircuit && deviceOf(d.cat, d.system, c.ID).ID == "" {
			require.Empty(d.t, c.Nodes, c.ID)
			continue
		}
		out = append(out, c)
	}
	return out
}

// of gives the schematic of the battery that a circuit is fed from.
func (d *drawer) of(c *design.Circuit) *schematic {
	id := c.FedFrom
	if trunk, ok := d.trunks[id]; ok {
		id = trunk.FedFrom
	}
	if on, ok := d.batteries[id]; ok {
		return on
	}
	source, err := d.cat.Shop.Defaults.SourceAt(d.vehicle.Nominal)
	require.NoError(d.t, err)
	on := &schematic{running: float64(c.Running.Source)}
	for i := range d.vehicle.Batteries {
		if b := &d.vehicle.Batteries[i]; b.ID == id {
			on.rest = float64(source.RestVolts(b.Chemistry))
			_, high := (&feeding{vehicle: d.vehicle, battery: b}).bank().Resistance()
			on.high = float64(high)
		}
	}
	if from := deviceOf(d.cat, d.system, id).Converter; from.Given() {
		on.rest, on.rated = float64(from.Output), float64(from.Rated)
	}
	require.Positive(d.t, on.rest, "%s is fed from a battery or converter", c.ID)
	d.batteries[id] = on
	d.order = append(d.order, on)
	return on
}

func (on *schematic) join(a, b string, ohm float64) {
	on.resistors = append(on.resistors, resistor{a, b, ohm})
}

// wire draws the cables of a circuit and what they go through.
func (d *drawer) wire(on *schematic, c *design.Circuit) {
	for i := range c.Runs {
		r := &c.Runs[i]
		on.join(d.name(on, c, r.From, "out"), d.name(on, c, r.To, "in"), float64(r.Resistance+r.Ends[0].Plan.Resistance+r.Ends[1].Plan.Resistance))
	}
	fuse := d.fuseOhm(c, &c.Protection)
	switch {
	case c.Protection.Block != nil:
		on.join(c.FedFrom+"/block", c.ID+"/way", fuse)
	case c.Protection.Holder.OnPost():
		on.join(sourcePlus, c.ID+"/fuse_holder/in", float64(electrical.BatteryClamp))
		fallthrough
	default:
		on.join(c.ID+"/fuse_holder/in", c.ID+"/fuse_holder/out", fuse)
	}
	if c.Relay != nil {
		on.join(c.ID+"/relay/in", c.ID+"/relay/out", float64(electrical.RelayContact(c.Relay.Part.Contact)))
	}
}

// fuseOhm is a fuse as warm as its circuit's full current makes it, with the
// contacts of its holder or block.
func (d *drawer) fuseOhm(c *design.Circuit, o *design.Overcurrent) float64 {
	figures, ok := electrical.FamilyOf(o.Fuse.Family)
	require.True(d.t, ok, o.Fuse.SKU)
	return float64(electrical.FuseResistance(figures, o.Fuse.Rating, max(c.Runs[0].Current, c.Load)) + figures.Contacts)
}

// name gives the point where a cable of a circuit begins ("out") or ends ("in").
func (d *drawer) name(on *schematic, c *design.Circuit, p design.Point, side string) string {
	trunk := c.FedFrom
	if c.Kind == design.TrunkCircuit {
		trunk = c.ID
	}
	switch p.Kind {
	case design.AtBatteryPositive, design.AtConverterPositive:
		return sourcePlus
	case design.AtBatteryNegative, design.AtSensor, design.AtConverterNegative:
		return ground
	case design.AtChassis:
		on.bodyOhm = float64(d.cat.Shop.Defaults.ChassisSteel)
		if d.vehicle.Category == electrical.Truck {
			on.bodyOhm = float64(d.cat.Shop.Defaults.ChassisFrame)
		}
		return body
	case design.AtBlock:
		if side == "out" {
			return c.ID + "/way"
		}
		return trunk + "/block"
	case design.AtBus:
		return trunk + "/bus"
	case design.AtDevicePositive:
		return c.ID + "/plus"
	case design.AtDeviceNegative:
		return c.ID + "/minus"
	case design.AtFuseHolder, design.AtRelay:
		return c.ID + "/" + string(p.Kind) + "/" + side
	}
	require.Fail(d.t, "a power cable that ends nowhere", "%s: %s", c.ID, p.Kind)
	return ""
}

// demand gives what the device of a circuit draws. The lowest volts of its
// constant-power load are those that the limits of the reply permit.
func (d *drawer) demand(c *design.Circuit) electrical.Demand {
	device := deviceOf(d.cat, d.system, c.ID)
	nominal := d.vehicle.Nominal
	if from := deviceOf(d.cat, d.system, device.FedFrom).Converter; from.Given() {
		nominal = from.Nominal
	}
	lowest := max(c.Running.Source-c.Running.LimitPercent.Of(nominal), device.MinVolts)
	if off := c.EngineOff; off != nil {
		lowest = min(lowest, off.Source-off.LimitPercent.Of(nominal))
	}
	source, err := d.cat.Shop.Defaults.SourceAt(nominal)
	require.NoError(d.t, err)
	source.Running = c.Running.Source
	demand, err := electrical.DemandOf(device.Load, electrical.LoadContext{Kind: device.Kind, Nominal: nominal, Source: source, Lowest: lowest})
	require.NoError(d.t, err, c.ID)
	require.InEpsilon(d.t, float64(demand.Design), float64(c.Peak), 1e-9, "%s: the reply and its device speak of the same current", c.ID)
	return demand
}

// probe measures the one node that every circuit has: between the terminals of its
// device, or between a trunk's block and its bus, or the body where it has none.
func (d *drawer) probe(on *schematic, c *design.Circuit, loads map[string]int) {
	require.Len(d.t, c.Nodes, 1, c.ID)
	p := probe{circuit: c.ID, node: c.Nodes[0]}
	if c.Kind != design.TrunkCircuit {
		require.Equal(d.t, design.AtDevicePositive, p.node.At.Kind, c.ID)
		p.plus, p.minus, p.loads = c.ID+"/plus", c.ID+"/minus", []int{loads[c.ID]}
		on.probes = append(on.probes, p)
		return
	}
	require.Equal(d.t, design.Point{Kind: design.AtBlock, ID: c.Zone}, p.node.At, c.ID)
	p.plus, p.minus = c.ID+"/block", body
	for _, r := range c.Runs {
		if r.From.Kind == design.AtBus {
			p.minus = c.ID + "/bus"
		}
	}
	for _, id := range c.DeviceIDs {
		p.loads = append(p.loads, loads[id])
	}
	on.probes = append(on.probes, p)
}

// features counts what a design has of all that the network must get right.
func features(count map[string]int, v *catalog.Vehicle, got *design.Design, drawn []*schematic) {
	count["designs"]++
	count[string(v.Category)]++
	for _, has := range []struct {
		name string
		is   bool
	}{{"24 V", v.Nominal == 24}, {"48 V", v.Nominal == 48}, {"several batteries", len(drawn) > 1}} {
		if has.is {
			count[has.name]++
		}
	}
	overBody := 0
	for i := range got.Circuits {
		c := &got.Circuits[i]
		switch {
		case strings.HasPrefix(c.ID, "hub/"):
			count["hubs"]++
		case c.Kind == design.TrunkCircuit:
			count["trunks"]++
		case c.Runs[len(c.Runs)-1].To.Kind == design.AtChassis:
			overBody++
		}
		if c.Relay != nil {
			count["relays"]++
		}
		if c.Runs[0].From.Kind == design.AtConverterPositive {
			count["from converters"]++
		}
		if len(c.Nodes) == 0 {
			count["links"]++
		}
		if h := c.Protection.Holder; h != nil && h.OnPost() {
			count["fuses on the post"]++
		}
	}
	if overBody > 1 {
		count["body shared"]++
	}
	for _, on := range drawn {
		for _, l := range on.loads {
			count[string(l.demand.Behaviour)]++
		}
	}
}
