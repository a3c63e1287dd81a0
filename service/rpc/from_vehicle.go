package rpc

import (
	"fmt"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// inlineVehicle is the id of a vehicle that a job states in full without one.
const inlineVehicle = "vehicle"

// vehicle reads a vehicle of the contract; nil stays nil.
func (in *intake) vehicle(m *pb.Vehicle) *catalog.Vehicle {
	if m == nil {
		return nil
	}
	v := &catalog.Vehicle{
		ID: m.GetId(), Label: m.GetLabel(), Category: electrical.Category(categories.word(m.GetCategory())), Nominal: quantity.Volts(m.GetNominalV()),
		StandingLoad: quantity.Amps(m.GetStandingLoadA()), HasStanding: m.StandingLoadA != nil, Fuel: catalog.Fuel(fuels.word(m.GetFuel())), Sensor: m.GetBatterySensor(),
		Body: catalog.Body(bodies.word(m.GetBody())), OutboardOnly: m.GetOutboardOnly(), Charging: charging(m.GetCharging()),
	}
	if v.ID == "" {
		v.ID = inlineVehicle
	}
	for _, b := range m.GetBatteries() {
		v.Batteries = append(v.Batteries, battery(b))
	}
	for _, l := range m.GetLinks() {
		v.Links = append(v.Links, link(l))
	}
	for _, z := range m.GetZones() {
		v.Zones = append(v.Zones, zone(z))
	}
	for _, r := range m.GetRoutes() {
		v.Routes = append(v.Routes, route(r))
	}
	v.SetDefaults()
	return v
}

func link(m *pb.Link) catalog.Link {
	return catalog.Link{ID: m.GetId(), Label: m.GetLabel(), From: m.GetFrom(), To: m.GetTo(), Kind: catalog.LinkKind(linkKinds.word(m.GetKind())), Rated: quantity.Amps(m.GetRatedA()), EquipmentSKU: m.GetEquipmentSku()}
}

func charging(m *pb.ChargingSource) catalog.Charging {
	return catalog.Charging{Kind: catalog.ChargingKind(chargingKinds.word(m.GetKind())), Rated: quantity.Amps(m.GetRatedA()),
		IdleShare: m.GetIdleShare(), CruiseShare: m.GetCruiseShare(), RunningV: quantity.Volts(m.GetRunningV())}
}

func battery(m *pb.Battery) catalog.Battery {
	return catalog.Battery{ID: m.GetId(), Chemistry: electrical.Chemistry(chemistries.word(m.GetChemistry())), Capacity: quantity.AmpHours(m.GetCapacityAh()),
		ColdCranking: quantity.Amps(m.GetColdCrankingA()), Internal: quantity.Ohms(m.GetInternalResistanceMohm()) * quantity.Milliohm,
		ShortCircuit: quantity.Amps(m.GetShortCircuitA()), Zone: m.GetZone(), Stud: catalog.Stud(m.GetStud()), Count: int(m.GetCount()), Role: catalog.Role(roles.word(m.GetRole()))}
}

func zone(m *pb.Zone) catalog.Zone {
	return catalog.Zone{ID: m.GetId(), Label: m.GetLabel(), Environment: electrical.Environment(environments.word(m.GetEnvironment())),
		Ambient: quantity.Celsius(m.GetAmbientC()), HasAmbient: m.AmbientC != nil, ChassisGround: m.GetChassisGround(), GroundStud: catalog.Stud(m.GetGroundStud()),
		Vapour: m.GetVapourHazard(), Restraints: m.GetRestraintConnectors(), Reach: quantity.Metres(m.GetReachM()), HasReach: m.ReachM != nil, Removable: m.GetRemovable(), Controls: m.GetControls()}
}

func route(m *pb.Route) catalog.Route {
	r := catalog.Route{From: m.GetFrom(), To: m.GetTo(), Length: quantity.Metres(m.GetLengthM()), Environment: electrical.Environment(environments.word(m.GetEnvironment())),
		Grommets: catalog.GrommetsUnstated, BundledWith: int(m.GetBundledWith()), Access: m.GetAccessOperations()}
	if m.Grommets != nil {
		r.Grommets = int(m.GetGrommets())
	}
	return r
}

// landing reads where a conductor ends; field is the path of the message.
func (in *intake) landing(field string, m *pb.Landing) catalog.Landing {
	if m == nil {
		return catalog.Landing{}
	}
	return catalog.Landing{Kind: catalog.LandingKind(landingKinds.word(m.GetKind())), Stud: catalog.Stud(m.GetStud()), Largest: in.conductorSize(field+".largest", m.GetLargest())}
}

// conductorSize reads the size of a conductor message; no message is no size.
func (in *intake) conductorSize(field string, m *pb.Conductor) quantity.Size {
	switch size := m.GetSize().(type) {
	case *pb.Conductor_Awg:
		return in.size(field+".awg", size.Awg)
	case *pb.Conductor_AreaMm2:
		s := quantity.Metric(quantity.SquareMillimetres(size.AreaMm2))
		if s.IsZero() {
			in.fault(field+".area_mm2", "range", electrical.Num("given", size.AreaMm2, electrical.UnitMM2), electrical.Num("low", 0.35, electrical.UnitMM2), electrical.Num("high", 120, electrical.UnitMM2))
		}
		return s
	}
	if m != nil && m.GetSize() == nil && (m.Material != 0 || m.InsulationC != nil) {
		in.fault(field, "no_size")
	}
	return quantity.Size{}
}

func indexed(list string, i int) string { return fmt.Sprintf("%s[%d]", list, i) }
