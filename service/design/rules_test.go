package design_test

import (
	"math"
	"slices"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// This file holds the rules of a single feed a second time, written from the
// design and not from the package: it shares the published tables of
// service/electrical and the ends of service/termination (each tested at its
// own place) and nothing of the designer's judgement. The figures that stand here
// as numbers are the design's: common practice unless a standard is named.

// stretch is a length of the way in one kind of surroundings.
type stretch struct {
	environment electrical.Environment
	ambient     float64
	stated      bool
}

// way is a run's stretches and the loaded conductors already along it.
type way struct {
	stretches map[stretch]float64
	bundled   int
}

func (w way) length() float64 {
	total := 0.0
	for _, l := range w.stretches {
		total += l
	}
	return total
}

// governing is what decides over the run: stretches of 0.3 m and more, or all.
func (w way) governing() []stretch {
	var long, all []stretch
	for s, l := range w.stretches {
		all = append(all, s)
		if l >= 0.3 {
			long = append(long, s)
		}
	}
	if len(long) > 0 {
		return long
	}
	return all
}

func zoneStretch(z *catalog.Zone) stretch {
	if z.HasAmbient {
		return stretch{z.Environment, float64(z.Ambient), true}
	}
	return stretch{environment: z.Environment}
}

// feeding is one circuit to be judged.
type feeding struct {
	cat     *catalog.Catalog
	planner *termination.Planner
	vehicle *catalog.Vehicle
	device  *design.Device
	battery *catalog.Battery
	at, end *catalog.Zone // of the battery and of the device

	// from is the converter that feeds it instead of a battery; post its terminals.
	from *catalog.Converter
	post catalog.Landing

	feed, back way
	chassis    bool
	bodyOhm    float64

	running, rest, highest float64 // volts
	conductorLimit         float64 // volts
	restLimit              float64 // volts, 0 = not judged
	design, load, hot      float64 // amperes
	peak, restPeak         float64
	makerFuse, ceiling     float64
}

// newFeeding works out what a device's circuit has to bear.
func newFeeding(cat *catalog.Catalog, planner *termination.Planner, v *catalog.Vehicle, d *design.Device) *feeding {
	f := &feeding{cat: cat, planner: planner, vehicle: v, device: d, battery: &v.Batteries[0], makerFuse: float64(d.Maker.Fuse)}
	f.post = catalog.Landing{Kind: catalog.OnStud, Stud: f.battery.Stud}
	f.work()
	return f
}

// newBehind works out what the circuit of a device behind a converter has to bear: the
// converter stands in for the vehicle's battery, at its own nominal volts.
func newBehind(cat *catalog.Catalog, planner *termination.Planner, v *catalog.Vehicle, converter, d *design.Device) *feeding {
	small := *v
	small.Nominal, small.Charging, small.Sensor = converter.Converter.Nominal, catalog.Charging{}, false
	small.Batteries = []catalog.Battery{{ID: converter.ID, Chemistry: electrical.AGM, Zone: converter.Zone}}
	f := &feeding{cat: cat, planner: planner, vehicle: &small, device: d, battery: &small.Batteries[0], makerFuse: float64(d.Maker.Fuse)}
	f.from, f.post = &converter.Converter, converter.Maker.Positive
	f.work()
	return f
}

func (f *feeding) work() {
	v, d := f.vehicle, f.device
	for i := range v.Zones {
		if v.Zones[i].ID == f.battery.Zone {
			f.at = &v.Zones[i]
		}
		if v.Zones[i].ID == d.Zone {
			f.end = &v.Zones[i]
		}
	}
	f.volts()
	f.currents()
	f.ways()
}

func (f *feeding) volts() {
	scale := float64(f.vehicle.Nominal) / 12
	f.running, f.rest, f.highest = 13.8*scale, 12.6*scale, 15*scale
	if f.battery.Chemistry == electrical.Lithium {
		f.rest = 12.8 * scale
	}
	if f.vehicle.Charging.RunningV > 0 {
		f.running = float64(f.vehicle.Charging.RunningV)
	}
	if f.from != nil { // it holds its volts, engine running or not
		f.running, f.rest = float64(f.from.Output), float64(f.from.Output)
	}
	habits := electrical.HabitsOf(f.device.Kind, f.vehicle.Category)
	class := habits.Drop
	if f.device.DropClass != "" {
		class = f.device.DropClass
	}
	percent := map[electrical.DropClass]float64{electrical.Critical: 3, electrical.MotorDrop: 5, electrical.General: 10}[class]
	if f.device.HasMaxDrop {
		percent = float64(f.device.MaxDrop)
	}
	f.conductorLimit = percent / 100 * float64(f.vehicle.Nominal)
	used := habits.UsedEngineOff
	if f.device.UsedEngineOff != nil {
		used = *f.device.UsedEngineOff
	}
	switch {
	case !used:
	case f.device.MinVolts > 0:
		f.restLimit = float64(f.device.MinVolts)
	case habits.MinVolts12 > 0:
		f.restLimit = float64(habits.MinVolts12) * scale
	case class != electrical.General:
		f.restLimit = f.rest - 0.1*float64(f.vehicle.Nominal)
	}
}

// totalLimit is two points of nominal above the conductors' limit.
func (f *feeding) totalLimit() float64 { return f.conductorLimit + 0.02*float64(f.vehicle.Nominal) }

func (f *feeding) duty() electrical.Duty {
	if f.device.Duty.Kind != "" {
		return f.device.Duty
	}
	return electrical.HabitsOf(f.device.Kind, f.vehicle.Category).Duty
}

// shortTime: on for at most a minute, with a rest.
func (f *feeding) shortTime() bool {
	d := f.duty()
	return d.Kind == electrical.Intermittent && d.On > 0 && d.On <= time.Minute && d.Off > 0
}

func (f *feeding) currents() {
	lowRunning := max(f.running-f.totalLimit(), float64(f.device.MinVolts))
	lowest := lowRunning
	if f.restLimit > 0 {
		lowest = min(lowest, f.restLimit)
	}
	l, nominal := f.device.Load, float64(f.vehicle.Nominal)
	behaviour := l.Behaviour
	if behaviour == "" {
		behaviour = electrical.HabitsOf(f.device.Kind, "").Behaviour
		if l.Audio.Regulated {
			behaviour = electrical.ConstantPower
		}
	}
	constantPower, byWatts := behaviour == electrical.ConstantPower, false
	var power, least float64
	switch {
	case l.Current > 0:
		f.design = float64(l.Current)
		power = f.design * lowest
	case l.Input > 0:
		byWatts, power = true, float64(l.Input)
		f.design = power / nominal
		if constantPower {
			f.design = power / lowest
		}
	case l.Output > 0:
		byWatts, power = true, float64(l.Output)/0.9
		f.design = power / nominal
		least = f.design
	case l.Audio.RMS > 0:
		efficiency := map[electrical.AmplifierClass]float64{electrical.ClassA: 0.25, electrical.ClassAB: 0.5, electrical.ClassD: 0.75, electrical.ClassGOrH: 0.6, electrical.ClassUnknown: 0.5}[l.Audio.Class]
		volts := f.running
		if constantPower {
			volts = lowest
		}
		byWatts, power = true, float64(l.Audio.RMS)/efficiency
		f.design = power / volts
		if own := float64(l.Audio.OnboardFuse); own > 0 && own < f.design {
			f.design, power = own, min(power, own*volts)
		}
	default:
		f.design = 0.8 * float64(l.Audio.OnboardFuse)
		power = f.design * lowest
	}
	f.load, f.hot, f.peak, f.restPeak = f.design, f.design, f.design, f.design
	switch {
	case f.shortTime():
		on, off := f.duty().On.Seconds(), f.duty().Off.Seconds()
		f.load = f.design * math.Sqrt(on/(on+off))
		f.hot = f.load
	case constantPower:
		f.hot = max(f.load, power/lowest)
		if byWatts {
			f.peak = max(least, power/lowRunning)
			f.restPeak = max(f.peak, f.design)
			if f.restLimit > 0 {
				f.restPeak = max(least, power/f.restLimit)
			}
		}
	}
}

// ways measures feed and return, and decides where the return goes: over the body
// wherever it may, without trying whether a cable would serve better.
func (f *feeding) ways() {
	a := f.cat.Shop.Allowances
	stretches := map[stretch]float64{}
	stretches[zoneStretch(f.at)] += float64(a.LoopBattery)
	routes, _ := shortestWay(f.vehicle, f.at.ID, f.end.ID)
	for _, r := range routes {
		stretches[stretch{environment: r.Environment}] += float64(r.Length) * (1 + float64(a.Route)/100)
		f.feed.bundled = max(f.feed.bundled, r.BundledWith)
	}
	loop := float64(a.LoopPerEnd)
	if f.end.Removable {
		loop = float64(a.LoopRemovable)
	}
	stretches[zoneStretch(f.end)] += float64(f.end.Reach)*(1+float64(a.Route)/100) + loop
	f.feed.stretches = stretches
	if f.device.HasMeasured {
		scale := float64(f.device.Measured) / f.feed.length()
		for s := range stretches {
			stretches[s] *= scale
		}
	}
	f.back = f.feed
	road := f.vehicle.Category == electrical.Car || f.vehicle.Category == electrical.Van || f.vehicle.Category == electrical.Truck
	if road && f.from == nil && f.vehicle.Body == catalog.Steel && f.end.ChassisGround && !f.device.Maker.ReturnToBattery && f.peak <= 150 {
		f.chassis, f.bodyOhm = true, 1e-3
		if f.vehicle.Category == electrical.Truck {
			f.bodyOhm = 2e-3
		}
		f.back = way{stretches: map[stretch]float64{zoneStretch(f.end): float64(a.ReturnTail)}}
	}
}

// shortestWay tries every way that passes no zone twice.
func shortestWay(v *catalog.Vehicle, from, to string) ([]catalog.Route, bool) {
	var best []catalog.Route
	shortest := math.Inf(1)
	var walk func(at string, seen []string, so []catalog.Route, length float64)
	walk = func(at string, seen []string, so []catalog.Route, length float64) {
		if at == to {
			if length < shortest {
				best, shortest = slices.Clone(so), length
			}
			return
		}
		for _, r := range v.Routes {
			next := r.To
			if at == r.To {
				next = r.From
			} else if at != r.From {
				continue
			}
			if !slices.Contains(seen, next) {
				walk(next, append(seen[:len(seen):len(seen)], next), append(so[:len(so):len(so)], r), length+float64(r.Length))
			}
		}
	}
	walk(from, []string{from}, nil, 0)
	return best, !math.IsInf(shortest, 1)
}

// along is a conductor's ampacity on a way and the ambient that goes with it: the
// lowest, of equal ones the hottest.
func (f *feeding) along(c electrical.Conductor, w way) (ampacity, ambient float64, ok bool) {
	bundled := 0
	if w.bundled > 0 {
		bundled = w.bundled + 2
		if f.chassis {
			bundled = w.bundled + 1
		}
	}
	ampacity = math.Inf(1)
	for _, s := range w.governing() {
		here := electrical.Surroundings{Ambient: quantity.Celsius(s.ambient), HasAmbient: true, Bundled: bundled}
		if !s.stated {
			usual := map[electrical.Environment]quantity.Celsius{electrical.Cabin: 30, electrical.Exposed: 40, electrical.Underbody: 50, electrical.WetLocker: 30, electrical.EngineSpace: 50}
			here.Ambient = usual[s.environment]
			if s.environment == electrical.EngineSpace { // the factor of 33 CFR 183.425 note 1 instead
				here = electrical.Surroundings{EngineSpace: true, Bundled: bundled}
			}
		}
		iz, err := electrical.Ampacity(c, here)
		if err != nil {
			return 0, 0, false
		}
		degrees := float64(here.Temperature())
		if float64(iz) < ampacity || float64(iz) == ampacity && degrees > ambient {
			ampacity, ambient = float64(iz), degrees
		}
	}
	return ampacity, ambient, true
}

// cabled is a circuit with its cables chosen.
type cabled struct {
	conductor electrical.Conductor
	iz        float64 // the lower of feed and return
	ohm       float64 // feed and return, warm
	sides     [2]struct{ iz, ambient float64 }
}

// cable judges everything that the cables alone decide.
func (f *feeding) cable(c electrical.Conductor) (cabled, bool) {
	if c.Size.Area() < f.thinnest().Area()*0.99 || c.Size.Area() < f.device.Maker.ConductorMin.Area()*0.99 {
		return cabled{}, false
	}
	out := cabled{conductor: c, iz: math.Inf(1)}
	for i, w := range []way{f.feed, f.back} {
		iz, ambient, ok := f.along(c, w)
		out.sides[i].iz, out.sides[i].ambient = iz, ambient
		if !ok || f.load > iz || f.hot > iz {
			return cabled{}, false
		}
		degrees := ambient + (float64(c.Rating)-ambient)*(f.load/iz)*(f.load/iz)
		if f.shortTime() && degrees+f.warming(c) > float64(c.Rating) {
			return cabled{}, false
		}
		out.iz = min(out.iz, iz)
		out.ohm += float64(c.ResistancePerMetre(quantity.Celsius(degrees))) * w.length()
	}
	return out, f.peak*out.ohm <= f.conductorLimit+1e-9
}

// warming is the adiabatic rise over one time on: I²·R'·t/(c·A), with c of copper
// or aluminium in J/(K·mm²·m).
func (f *feeding) warming(c electrical.Conductor) float64 {
	heat := 3.45
	if c.Material == electrical.CopperClad {
		heat = 2.5
	}
	return f.peak * f.peak * float64(c.ResistancePerMetre(c.Rating)) * f.duty().On.Seconds() / (heat * float64(c.CopperArea()))
}

// thinnest: 33 CFR 183.425(e) on boats, for strength elsewhere.
func (f *feeding) thinnest() quantity.Size {
	switch f.vehicle.Category {
	case electrical.Boat, electrical.Motorcycle, electrical.Trailer:
		return quantity.AWG(16)
	}
	for _, s := range f.feed.governing() {
		if s.environment != electrical.Cabin {
			return quantity.AWG(16)
		}
	}
	for s := range f.back.stretches {
		if f.chassis && s.environment != electrical.Cabin {
			return quantity.AWG(16)
		}
	}
	return quantity.AWG(18)
}

// ratingServes: the fuse carries the load, bears the start, and is the maker's
// where the maker states one.
func (f *feeding) ratingServes(fuse *catalog.Fuse) bool {
	family, rating := fuse.Family, float64(fuse.Rating)
	if f.makerFuse > 0 {
		return rating == f.makerFuse
	}
	if f.ceiling > 0 && rating > f.ceiling || rating < float64(f.device.Load.Audio.OnboardFuse) {
		return false
	}
	usual := map[electrical.Environment]float64{electrical.Cabin: 30, electrical.Exposed: 40, electrical.Underbody: 50, electrical.WetLocker: 30, electrical.EngineSpace: 65}
	ambient := usual[f.at.Environment]
	if f.at.HasAmbient {
		ambient = float64(f.at.Ambient)
	}
	share := electrical.ShareAtAmbient(family, quantity.Celsius(ambient))
	if f.load > rating*min(0.8, share) || f.hot > rating*min(1, share/electrical.ShareAtAmbient(family, 30)) {
		return false
	}
	opening := func(i float64) electrical.Opening {
		return fuse.Curve.Opening(fuse.Rating, quantity.Amps(i))
	}
	if f.shortTime() && (rating < f.peak || opening(f.peak).Min < 2*f.duty().On.Seconds()) {
		return false
	}
	surge := f.device.Surge
	if surge.Current <= 0 {
		return true
	}
	band := opening(1.25 * float64(surge.Current))
	return band.Min > 0 && math.Sqrt(band.Min)*math.Sqrt(band.Max) >= surge.Duration.Seconds()
}

// protects: rating within the ampacity, or within a short-time motor's bound.
func (f *feeding) protects(w *cabled, fuse *catalog.Fuse) bool {
	over := 1.0
	switch {
	case f.shortTime() && f.vehicle.Category == electrical.Boat:
		over = 1.5 // 33 CFR 183.455(c)(1)
	case f.shortTime():
		over = 2.5
	}
	return float64(fuse.Rating) <= over*w.iz
}

// clears: a dead short at the far end of a circuit of so many ohms, on the bank's high
// bound, is at least twice the rating, and the slowest fuse opens before either cable
// is as hot as it may get.
func (f *feeding) clears(w *cabled, fuse *catalog.Fuse, ohm float64, soldered bool) bool {
	_, high := f.bank().Resistance()
	fault := f.rest / (float64(high) + ohm)
	if f.from != nil {
		if w.iz >= float64(f.from.Limit) { // IEC 60364-4-43 clause 436, from memory
			return true
		}
		fault = min(f.rest/ohm, float64(f.from.Rated))
	}
	opens := fuse.Curve.Opening(fuse.Rating, quantity.Amps(fault)).Max
	return fault >= 2*float64(fuse.Rating) && opens < w.withstands(0, fault, soldered) && opens < w.withstands(1, fault, soldered)
}

// withstands is how long the cable of one side bears a fault: IEC 60364-4-43 up to five
// seconds, K·√ln(…) written out; from there on τ·dT/dt = p·(β + T) − (T − Ta), the heat
// made less the heat lost, for an hour at most; for good up to its ampacity.
func (w *cabled) withstands(side int, fault float64, soldered bool) float64 {
	c, at := w.conductor, w.sides[side]
	k, beta, heat := 226.0, 234.5, 3.45
	if c.Material == electrical.CopperClad {
		k, beta, heat = 148, 228, 2.5
	}
	final, rated, area := 160.0, float64(c.Rating), float64(c.CopperArea())
	if !soldered && (c.Insulation == electrical.CrossLinked || c.Insulation == electrical.Silicone) {
		final = 250
	}
	switch {
	case rated >= final || rated <= at.ambient:
		return 0
	case fault <= at.iz:
		return math.Inf(1)
	}
	perSecond := (fault / (k * area)) * (fault / (k * area))
	if adiabatic := math.Log((beta+final)/(beta+rated)) / perSecond; adiabatic <= 5 {
		return adiabatic
	}
	p := (rated - at.ambient) * (fault / at.iz) * (fault / at.iz) / (beta + rated)
	slope, start := p-1, p*beta+at.ambient
	if slope*final+start <= 0 {
		return 3600
	}
	hot := (beta+rated)*math.Exp(5*perSecond) - beta
	tau := heat * area * (rated - at.ambient) / (at.iz * at.iz * float64(c.ResistancePerMetre(c.Rating)))
	return min(3600, 5+tau/slope*math.Log((slope*final+start)/(slope*hot+start)))
}

func (f *feeding) bank() electrical.Bank {
	b := f.battery
	return electrical.Bank{Chemistry: b.Chemistry, Nominal: f.vehicle.Nominal, Capacity: b.Capacity, ColdCranking: b.ColdCranking, Internal: b.Internal, ShortCircuit: b.ShortCircuit}
}

// tail is the cable between battery and holder: half the feed at most.
func (f *feeding) tail(h *catalog.Holder) float64 {
	limit := 0.45
	switch {
	case h.OnPost():
		return 0
	case f.from != nil && f.vehicle.Category != electrical.Boat:
	case f.vehicle.Category == electrical.Boat:
		limit = 7 * 0.0254 // 33 CFR 183.455(b)(1)
	case f.battery.Chemistry == electrical.Lithium || f.at.Environment == electrical.Cabin:
		limit = 0.18
	}
	return min(limit, f.feed.length()/2)
}

// interrupts: the fuse clears the most that the battery can give behind cable,
// holder and fuse; ABYC E-11 table V-A for lead-acid with stated cranking amps.
func (f *feeding) interrupts(w *cabled, fuse *catalog.Fuse, h *catalog.Holder) bool {
	b := f.bank()
	iso8820 := []electrical.Family{electrical.Blade, electrical.Mini, electrical.Maxi, electrical.BoltSmall, electrical.BoltLarge}
	onRoad := []electrical.Category{electrical.Car, electrical.Van, electrical.Truck, electrical.Motorcycle, electrical.SideBySide}
	if b.Chemistry != electrical.Lithium && b.ColdCranking > 0 && b.ColdCranking <= 1100 && slices.Contains(iso8820, fuse.Family) && slices.Contains(onRoad, f.vehicle.Category) {
		return true
	}
	figures, _ := electrical.FamilyOf(fuse.Family)
	low, _ := b.Resistance()
	behind := float64(w.conductor.ResistancePerMetre(20))*f.tail(h) + float64(figures.Contacts) + figures.ColdMillivolts/float64(fuse.Rating)*1e-3
	required := f.rest / (float64(low) + behind)
	if f.from != nil {
		required = min(f.rest/behind, float64(f.from.Limit))
	}
	if b.Chemistry != electrical.Lithium && b.ColdCranking > 0 && b.ColdCranking <= 2200 && b.Capacity <= 500 {
		table := 5000.0
		if b.ColdCranking <= 650 {
			table = 1500
		} else if b.ColdCranking <= 1100 {
			table = 3000
		}
		required = min(required, table)
	}
	return float64(fuse.InterruptingAt(quantity.Volts(f.highest))) >= required
}

// ohmsAndCost gives the joints of a circuit and what its ends cost; false where one
// cannot be made.
func (f *feeding) ohmsAndCost(feed, back *catalog.Conductor, h *catalog.Holder) (ohm float64, nano int64, soldered, ok bool) {
	post := f.post
	returns, sensor := post, f.vehicle.Sensor
	where := f.at.Environment
	if f.chassis {
		returns, where = catalog.Landing{Kind: catalog.OnChassis, Stud: f.end.GroundStud}, f.end.Environment
	}
	positive, negative := f.device.Maker.Positive, f.device.Maker.Negative
	positive.Largest, negative.Largest = f.device.Maker.TerminalMax, f.device.Maker.TerminalMax
	joints := []termination.Joint{
		{Landing: positive, Conductor: feed, Environment: f.end.Environment},
		{Landing: negative, Conductor: back, Environment: f.end.Environment},
		{Landing: returns, Conductor: back, Environment: where, Battery: f.from == nil && !f.chassis && !sensor},
		{Landing: h.Landing, Conductor: feed, Environment: f.at.Environment},
	}
	if h.OnPost() {
		ohm = float64(electrical.BatteryClamp)
	} else {
		joints = append(joints, termination.Joint{Landing: post, Conductor: feed, Environment: f.at.Environment, Battery: f.from == nil},
			termination.Joint{Landing: h.Landing, Conductor: feed, Environment: f.at.Environment})
	}
	for _, j := range joints {
		j.Category = f.vehicle.Category
		plan, err := f.planner.Plan(j)
		if err != nil {
			return 0, 0, false, false
		}
		ohm += float64(plan.Resistance)
		nano += plan.Nano
		soldered = soldered || isSoldered(&plan)
	}
	return ohm, nano, soldered, true
}

func isSoldered(p *termination.Plan) bool {
	return p.Method == termination.CrimpAndSolder || p.Method == termination.SolderedSplice
}

// volted judges the circuit as a whole: total drop, the device's own minimum, the
// engine off, and a short at the far end.
func (f *feeding) volted(w *cabled, joints float64, fuse *catalog.Fuse, soldered bool) bool {
	figures, _ := electrical.FamilyOf(fuse.Family)
	rating := float64(fuse.Rating)
	share := max(f.peak, f.load) / rating
	ohm := w.ohm + joints + f.bodyOhm + float64(figures.Contacts) + figures.ColdMillivolts/rating*1e-3*(1+0.4*share*share)
	drop := f.peak * ohm
	if drop > f.totalLimit()+1e-9 || f.running-drop < float64(f.device.MinVolts)-1e-9 {
		return false
	}
	return (f.restLimit == 0 || f.rest-f.restPeak*ohm >= f.restLimit-1e-9) && f.clears(w, fuse, ohm, soldered)
}
