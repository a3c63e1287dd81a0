package rpc

import (
	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
	"google.golang.org/protobuf/proto"
)

// money gives an exact amount; nil where there is none.
func money(a currency.Amount) *pb.Money {
	if a.CurrencyCode() == "" {
		return nil
	}
	return &pb.Money{CurrencyCode: a.CurrencyCode(), Amount: a.Number()}
}

func vehicleOut(v *catalog.Vehicle) *pb.Vehicle {
	out := &pb.Vehicle{Id: v.ID, Label: v.Label, Category: categories.number(string(v.Category)), NominalV: float64(v.Nominal),
		Fuel: fuels.number(string(v.Fuel)), BatterySensor: v.Sensor, Body: bodies.number(string(v.Body)), OutboardOnly: v.OutboardOnly,
		Charging: &pb.ChargingSource{Kind: chargingKinds.number(string(v.Charging.Kind)), RatedA: float64(v.Charging.Rated),
			IdleShare: stated(v.Charging.IdleShare), CruiseShare: stated(v.Charging.CruiseShare), RunningV: stated(float64(v.Charging.RunningV))}}
	if v.HasStanding {
		out.StandingLoadA = proto.Float64(float64(v.StandingLoad))
	}
	for _, b := range v.Batteries {
		out.Batteries = append(out.Batteries, &pb.Battery{Id: b.ID, Chemistry: chemistries.number(string(b.Chemistry)), CapacityAh: float64(b.Capacity),
			ColdCrankingA: stated(float64(b.ColdCranking)), InternalResistanceMohm: stated(b.Internal.Milliohms()), ShortCircuitA: stated(float64(b.ShortCircuit)),
			Zone: b.Zone, Stud: string(b.Stud), Count: int32(b.Count), Role: roles.number(string(b.Role))})
	}
	for _, l := range v.Links {
		out.Links = append(out.Links, &pb.Link{Id: l.ID, Label: l.Label, From: l.From, To: l.To, Kind: linkKinds.number(string(l.Kind)), RatedA: float64(l.Rated)})
	}
	for _, z := range v.Zones {
		out.Zones = append(out.Zones, zoneOut(z))
	}
	for _, r := range v.Routes {
		out.Routes = append(out.Routes, &pb.Route{From: r.From, To: r.To, LengthM: float64(r.Length), Environment: environments.number(string(r.Environment)),
			Grommets: proto.Int32(int32(r.Grommets)), BundledWith: int32(r.BundledWith), AccessOperations: r.Access})
	}
	return out
}

func zoneOut(z catalog.Zone) *pb.Zone {
	out := &pb.Zone{Id: z.ID, Label: z.Label, Environment: environments.number(string(z.Environment)), ChassisGround: z.ChassisGround, GroundStud: string(z.GroundStud),
		VapourHazard: z.Vapour, RestraintConnectors: z.Restraints, ReachM: proto.Float64(float64(z.Reach)), Removable: z.Removable, Controls: z.Controls}
	if z.HasAmbient {
		out.AmbientC = proto.Float64(float64(z.Ambient))
	}
	return out
}

// stated gives a figure whose 0 means "not stated".
func stated(v float64) *float64 {
	if v == 0 {
		return nil
	}
	return &v
}

// partOut gives a part with all that its kind has; cost only where asked for.
func partOut(entry any, withCost bool) *pb.Part {
	switch e := entry.(type) {
	case *catalog.Conductor:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Conductor{Conductor: &pb.ConductorPart{Conductor: conductor(e.Conductor), OuterDiameterMm: float64(e.OuterDiameter), Colour: e.Colour, MaxOhmPerKm: stated(e.MaxOhmPerKm)}}
		return p
	case *catalog.Fuse:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Fuse{Fuse: &pb.FusePart{Family: families.number(string(e.Family)), RatingA: float64(e.Rating), VoltageV: float64(e.Voltage), InterruptingA: float64(e.Interrupting)}}
		return p
	case *catalog.Holder:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Holder{Holder: &pb.HolderPart{Family: families.number(string(e.Family)), MaxRatingA: float64(e.MaxRating), Landing: landingOut(e.Landing),
			ConductorMin: sizeOut(e.Landing.Smallest), ConductorMax: sizeOut(e.Landing.Largest), OnPost: e.OnPost(), PostHoleMm: float64(e.PostHole), Sealed: e.Sealed}}
		return p
	case *catalog.Block:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Block{Block: &pb.BlockPart{Ways: int32(e.Ways), MaxTotalA: float64(e.TotalMax), Family: families.number(string(e.Family)), MaxWayA: float64(e.WayMax), Input: landingOut(e.In), Output: landingOut(e.Out)}}
		return p
	case *catalog.Terminal:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Terminal{Terminal: &pb.TerminalPart{Form: forms.number(string(e.Form)), ConductorMin: sizeOut(e.Takes.Min), ConductorMax: sizeOut(e.Takes.Max), Stud: string(e.Stud),
			BarrelInnerMm: float64(e.BarrelInner), BarrelOuterMm: float64(e.BarrelOuter), BarrelLengthMm: float64(e.BarrelLength), Insulated: e.Insulated, Construction: constructions.number(string(e.Construction))}}
		return p
	}
	return smallPart(entry, withCost)
}

