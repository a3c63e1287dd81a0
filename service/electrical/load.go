package electrical

import (
	"time"

	"example.com/lugbook/api/quantity"
)

// Load is how a device states what it draws. Exactly one of Current, Input,
// Output and Audio is given.
type Load struct {
	Current    quantity.Amps  // input current
	Input      quantity.Watts // input power
	Output     quantity.Watts // nameplate output of an inverter or converter
	Efficiency float64        // with Output: 0 < η ≤ 1, 0 = default by kind
	Audio      Audio          // amplifiers
	Behaviour  Behaviour      // empty = default by kind
}

// Audio is an amplifier's own figures; RMS is the sum over all channels.
type Audio struct {
	RMS         quantity.Watts // 0 = not stated
	Channels    int
	Class       AmplifierClass
	Efficiency  float64       // 0 < η ≤ 1, 0 = default by class
	OnboardFuse quantity.Amps // sum of its own fuses, 0 = not stated
	Regulated   bool          // the maker states a regulated supply
}

// Stated tells that any figure of the amplifier is given.
func (a Audio) Stated() bool { return a.RMS > 0 || a.OnboardFuse > 0 }

// Surge is a starting current and how long it lasts; the zero Surge is none.
type Surge struct {
	Current  quantity.Amps
	Duration time.Duration
}

// DutyKind is how a device is used over time.
type DutyKind string

// The duties.
const (
	Continuous   DutyKind = "continuous"
	Intermittent DutyKind = "intermittent"
	Music        DutyKind = "music"
)

// DutyKinds lists every duty.
func DutyKinds() []DutyKind { return []DutyKind{Continuous, Intermittent, Music} }

// Duty is how a device is used over time.
type Duty struct {
	Kind    DutyKind
	On, Off time.Duration // Intermittent
	Share   float64       // of the time in use, 0 = not stated; energy only
}
