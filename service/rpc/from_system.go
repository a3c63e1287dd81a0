package rpc

import (
	"strconv"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/quoting"
)

// job reads a job; at is the path of the message in the request, "" or ending in
// a dot.
func (in *intake) job(at string, m *pb.Job) quoting.Job {
	in.customer(at, m)
	return quoting.Job{Vehicle: in.vehicle(m.GetVehicle()), VehicleID: m.GetVehicleId(), System: in.system(at+"system", m.GetSystem()), Terms: in.terms(at+"terms", m.GetTerms())}
}

func (in *intake) terms(at string, m *pb.JobTerms) pricing.Terms {
	in.text(at+".discount_reason", m.GetDiscountReason(), maxDiscountReason)
	t := pricing.Terms{DiscountReason: m.GetDiscountReason(), TaxExempt: m.GetTaxExempt(), Mobile: m.GetMobile()}
	switch {
	case m == nil || m.TripKm == nil:
	case !m.GetMobile():
		in.fault(at+".trip_km", "trip_not_mobile")
	default:
		t.TripKm = strconv.FormatFloat(m.GetTripKm(), 'f', -1, 64)
	}
	if m.GetDiscountPercent() != 0 {
		if p := m.GetDiscountPercent(); !(p > 0 && p <= 100) {
			in.fault(at+".discount_percent", "range", electrical.Num("given", p, electrical.UnitPercent), electrical.Num("low", 0, electrical.UnitPercent), electrical.Num("high", 100, electrical.UnitPercent))
			return t
		}
		t.DiscountPercent = strconv.FormatFloat(m.GetDiscountPercent(), 'f', -1, 64)
	}
	return t
}

// system reads what is to be fed.
func (in *intake) system(at string, m *pb.System) design.System {
	s := design.System{Growth: quantity.Percent(m.GetGrowthPercent()), Layout: design.Layout(layoutChoices.word(m.GetLayout()))}
	for _, l := range m.GetLeads() {
		s.Leads = append(s.Leads, design.Lead{DeviceID: l.GetDeviceId(), Kind: design.LeadKind(leadKinds.word(l.GetKind())), Length: quantity.Metres(l.GetLengthM()), HasLength: l.LengthM != nil,
			Impedance: quantity.Ohms(l.GetImpedanceOhm()), Power: quantity.Watts(l.GetPowerW()), Count: int(l.GetCount()), ToZone: l.GetToZone()})
	}
	for _, l := range m.GetLinks() {
		s.Links = append(s.Links, link(l))
	}
	for i, d := range m.GetDevices() {
		s.Devices = append(s.Devices, in.device(indexed(at+".devices", i), d))
	}
	return s
}

func converter(m *pb.Converter) catalog.Converter {
	return catalog.Converter{Nominal: quantity.Volts(m.GetNominalV()), Output: quantity.Volts(m.GetOutputV()), Rated: quantity.Amps(m.GetRatedA()), Limit: quantity.Amps(m.GetLimitA())}
}

func (in *intake) device(at string, m *pb.Device) design.Device {
	return design.Device{
		ID: m.GetId(), Label: m.GetLabel(), Kind: electrical.DeviceKind(deviceKinds.word(m.GetKind())), EquipmentSKU: m.GetEquipmentSku(), Zone: m.GetZone(),
		Quantity: int(m.GetQuantity()), FedFrom: m.GetFedFrom(),
		Load: electrical.Load{Current: quantity.Amps(m.GetCurrentA()), Input: quantity.Watts(m.GetInputPowerW()), Output: quantity.Watts(m.GetOutputPowerW()),
			Efficiency: m.GetEfficiency(), Audio: audio(m.GetAudio()), Behaviour: electrical.Behaviour(behaviours.word(m.GetBehaviour()))},
		Duty: duty(m.GetDuty()), Surge: electrical.Surge{Current: quantity.Amps(m.GetSurge().GetCurrentA()), Duration: design.Seconds(m.GetSurge().GetSeconds())},
		MinVolts: quantity.Volts(m.GetMinV()), MaxDrop: quantity.Percent(m.GetMaxDropPercent()), HasMaxDrop: m.MaxDropPercent != nil,
		DropClass: electrical.DropClass(dropClasses.word(m.GetDropClass())), Maker: in.maker(at+".maker", m.GetMaker()), CustomerSupplied: m.GetCustomerSupplied(),
		Measured: quantity.Metres(m.GetMeasuredLengthM()), HasMeasured: m.MeasuredLengthM != nil, Switched: m.GetSwitched(), NoLeads: m.GetNoDefaultLeads(), Nominal: quantity.Volts(m.GetNominalV()), UsedEngineOff: m.UsedEngineOff,
		Converter: converter(m.GetConverter()),
	}
}

func audio(m *pb.AudioOutput) electrical.Audio {
	return electrical.Audio{RMS: quantity.Watts(m.GetRmsW()), Channels: int(m.GetChannels()), Class: electrical.AmplifierClass(classes.word(m.GetAmplifierClass())),
		Efficiency: m.GetEfficiency(), OnboardFuse: quantity.Amps(m.GetOnboardFuseA()), Regulated: m.GetRegulated()}
}

func duty(m *pb.Duty) electrical.Duty {
	return electrical.Duty{Kind: electrical.DutyKind(dutyKinds.word(m.GetKind())), On: design.Seconds(m.GetOnS()), Off: design.Seconds(m.GetOffS()), Share: m.GetShare()}
}

func (in *intake) maker(at string, m *pb.MakerInstructions) design.Maker {
	return design.Maker{Fuse: quantity.Amps(m.GetFuseA()), ConductorMin: in.conductorSize(at+".conductor_min", m.GetConductorMin()),
		TerminalMax: in.conductorSize(at+".terminal_max", m.GetTerminalMax()), Positive: in.landing(at+".positive", m.GetPositive()),
		Negative: in.landing(at+".negative", m.GetNegative()), ReturnToBattery: m.GetReturnToBattery(), Manual: m.GetManual()}
}
