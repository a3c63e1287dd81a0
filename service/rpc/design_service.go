package rpc

import (
	"context"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/termination"
)

// DesignService serves lugbook.v1.DesignService.
type DesignService struct {
	pb.UnimplementedDesignServiceServer
	quoting *quoting.Service
}

// NewDesignService gives the handlers over the use cases.
func NewDesignService(q *quoting.Service) *DesignService { return &DesignService{quoting: q} }

// DesignSystem sizes a system in a vehicle.
func (s *DesignService) DesignSystem(_ context.Context, r *pb.DesignSystemRequest) (*pb.DesignSystemResponse, error) {
	edition := s.quoting.Current()
	cat := edition.Catalog()
	p := proseFor(&cat.Shop, r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	job := in.job("", &pb.Job{Vehicle: r.GetVehicle(), VehicleId: r.GetVehicleId(), System: r.GetSystem()})
	if len(in.bad) > 0 {
		return nil, p.invalid(in.merge(edition.Check(job), ""), "")
	}
	vehicle, designed, err := edition.Design(job)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	return &pb.DesignSystemResponse{Design: p.design(vehicle, designed, cat.Revision), Assumptions: p.sentences(designed.Assumptions)}, nil
}

// SizeRun sizes one run without a vehicle.
func (s *DesignService) SizeRun(_ context.Context, r *pb.SizeRunRequest) (*pb.SizeRunResponse, error) {
	edition := s.quoting.Current()
	shop := &edition.Catalog().Shop
	p := proseFor(shop, r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	question := in.runQuestion(r, shop)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	answer, err := edition.Designer().Size(question)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	return p.runAnswer(question, answer), nil
}

// BalanceCharging sets what a vehicle charges against what a job takes.
func (s *DesignService) BalanceCharging(_ context.Context, r *pb.BalanceChargingRequest) (*pb.BalanceChargingResponse, error) {
	edition := s.quoting.Current()
	cat := edition.Catalog()
	p := proseFor(&cat.Shop, r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	job := in.job("job.", r.GetJob())
	if len(in.bad) > 0 {
		return nil, p.invalid(in.merge(edition.Check(job), "job."), "")
	}
	_, designed, err := edition.Design(job)
	if err != nil {
		return nil, p.statusOf(err, "job.")
	}
	out := &pb.BalanceChargingResponse{Charging: p.charging(&designed.Charging), Assumptions: p.sentences(designed.Assumptions)}
	for _, l := range designed.Charging.Loads {
		out.Loads = append(out.Loads, &pb.AverageLoad{DeviceId: l.DeviceID, Label: l.Label, FullA: float64(l.Full), AverageA: float64(l.Average), EngineOff: l.Resting})
	}
	return out, nil
}

// The defaults of a SizeRunRequest: the contract's.
const (
	defaultNominal  quantity.Volts      = 12
	defaultCategory electrical.Category = electrical.Car
)

func (in *intake) runQuestion(r *pb.SizeRunRequest, shop *catalog.Shop) design.RunQuestion {
	q := design.RunQuestion{
		Kind: electrical.DeviceKind(deviceKinds.word(r.GetDeviceKind())), Category: electrical.Category(categories.word(r.GetCategory())),
		Load:   electrical.Load{Current: quantity.Amps(r.GetCurrentA()), Input: quantity.Watts(r.GetInputPowerW()), Output: quantity.Watts(r.GetOutputPowerW()), Audio: audio(r.GetAudio())},
		Length: quantity.Metres(r.GetLengthM()), Chassis: r.GetReturnPath() == pb.ReturnPath_RETURN_PATH_CHASSIS, Nominal: quantity.Volts(r.GetNominalV()),
		Environment: electrical.Environment(environments.word(r.GetEnvironment())), Ambient: quantity.Celsius(r.GetAmbientC()), HasAmbient: r.AmbientC != nil,
		Material: electrical.Material(materials.word(r.GetConductor().GetMaterial())), Insulation: electrical.Insulation(insulations.word(r.GetConductor().GetInsulation())),
		Rating: quantity.Celsius(r.GetConductor().GetInsulationC()), MaxDrop: quantity.Percent(r.GetMaxDropPercent()), HasMaxDrop: r.MaxDropPercent != nil, Bundled: int(r.GetBundledWith()),
	}
	if r.GetConductor().GetSize() != nil {
		in.fault("conductor.size", "size_is_the_answer")
	}
	fill(&q.Kind, kindOfRating(r))
	fill(&q.Category, defaultCategory)
	fill(&q.Nominal, defaultNominal)
	fill(&q.Environment, electrical.Cabin)
	fill(&q.Material, electrical.Copper)
	fill(&q.Insulation, electrical.PVC)
	if r.GetConductor() == nil || r.GetConductor().InsulationC == nil {
		q.Rating = shop.Defaults.NewInsulation
	}
	return q
}

// kindOfRating is the kind of device where none is stated: only an amplifier is
// rated by its audio output.
func kindOfRating(r *pb.SizeRunRequest) electrical.DeviceKind {
	if r.GetAudio() != nil {
		return electrical.Amplifier
	}
	return electrical.OtherDevice
}

func fill[T comparable](value *T, fallback T) {
	if *value == *new(T) {
		*value = fallback
	}
}

func (p prose) runAnswer(q design.RunQuestion, a *design.RunAnswer) *pb.SizeRunResponse {
	c := a.Check
	figures := []electrical.Figure{
		sizeFigure("conductor_awg_min", a.Conductor.Size), electrical.Num("current_a", a.Peak, electrical.UnitA), electrical.Num("fuse_a", a.Fuse.Rating, electrical.UnitA),
		electrical.Num("fuse_max_a", a.FuseMax, electrical.UnitA), electrical.Num("drop_v", c.Drop, electrical.UnitV), electrical.Num("drop_percent", c.DropPercent, electrical.UnitPercent),
		electrical.Num("conductor_drop_v", c.ConductorDrop, electrical.UnitV), electrical.Num("conductor_drop_percent", float64(c.ConductorDrop/q.Nominal*100), electrical.UnitPercent),
		electrical.Num("ampacity_a", a.Ampacity, electrical.UnitA), electrical.Num("resistance_mohm", a.Resistance.Milliohms(), electrical.UnitMohm),
		electrical.Num("length_m", q.Length, electrical.UnitM), electrical.Num("length_max_m", a.LengthMax, electrical.UnitM),
	}
	if !a.Metric.IsZero() {
		figures = append(figures, electrical.Num("conductor_mm2_min", a.Metric.Area(), electrical.UnitMM2))
	}
	return &pb.SizeRunResponse{
		Figures: p.figures(figures), Reasons: p.reasons(a.Reasons), SafetyNotes: p.notes(a.Notes), Conductor: conductor(a.Conductor), Running: check(c), Assumptions: p.sentences(a.Assumed),
		Fuse: &pb.OvercurrentDevice{Family: families.number(string(a.Fuse.Family)), RatingA: float64(a.Fuse.Rating), Sku: a.Fuse.SKU, Description: a.Fuse.Description},
	}
}

// sizeFigure gives a gauge as a number, 1/0 as 0 and 4/0 as −3.
func sizeFigure(key string, s quantity.Size) electrical.Figure {
	gauge, _ := s.Gauge()
	return electrical.Num(key, gauge, electrical.UnitAWG)
}

// PlanTermination plans one end.
func (s *DesignService) PlanTermination(_ context.Context, r *pb.PlanTerminationRequest) (*pb.PlanTerminationResponse, error) {
	edition := s.quoting.Current()
	cat := edition.Catalog()
	p := proseFor(&cat.Shop, r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	question := in.endQuestion(r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	plan, err := edition.Designer().End(question)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	return p.endAnswer(question, &plan), nil
}

func (in *intake) endQuestion(r *pb.PlanTerminationRequest) design.EndQuestion {
	c := r.GetConductor()
	q := design.EndQuestion{SKU: r.GetConductorSku(), Size: in.conductorSize("conductor", c), Material: electrical.Material(materials.word(c.GetMaterial())),
		Landing: in.landing("landing", r.GetLanding()), Category: electrical.Category(categories.word(r.GetCategory())), Environment: electrical.Environment(environments.word(r.GetEnvironment()))}
	fill(&q.Category, defaultCategory)
	fill(&q.Environment, electrical.Cabin)
	return q
}

func (p prose) endAnswer(q design.EndQuestion, plan *termination.Plan) *pb.PlanTerminationResponse {
	out := &pb.PlanTerminationResponse{End: p.end(plan, q.Landing), TerminalDescription: described(plan.Terminal), SafetyNotes: p.notes(design.EndNotes(plan))}
	if plan.Sleeve != nil {
		out.SleeveDescription = plan.Sleeve.Description
	}
	if plan.Tool != nil {
		out.ToolDescription = plan.Tool.Description
	}
	for _, w := range plan.Work {
		out.Labour = append(out.Labour, p.Say("labour.operation", electrical.Name("operation", w.Operation.Description), electrical.Num("minutes", float64(w.MilliMinutes)/1000, electrical.UnitMinutes)))
	}
	return out
}

func described(t *catalog.Terminal) string {
	if t == nil {
		return ""
	}
	return t.Description
}
