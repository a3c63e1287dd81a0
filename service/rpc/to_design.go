package rpc

import (
	"math"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/termination"

	"google.golang.org/protobuf/proto"
)

// names gives the labels of zones and devices by id, for sentences.
type names map[string]string

func (p prose) namesOf(v *catalog.Vehicle, d *design.Design) names {
	n := names{}
	for _, z := range v.Zones {
		n["zone/"+z.ID] = z.Label
	}
	for _, c := range d.Circuits {
		n["device/"+c.ID] = p.circuitName(&c)
		if c.Kind == design.TrunkCircuit {
			n["device/"+c.ID] = p.trunk(&c, n)
		}
	}
	return n
}

// circuitName names the circuit of a device by it, and that of a charger with two by
// its side too.
func (p prose) circuitName(c *design.Circuit) string {
	if c.Side == "" {
		return c.Label
	}
	return p.Say("circuit."+string(c.Side), electrical.Name("name", c.Label))
}

// trunk names a trunk by where it leads.
func (p prose) trunk(c *design.Circuit, n names) string {
	if c.Part > 1 {
		return p.Say("circuit.trunk_part", electrical.Name("zone", n["zone/"+c.Zone]), electrical.Num("part", c.Part, electrical.UnitCount))
	}
	return p.Say("circuit.trunk", electrical.Name("zone", n["zone/"+c.Zone]))
}

// point gives where a run begins or ends, in words.
func (p prose) point(at design.Point, n names) string {
	name := at.ID
	switch at.Kind {
	case design.AtChassis, design.AtEngine, design.AtBlock, design.AtBus, design.AtSpeaker, design.AtControls, design.AtSwitch:
		name = n["zone/"+at.ID]
	case design.AtDevicePositive, design.AtDeviceNegative, design.AtConverterPositive, design.AtConverterNegative, design.AtFuseHolder, design.AtFarFuse, design.AtRelay, design.AtRelayCoil, design.AtDeviceTrigger, design.AtDeviceSpeaker:
		name = n["device/"+at.ID]
	}
	return p.Say("point."+string(at.Kind), electrical.Name("name", name))
}

func (p prose) design(v *catalog.Vehicle, d *design.Design, revision string) *pb.Design {
	n := p.namesOf(v, d)
	out := &pb.Design{Layout: layouts.number(string(d.Layout)), SafetyNotes: p.notes(d.Notes), RulesVersion: design.RulesVersion, CatalogRevision: revision}
	for i := range d.Circuits {
		out.Circuits = append(out.Circuits, p.circuit(&d.Circuits[i], n))
	}
	for i := range d.Leads {
		out.Leads = append(out.Leads, p.lead(&d.Leads[i], n))
	}
	out.Charging = p.charging(&d.Charging)
	if d.Straps != nil {
		out.GroundStraps = p.straps(d.Straps, n)
	}
	for _, b := range d.Blocks {
		out.Blocks = append(out.Blocks, &pb.Block{Id: b.ID, Zone: b.Zone, Sku: b.Part.SKU, FedBy: b.FedBy, WaysUsed: int32(b.Ways)})
	}
	for _, c := range d.Conflicts {
		out.Conflicts = append(out.Conflicts, &pb.Conflict{DeviceId: c.DeviceID, Code: c.Code, Text: p.Say("conflict."+c.Code, c.Figures...), Figures: p.figures(c.Figures)})
	}
	for _, a := range d.Advice {
		out.Advice = append(out.Advice, &pb.Advice{Code: a.Code, At: a.At, Text: p.Say("advice."+a.Code, a.Figures...), Figures: p.figures(a.Figures)})
	}
	return out
}

