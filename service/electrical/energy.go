package electrical

import (
	"time"

	"example.com/lugbook/api/quantity"
)

// Shares of an amplifier's full-output current that music draws on average (common
// practice, no source): one eighth as usual, one third where it is bass alone and
// heavily compressed.
const (
	musicShare = 0.125
	bassShare  = 0.33
)

// Average gives the mean current while a device is in use, from the current at full
// load: times the duty's share where it states one; on/(on + off) where it is
// intermittent with both times; one eighth for music; else the current itself.
// Example: an amplifier of 96 A on music: 12 A.
func (d Duty) Average(i quantity.Amps) quantity.Amps {
	switch {
	case d.Share > 0:
		return i * quantity.Amps(min(1, d.Share))
	case d.Kind == Intermittent && d.On > 0 && d.Off >= 0:
		return i * quantity.Amps(d.On.Seconds()/(d.On.Seconds()+d.Off.Seconds()))
	case d.Kind == Music:
		return i * musicShare
	default:
		return i
	}
}

// onceAnHour is the duty of a device that is on for a time once in an hour's use.
func onceAnHour(on time.Duration) Duty {
	return Duty{Kind: Intermittent, On: on, Off: time.Hour - on}
}

// radioShare: 12 A for the tenth of the time that a two-way radio sends, 1 A else.
const radioShare = (0.1*12 + 0.9*1) / 12

// energyDuties: share of the full-load current over the time in use (common
// practice, no source). Of a kind with several usual figures the largest stands. A
// windlass, compressor and horn are used once an hour, the project's own reading.
var energyDuties = map[DeviceKind]Duty{
	Refrigerator:  {Share: 0.45}, // at 32 °C
	Heater:        {Share: 0.6},
	Pump:          {Share: 0.05},
	Fan:           {Share: 0.5},
	Light:         {Share: 0.2},
	USBCharger:    {Share: 0.3},
	Socket:        {Share: 0.1},
	Inverter:      {Share: 0.1},
	TrollingMotor: {Share: 0.4},
	HeatedGear:    {Share: 0.5},
	Radio:         {Share: radioShare},
	Winch:         winchDuty,
	Windlass:      onceAnHour(2 * time.Minute),
	Compressor:    onceAnHour(20 * time.Minute),
	Horn:          onceAnHour(5 * time.Second),
}

// EnergyDuty gives the duty by which a kind of device counts in the charging
// balance where none is stated. An amplifier of one channel is taken to play bass;
// a kind without a figure of its own counts in full.
func EnergyDuty(kind DeviceKind, channels int) Duty {
	if kind == Amplifier {
		if channels == 1 {
			return Duty{Kind: Music, Share: bassShare}
		}
		return Duty{Kind: Music}
	}
	d := energyDuties[kind]
	if d.Kind == "" {
		d.Kind = Continuous
	}
	return d
}