func smallPart(entry any, withCost bool) *pb.Part {
	switch e := entry.(type) {
	case *catalog.Sleeve:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Sleeve{Sleeve: &pb.SleevePart{SuppliedMm: float64(e.Supplied), RecoveredMm: float64(e.Recovered), Adhesive: e.Adhesive, LongitudinalChangePercent: float64(e.LengthLoss)}}
		return p
	case *catalog.Relay:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Relay{Relay: &pb.RelayPart{ContactA: float64(e.Contact), CoilA: float64(e.Coil)}}
		return p
	case *catalog.Sundry:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Sundry{Sundry: &pb.SundryPart{Use: string(e.Use)}}
		return p
	case *catalog.Equipment:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Equipment{Equipment: equipmentOut(e)}
		return p
	case *catalog.Tool:
		p := common(&e.Part, withCost)
		p.Attributes = &pb.Part_Tool{Tool: &pb.ToolPart{ConductorMin: sizeOut(e.Takes.Min), ConductorMax: sizeOut(e.Takes.Max), DieNote: e.Dies, Repeatable: e.Repeat}}
		return p
	}
	return nil
}

func common(p *catalog.Part, withCost bool) *pb.Part {
	out := &pb.Part{Sku: p.SKU, Description: p.Description, Kind: partKinds.number(string(p.Kind)), Price: money(p.Price), SoldBy: soldBys.number(string(p.SoldBy)), PackQty: int32(p.PackQty), Supplier: p.Supplier}
	if withCost && p.HasCost {
		out.Cost = money(p.Cost)
	}
	return out
}

func converterOut(c catalog.Converter) *pb.Converter {
	if !c.Given() {
		return nil
	}
	return &pb.Converter{NominalV: float64(c.Nominal), OutputV: stated(float64(c.Output)), RatedA: float64(c.Rated), LimitA: stated(float64(c.Limit))}
}

func equipmentOut(e *catalog.Equipment) *pb.EquipmentPart {
	out := &pb.EquipmentPart{Kind: deviceKinds.number(string(e.Device)), Behaviour: behaviours.number(string(e.Load.Behaviour)), MinV: stated(float64(e.MinVolts)), Efficiency: stated(e.Load.Efficiency), Converter: converterOut(e.Converter)}
	if e.Surge != (electrical.Surge{}) {
		out.Surge = &pb.Surge{CurrentA: float64(e.Surge.Current), Seconds: e.Surge.Duration.Seconds()}
	}
	switch {
	case e.Load.Current > 0:
		out.Rating = &pb.EquipmentPart_CurrentA{CurrentA: float64(e.Load.Current)}
	case e.Load.Input > 0:
		out.Rating = &pb.EquipmentPart_InputPowerW{InputPowerW: float64(e.Load.Input)}
	case e.Load.Output > 0:
		out.Rating = &pb.EquipmentPart_OutputPowerW{OutputPowerW: float64(e.Load.Output)}
	case e.Load.Audio.Stated():
		a := e.Load.Audio
		out.Rating = &pb.EquipmentPart_Audio{Audio: &pb.AudioOutput{RmsW: stated(float64(a.RMS)), Channels: int32(a.Channels), AmplifierClass: classes.number(string(a.Class)),
			Efficiency: stated(a.Efficiency), OnboardFuseA: stated(float64(a.OnboardFuse)), Regulated: a.Regulated}}
	}
	if e.MakerFuse > 0 || e.Positive.Kind != "" {
		out.Maker = &pb.MakerInstructions{FuseA: stated(float64(e.MakerFuse)), Positive: landingOut(e.Positive), Negative: landingOut(e.Negative)}
	}
	return out
}
