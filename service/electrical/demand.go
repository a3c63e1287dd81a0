package electrical

import (
	"errors"
	"fmt"
	"math"

	"example.com/lugbook/api/quantity"
)

// Demand is what a device draws, ready to be asked at any voltage.
type Demand struct {
	Behaviour Behaviour
	// Design is the full current that drop and fuse are chosen for.
	Design quantity.Amps
	// Reference is the voltage at which a resistive load draws Design.
	Reference quantity.Volts
	// Power is what a constant-power load draws at any voltage.
	Power   quantity.Watts
	Reasons []Reason
}

// At gives the current drawn at the voltage the device gets. At or below 0 V it
// is 0 for a resistive load and +Inf for constant power.
func (d Demand) At(v quantity.Volts) quantity.Amps {
	switch d.Behaviour {
	case ConstantPower:
		if v <= 0 {
			return quantity.Amps(math.Inf(1))
		}
		return d.Power.Drawing(v)
	case Resistive:
		return quantity.Amps(float64(d.Design) * max(0, float64(v)) / float64(d.Reference))
	default:
		return d.Design
	}
}

// LoadContext is what DemandOf needs besides the load itself.
type LoadContext struct {
	Kind    DeviceKind
	Nominal quantity.Volts
	Source  SourceVolts
	// Lowest is the lowest volts the device may get under any condition that the
	// design is judged in: where a constant-power load draws most.
	Lowest quantity.Volts
}

// Bounds of a device's current: below, nothing would be wired; above, it is no
// accessory of a vehicle and most likely a slip of the unit.
const (
	MinCurrent quantity.Amps = 0.01
	MaxCurrent quantity.Amps = 600
)

// ErrLoad is the kind of every fault of a stated load.
var ErrLoad = errors.New("load")

// DemandOf gives what a device draws from what is stated of it.
//
//   - Current stated: it is taken as the most the device draws.
//   - Input watts: constant power draws most at its lowest permitted volts,
//     I = P/Vlow; any other behaviour is counted at nominal, I = P/Vn, the
//     unfavourable side of the volts such watts are rated at.
//   - Output watts of an inverter or converter: I = P/(η·Vn), η 0.9 by default,
//     0.88 for USB chargers and LED drivers.
//   - Audio: the smaller of rms/(η·Vrun) and the sum of the amplifier's own
//     fuses; with only the fuses known, 0.8 of their sum.
//
// The sources of the defaults stand beside the tables of this package.
// Example: 1000 W rms, class D, 12 V: 1000/(0.75·13.8) = 96.6 A.
//
// It fails with ErrLoad where nothing is stated, an efficiency is above 1 or below
// 0, or the current is outside MinCurrent … MaxCurrent.
func DemandOf(l Load, c LoadContext) (Demand, error) {
	for _, eff := range []float64{l.Efficiency, l.Audio.Efficiency} {
		if !(eff >= 0 && eff <= 1) { // above 1 the load would be counted too small
			return Demand{}, fmt.Errorf("%w: efficiency %v is outside 0 … 1", ErrLoad, eff)
		}
	}
	d := Demand{Behaviour: l.Behaviour, Reference: c.Source.Running}
	if d.Behaviour == "" {
		d.Behaviour = HabitsOf(c.Kind, "").Behaviour
		if l.Audio.Regulated {
			d.Behaviour = ConstantPower
		}
	}
	switch {
	case l.Current > 0:
		d.fromCurrent(l.Current, c)
	case l.Input > 0:
		d.fromInput(l.Input, c)
	case l.Output > 0:
		d.fromOutput(l, c)
	case l.Audio.Stated():
		d.fromAudio(l.Audio, c)
	default:
		return Demand{}, fmt.Errorf("%w: nothing is stated", ErrLoad)
	}
	if !(d.Design >= MinCurrent && d.Design <= MaxCurrent) {
		return Demand{}, fmt.Errorf("%w: %.4g A is outside %g … %g A", ErrLoad, float64(d.Design), float64(MinCurrent), float64(MaxCurrent))
	}
	return d, nil
}

func (d *Demand) fromCurrent(i quantity.Amps, c LoadContext) {
	d.Design = i
	d.Power = i.At(c.Lowest)
	d.explain(Because("load.current", "", Num("current_a", i, UnitA)))
}

func (d *Demand) fromInput(p quantity.Watts, c LoadContext) {
	if d.Behaviour == ConstantPower {
		d.Power = p
		d.Design = p.Drawing(c.Lowest)
		d.explain(Because("load.constant_power", "P = V·I", Num("power_w", p, UnitW), Num("lowest_v", c.Lowest, UnitV), Num("current_a", d.Design, UnitA)))
		return
	}
	d.Design = p.Drawing(c.Nominal)
	d.Power = p
	d.explain(Because("load.power", "P = V·I", Num("power_w", p, UnitW), Num("nominal_v", c.Nominal, UnitV), Num("current_a", d.Design, UnitA)))
}

func (d *Demand) fromOutput(l Load, c LoadContext) {
	eff := l.Efficiency
	if eff == 0 {
		eff = ConverterEfficiency(c.Kind)
	}
	d.Power = quantity.Watts(float64(l.Output) / eff)
	d.Design = d.Power.Drawing(c.Nominal)
	d.explain(Because("load.output", "common practice, no source",
		Num("power_w", l.Output, UnitW), Num("efficiency", eff, UnitFactor), Num("nominal_v", c.Nominal, UnitV), Num("current_a", d.Design, UnitA)))
}

// onboardShare is the part of an amplifier's own fuses that it is taken to draw
// when nothing else is known: fuses are chosen for 125 % of the load.
const onboardShare = 0.8

func (d *Demand) fromAudio(a Audio, c LoadContext) {
	if a.RMS <= 0 {
		d.Design = quantity.Amps(onboardShare * float64(a.OnboardFuse))
		d.Power = d.Design.At(c.Lowest)
		d.explain(Because("load.onboard_fuse", "common practice, no source",
			Num("onboard_fuse_a", a.OnboardFuse, UnitA), Num("share", onboardShare, UnitFactor), Num("current_a", d.Design, UnitA)))
		return
	}
	eff := a.Efficiency
	if eff == 0 {
		eff = AmplifierEfficiency(a.Class)
	}
	d.Power = quantity.Watts(float64(a.RMS) / eff)
	volts := c.Source.Running
	if d.Behaviour == ConstantPower {
		volts = c.Lowest
	}
	d.Design = d.Power.Drawing(volts)
	d.explain(Because("load.audio", "P = η·V·I; efficiency by class",
		Num("power_w", a.RMS, UnitW), Num("efficiency", eff, UnitFactor), Num("source_v", volts, UnitV), Num("current_a", d.Design, UnitA), Word("amplifier_class", "class_"+classOr(a.Class))))
	if a.OnboardFuse > 0 && a.OnboardFuse < d.Design {
		d.Design = a.OnboardFuse
		d.Power = min(d.Power, d.Design.At(volts))
		d.explain(Because("load.onboard_limit", "common practice, no source", Num("onboard_fuse_a", a.OnboardFuse, UnitA)))
	}
}

func classOr(c AmplifierClass) AmplifierClass {
	if c == ClassUnknown {
		return "unknown"
	}
	return c
}

func (d *Demand) explain(r Reason) { d.Reasons = append(d.Reasons, r) }