func (p prose) circuit(c *design.Circuit, n names) *pb.Circuit {
	out := &pb.Circuit{Id: c.ID, Label: p.circuitName(c), DeviceIds: c.DeviceIDs, LoadA: float64(c.Load), PeakA: float64(c.Peak), FedFrom: c.FedFrom,
		Protection: p.overcurrent(&c.Protection, n), Running: check(c.Running), Reasons: p.reasons(c.Reasons)}
	out.ShortCircuit = shortCircuit(&c.Short)
	if s := c.Selectivity; s != nil {
		out.Selectivity = &pb.Selectivity{UpToA: stated(float64(s.UpTo)), Proved: s.Total, Text: p.Say(s.Reason.Rule, s.Reason.Figures...)}
	}
	if c.Kind == design.TrunkCircuit {
		out.Label = p.trunk(c, n)
	}
	if c.FarProtection != nil {
		out.FarProtection = p.overcurrent(c.FarProtection, n)
	}
	if c.Relay != nil {
		out.Relay = &pb.Relay{Sku: c.Relay.Part.SKU, At: p.Say("point.relay_place", electrical.Name("name", n["zone/"+c.Relay.Zone])), Reasons: p.reasons(c.Relay.Reasons)}
	}
	if c.EngineOff != nil {
		out.EngineOff = check(*c.EngineOff)
	}
	for i := range c.Runs {
		out.Runs = append(out.Runs, p.run(&c.Runs[i], n))
	}
	for _, node := range c.Nodes {
		one := &pb.NodeVolts{At: p.point(node.At, n), RunningV: float64(node.Running), CurrentA: float64(node.Current)}
		if node.HasEngineOff {
			one.EngineOffV = proto.Float64(float64(node.EngineOff))
		}
		out.Nodes = append(out.Nodes, one)
	}
	return out
}

// charging gives the balance, and why it is so.
func (p prose) charging(c *design.Charging) *pb.ChargingBalance {
	out := &pb.ChargingBalance{IdleSurplusA: float64(c.Idle.Surplus), CruiseSurplusA: float64(c.Cruise.Surplus), AverageLoadA: float64(c.Average), Pass: c.Pass, Reasons: p.reasons(c.Reasons)}
	if c.HasHours {
		out.EngineOffHours = proto.Float64(c.Hours)
	}
	return out
}

func (p prose) straps(c *design.Circuit, n names) *pb.GroundStraps {
	out := &pb.GroundStraps{Id: c.ID, CurrentA: float64(c.Peak), Reasons: p.reasons(c.Reasons)}
	for i := range c.Runs {
		out.Runs = append(out.Runs, p.run(&c.Runs[i], n))
	}
	return out
}

// lead gives the leads of one kind; they have one way and one make of cable.
func (p prose) lead(l *design.LeadPlan, n names) *pb.LeadPlan {
	out := &pb.LeadPlan{Id: l.ID, DeviceId: l.DeviceIDs[0], Kind: leadKinds.number(string(l.Lead)), Count: int32(l.Count), Label: l.Label, Reasons: p.reasons(l.Reasons)}
	if len(l.Sundries) > 0 {
		out.Sku = l.Sundries[0].Sundry.SKU
	}
	if len(l.Runs) == 0 {
		return out
	}
	first := &l.Runs[0]
	out.From, out.To, out.LengthM = p.point(l.From, n), p.point(l.To, n), float64(l.Length)
	out.Conductor, out.Sku = conductor(first.Conductor.Conductor), first.Conductor.SKU
	if l.Lead == design.SpeakerLead {
		out.LoopResistanceMohm, out.LoopSharePercent = 2*first.Resistance.Milliohms(), proto.Float64(float64(l.LoopShare))
	}
	return out
}

func (p prose) overcurrent(o *design.Overcurrent, n names) *pb.OvercurrentDevice {
	out := &pb.OvercurrentDevice{Family: families.number(string(o.Fuse.Family)), RatingA: float64(o.Fuse.Rating), Sku: o.Fuse.SKU,
		DistanceM: proto.Float64(float64(o.Distance)), InterruptingA: float64(o.Interrupting), ProspectiveA: float64(o.Prospective),
		Reasons: p.reasons(o.Reasons), Description: o.Fuse.Description}
	zone := electrical.Name("name", n["zone/"+o.Zone])
	switch {
	case o.Block != nil:
		out.HolderSku, out.HolderDescription, out.At = o.Block.SKU, o.Block.Description, p.Say("point.block", zone)
	case o.Holder.OnPost():
		out.At = p.Say("point.fuse_on_post")
	case o.ByConverter:
		out.At = p.Say("point.fuse_by_converter", zone, electrical.Num("distance_m", o.Distance, electrical.UnitM))
	default:
		out.At = p.Say("point.fuse_place", zone, electrical.Num("distance_m", o.Distance, electrical.UnitM))
	}
	if o.Holder != nil {
		out.HolderSku, out.HolderDescription = o.Holder.SKU, o.Holder.Description
	}
	return out
}

