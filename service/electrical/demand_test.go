package electrical_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// twelveVolts is a 12 V vehicle whose devices get 10.8 V at the least: 90 % of nominal.
func twelveVolts(kind electrical.DeviceKind) electrical.LoadContext {
	return electrical.LoadContext{Kind: kind, Nominal: 12, Source: electrical.Standard().Volts12, Lowest: 10.8}
}

func audio(a electrical.Audio) electrical.Load { return electrical.Load{Audio: a} }

// Currents by hand: P = V·I.
func TestDemandOf(t *testing.T) {
	tests := []struct {
		name string
		kind electrical.DeviceKind
		load electrical.Load
		want float64
		is   electrical.Behaviour
	}{
		{"stated current", electrical.Fan, electrical.Load{Current: 1.5}, 1.5, electrical.ConstantCurrent},
		{"watts of a heater at nominal: 120/12", electrical.Heater, electrical.Load{Input: 120}, 10, electrical.Resistive},
		{"watts of a lamp driver at its lowest volts: 180/10.8", electrical.Light, electrical.Load{Input: 180}, 16.6667, electrical.ConstantPower},
		{"a stated behaviour wins over the kind's: 180/12", electrical.Light, electrical.Load{Input: 180, Behaviour: electrical.Resistive}, 15, electrical.Resistive},
		{"inverter by output: 2000/(0.9·12)", electrical.Inverter, electrical.Load{Output: 2000}, 185.185, electrical.ConstantPower},
		{"inverter with its own efficiency: 2000/(0.95·12)", electrical.Inverter, electrical.Load{Output: 2000, Efficiency: 0.95}, 175.439, electrical.ConstantPower},
		{"USB charger by output: 36/(0.88·12)", electrical.USBCharger, electrical.Load{Output: 36}, 3.40909, electrical.ConstantPower},
		{"class D: 1000/(0.75·13.8)", electrical.Amplifier, audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD}), 96.6184, electrical.Resistive},
		{"class AB: 400/(0.5·13.8)", electrical.Amplifier, audio(electrical.Audio{RMS: 400, Class: electrical.ClassAB}), 57.971, electrical.Resistive},
		{"class G or H: 600/(0.6·13.8)", electrical.Amplifier, audio(electrical.Audio{RMS: 600, Class: electrical.ClassGOrH}), 72.4638, electrical.Resistive},
		{"class A: 50/(0.25·13.8)", electrical.Amplifier, audio(electrical.Audio{RMS: 50, Class: electrical.ClassA}), 14.4928, electrical.Resistive},
		{"unknown class counts as AB: 100/(0.5·13.8)", electrical.Amplifier, audio(electrical.Audio{RMS: 100}), 14.4928, electrical.Resistive},
		{"its own fuses limit it", electrical.Amplifier, audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD, OnboardFuse: 80}), 80, electrical.Resistive},
		{"its own fuses above what it draws do not", electrical.Amplifier, audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD, OnboardFuse: 120}), 96.6184, electrical.Resistive},
		{"only its fuses known: 0.8·60", electrical.Amplifier, audio(electrical.Audio{OnboardFuse: 60}), 48, electrical.Resistive},
		{"regulated supply at the lowest volts: 1000/(0.75·10.8)", electrical.Amplifier, audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD, Regulated: true}), 123.457, electrical.ConstantPower},
		{"its own fuses limit a regulated one too", electrical.Amplifier, audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD, Regulated: true, OnboardFuse: 100}), 100, electrical.ConstantPower},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			d, err := electrical.DemandOf(tt.load, twelveVolts(tt.kind))
			require.NoError(t, err)
			within(t, tt.want, float64(d.Design), 1e-5)
			assert.Equal(t, tt.is, d.Behaviour)
			assert.NotEmpty(t, d.Reasons)
		})
	}
}

// Twice the volts, half the amperes: a 24 V amplifier is counted at 27.6 V.
func TestDemandAt24V(t *testing.T) {
	c := electrical.LoadContext{Kind: electrical.Amplifier, Nominal: 24, Source: electrical.Standard().Volts24, Lowest: 21.6}
	d, err := electrical.DemandOf(audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD}), c)
	require.NoError(t, err)
	within(t, 48.3092, float64(d.Design), 1e-5)
}

