package electrical

import (
	"time"

	"example.com/lugbook/api/quantity"
)

// Habits is what is assumed of a kind of device when the job does not say.
type Habits struct {
	Behaviour     Behaviour
	Drop          DropClass
	UsedEngineOff bool
	// MinVolts12 is the lowest volts a 12 V device of the kind works at; 24 V and
	// 48 V devices scale with it. 0 = no figure of the kind's own.
	MinVolts12 quantity.Volts
	// Duty is the usual duty where it matters for the size.
	Duty Duty
}

// winchDuty is one pull of a minute and four minutes of rest (common practice, no source).
var winchDuty = Duty{Kind: Intermittent, On: time.Minute, Off: 4 * time.Minute}

// habitsByKind: drop classes are ABYC practice where it names the circuit, all
// else common practice, no source. The refrigerator's 10.4 V is a compressor
// maker's cut-out; the inverter's 10.5 V is common practice.
var habitsByKind = map[DeviceKind]Habits{
	Amplifier:     {Behaviour: Resistive, Drop: Critical, UsedEngineOff: true},
	HeadUnit:      {Behaviour: ConstantPower, Drop: Critical, UsedEngineOff: true},
	Light:         {Behaviour: ConstantPower, Drop: General, UsedEngineOff: false},
	Fan:           {Behaviour: ConstantCurrent, Drop: General, UsedEngineOff: true},
	Pump:          {Behaviour: ConstantCurrent, Drop: General, UsedEngineOff: true},
	Refrigerator:  {Behaviour: ConstantPower, Drop: Critical, UsedEngineOff: true, MinVolts12: 10.4},
	Inverter:      {Behaviour: ConstantPower, Drop: Critical, UsedEngineOff: true, MinVolts12: 10.5},
	Charger:       {Behaviour: ConstantPower, Drop: Critical, UsedEngineOff: false},
	USBCharger:    {Behaviour: ConstantPower, Drop: Critical, UsedEngineOff: true},
	Heater:        {Behaviour: Resistive, Drop: Critical, UsedEngineOff: true},
	Motor:         {Behaviour: ConstantCurrent, Drop: MotorDrop, UsedEngineOff: true},
	TrollingMotor: {Behaviour: ConstantCurrent, Drop: MotorDrop, UsedEngineOff: true},
	Winch:         {Behaviour: ConstantCurrent, Drop: General, UsedEngineOff: false, Duty: winchDuty},
	Windlass:      {Behaviour: ConstantCurrent, Drop: MotorDrop, UsedEngineOff: false},
	Compressor:    {Behaviour: ConstantCurrent, Drop: General, UsedEngineOff: false},
	Radio:         {Behaviour: ConstantCurrent, Drop: Critical, UsedEngineOff: true},
	Navigation:    {Behaviour: ConstantPower, Drop: Critical, UsedEngineOff: true},
	HeatedGear:    {Behaviour: Resistive, Drop: General, UsedEngineOff: false},
	Horn:          {Behaviour: Resistive, Drop: General, UsedEngineOff: true},
	Socket:        {Behaviour: ConstantCurrent, Drop: Critical, UsedEngineOff: true},
	OtherDevice:   {Behaviour: ConstantCurrent, Drop: Critical, UsedEngineOff: true},
}

// HabitsOf gives what is assumed of a kind of device in a category of vehicle.
// A kind that is not known counts as OtherDevice, whose figures are the
// strictest. A pump on a boat may be the bilge pump, which is critical (ABYC).
func HabitsOf(kind DeviceKind, category Category) Habits {
	h, ok := habitsByKind[kind]
	if !ok {
		h = habitsByKind[OtherDevice]
	}
	if kind == Pump && category == Boat {
		h.Drop = Critical
	}
	if h.Duty.Kind == "" {
		h.Duty.Kind = Continuous
		if kind == Amplifier {
			h.Duty.Kind = Music
		}
	}
	return h
}

// efficiencies of amplifiers at full rated output. Class D: a published sample
// sheet measures 75.1 %; AB: 50 % as used for planning; the rest common
// practice, no source. An unknown class counts as AB.
var amplifierEfficiency = map[AmplifierClass]float64{
	ClassA: 0.25, ClassAB: 0.5, ClassD: 0.75, ClassGOrH: 0.6, ClassUnknown: 0.5,
}

// AmplifierEfficiency gives the efficiency assumed of an amplifier class at full
// rated output.
func AmplifierEfficiency(class AmplifierClass) float64 {
	if e, ok := amplifierEfficiency[class]; ok {
		return e
	}
	return amplifierEfficiency[ClassUnknown]
}

// ConverterEfficiency is the efficiency assumed of a device that states its
// output: LED drivers and USB chargers 0.88; inverters, at nominal volts, and
// DC-DC chargers 0.9 (common practice, no source).
func ConverterEfficiency(kind DeviceKind) float64 {
	switch kind {
	case USBCharger, Light:
		return 0.88
	default:
		return 0.9
	}
}