// alternatives gives the layouts turned down, priced.
func (p prose) alternatives(list []quoting.Alternative) []*pb.LayoutAlternative {
	var out []*pb.LayoutAlternative
	for _, a := range list {
		one := &pb.LayoutAlternative{Label: p.Say("layout." + string(a.Layout)), TotalBeforeTax: money(a.Total), Differences: p.sentences(a.Differences), Valid: !a.Crowded}
		if a.Crowded {
			one.WhyNot = p.Say("layout.crowded")
		}
		out = append(out, one)
	}
	return out
}

func shortCircuit(v *electrical.FarEndVerdict) *pb.ShortCircuitCheck {
	return &pb.ShortCircuitCheck{FarEndA: float64(v.Fault), OpensWithinS: finite(v.Opens), ConductorWithstandsS: finite(v.Withstands), Pass: v.Cleared}
}

// finite gives a time that ends.
func finite(seconds float64) *float64 {
	if math.IsInf(seconds, 0) {
		return nil
	}
	return &seconds
}

func check(v design.VoltageCheck) *pb.VoltageCheck {
	return &pb.VoltageCheck{SourceV: float64(v.Source), DeviceV: float64(v.Device), DropV: float64(v.Drop), DropPercent: float64(v.DropPercent), LimitPercent: float64(v.LimitPercent),
		ConductorDropV: float64(v.ConductorDrop), ConductorLimitPercent: float64(v.ConductorLimitPercent), Pass: v.Pass}
}

func (p prose) run(r *design.Run, n names) *pb.Run {
	out := &pb.Run{Id: r.ID, From: p.point(r.From, n), To: p.point(r.To, n), Polarity: polarities.number(string(r.Polarity)), LengthM: float64(r.Length),
		Conductor: conductor(r.Conductor.Conductor), Sku: r.Conductor.SKU, CurrentA: float64(r.Current), AmpacityA: float64(r.Ampacity),
		ResistanceMohm: r.Resistance.Milliohms(), DropV: float64(r.Drop), ConductorC: float64(r.Temperature), Reasons: p.reasons(r.Reasons),
		Environment: environments.number(string(r.Environment)), Colour: r.Conductor.Colour, Label: r.Conductor.Description}
	for i, at := range []design.Point{r.From, r.To} {
		end := p.end(&r.Ends[i].Plan, r.Ends[i].Landing)
		end.At = p.point(at, n)
		out.Ends = append(out.Ends, end)
	}
	return out
}

func (p prose) end(plan *termination.Plan, landing catalog.Landing) *pb.End {
	out := &pb.End{Landing: landingOut(landing), SleeveCutMm: float64(plan.SleeveCut), StripMm: float64(plan.Strip), PullMinN: float64(plan.Pull),
		Method: methods.number(string(plan.Method)), Reasons: p.reasons(plan.Reasons)}
	if plan.Terminal != nil {
		out.TerminalSku, out.Terminal = plan.Terminal.SKU, plan.Terminal.Description
	}
	if plan.Sleeve != nil {
		out.SleeveSku, out.Sleeve = plan.Sleeve.SKU, plan.Sleeve.Description
	}
	if plan.Tool != nil {
		out.ToolSku, out.Die = plan.Tool.SKU, plan.Tool.Dies
	}
	for _, step := range plan.Steps {
		out.Steps = append(out.Steps, p.Say("step."+step.Code, step.Figures...))
	}
	return out
}

func landingOut(l catalog.Landing) *pb.Landing {
	out := &pb.Landing{Kind: landingKinds.number(string(l.Kind)), Stud: string(l.Stud)}
	if !l.Largest.IsZero() {
		out.Largest = sizeOut(l.Largest)
	}
	return out
}

// sizeOut gives a bare size as a conductor message.
func sizeOut(s quantity.Size) *pb.Conductor {
	if s.IsZero() {
		return nil
	}
	if s.IsAWG() {
		return &pb.Conductor{Size: &pb.Conductor_Awg{Awg: s.Label()}}
	}
	return &pb.Conductor{Size: &pb.Conductor_AreaMm2{AreaMm2: float64(s.Area())}}
}

func conductor(c electrical.Conductor) *pb.Conductor {
	out := sizeOut(c.Size)
	if out == nil {
		out = &pb.Conductor{}
	}
	out.Material, out.Insulation = materials.number(string(c.Material)), insulations.number(string(c.Insulation))
	out.InsulationC = proto.Float64(float64(c.Rating))
	return out
}