func TestDemandOfRefuses(t *testing.T) {
	nan := math.NaN()
	for name, load := range map[string]electrical.Load{
		"nothing stated":              {},
		"less than anything draws":    {Current: 0.009},
		"more than an accessory":      {Current: 601},
		"kilowatts for watts":         {Input: 60000},
		"negative current":            {Current: -5},
		"not a number":                {Current: quantity.Amps(nan)},
		"without limit":               {Current: quantity.Amps(math.Inf(1))},
		"efficiency in percent":       {Output: 2000, Efficiency: 90},
		"negative efficiency":         {Output: 2000, Efficiency: -0.9},
		"efficiency is not a number":  {Output: 2000, Efficiency: nan},
		"audio efficiency in percent": audio(electrical.Audio{RMS: 1000, Efficiency: 75}),
	} {
		t.Run(name, func(t *testing.T) {
			_, err := electrical.DemandOf(load, twelveVolts(electrical.OtherDevice))
			require.ErrorIs(t, err, electrical.ErrLoad)
		})
	}
	for _, at := range []quantity.Amps{electrical.MinCurrent, electrical.MaxCurrent} {
		_, err := electrical.DemandOf(electrical.Load{Current: at}, twelveVolts(electrical.OtherDevice))
		require.NoError(t, err, "the bounds themselves are allowed: %v A", at)
	}
}

// A stated current is the most a device draws: constant power gets there at its
// lowest volts and draws less above, 10·10.8/13.8 = 7.826 A.
func TestDemandAt(t *testing.T) {
	at := func(b electrical.Behaviour, v quantity.Volts) float64 {
		d, err := electrical.DemandOf(electrical.Load{Current: 10, Behaviour: b}, twelveVolts(electrical.OtherDevice))
		require.NoError(t, err)
		return float64(d.At(v))
	}
	within(t, 10, at(electrical.ConstantPower, 10.8), 1e-9)
	within(t, 7.82609, at(electrical.ConstantPower, 13.8), 1e-5)
	assert.True(t, math.IsInf(at(electrical.ConstantPower, 0), 1))
	within(t, 10, at(electrical.Resistive, 13.8), 1e-9)
	within(t, 5, at(electrical.Resistive, 6.9), 1e-9)
	assert.Zero(t, at(electrical.Resistive, -1))
	within(t, 10, at(electrical.ConstantCurrent, 6.9), 1e-9)
}

// What an amplifier's own fuses cut off it never draws: 100 A at 10.8 V is 1080 W.
func TestDemandOfAFuseLimitedAmplifierKeepsToItsFuses(t *testing.T) {
	d, err := electrical.DemandOf(audio(electrical.Audio{RMS: 1000, Class: electrical.ClassD, Regulated: true, OnboardFuse: 100}), twelveVolts(electrical.Amplifier))
	require.NoError(t, err)
	within(t, 1080, float64(d.Power), 1e-9)
	within(t, 100, float64(d.At(10.8)), 1e-9)
}

func TestHabits(t *testing.T) {
	for _, kind := range electrical.DeviceKinds() {
		h := electrical.HabitsOf(kind, electrical.Car)
		assert.Contains(t, electrical.Behaviours(), h.Behaviour, "%s", kind)
		assert.Contains(t, electrical.DropClasses(), h.Drop, "%s", kind)
		assert.Contains(t, electrical.DutyKinds(), h.Duty.Kind, "%s", kind)
	}
	assert.Equal(t, electrical.HabitsOf(electrical.OtherDevice, electrical.Car), electrical.HabitsOf("unknown", electrical.Car))
	assert.Equal(t, electrical.General, electrical.HabitsOf(electrical.Pump, electrical.Van).Drop)
	assert.Equal(t, electrical.Critical, electrical.HabitsOf(electrical.Pump, electrical.Boat).Drop, "it may be the bilge pump (ABYC)")
	assert.Equal(t, electrical.Music, electrical.HabitsOf(electrical.Amplifier, electrical.Car).Duty.Kind)
	assert.Equal(t, quantity.Volts(10.4), electrical.HabitsOf(electrical.Refrigerator, electrical.Van).MinVolts12)
}
