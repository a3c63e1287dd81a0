package electrical

import "example.com/lugbook/api/quantity"

// overloadFactor is how far above its ampacity a conductor may be loaded until its
// fuse surely opens: I2 ≤ 1.45·Iz, IEC 60364-4-43 clause 433.1, from memory.
const overloadFactor = 1.45

// sourceOverload names what the advice rests on.
const sourceOverload = "IEC 60364-4-43 clause 433.1, from memory"

// Overload is what a fuse lets pass for long, against its conductor. It is advice:
// the rating is within Iz whatever it says.
type Overload struct {
	I2     quantity.Amps // what surely opens the fuse; 0 = no published time shows it
	Within float64       // s until it does; +Inf where I2 is 0
	Limit  quantity.Amps // 1.45·Iz
	Holds  bool          // I2 is known and within the limit
	Reason Reason
}

// Overload gives the fuse's conventional operating current I2, that of the lowest
// gate that states a maximum, and holds it against 1.45 times the conductor's
// derated ampacity Iz.
// Example: maxi 40 A on Iz 60 A: 54 A within 30 min, and 87 A allowed.
func (f Fuse) Overload(iz quantity.Amps) Overload {
	percent, within := f.Curve.conventional()
	o := Overload{I2: f.Rating * quantity.Amps(percent) / 100, Within: within, Limit: overloadFactor * iz}
	o.Holds = o.I2 > 0 && o.I2 <= o.Limit
	i2, time, limit := Num("i2_a", o.I2, UnitA), Num("within_s", o.Within, UnitS), Num("limit_a", o.Limit, UnitA)
	switch {
	case o.Holds:
		o.Reason = Because("overload.holds", sourceOverload, i2, time, limit)
	case o.I2 > 0:
		o.Reason = Because("overload.exceeds", sourceOverload, i2, time, limit)
	default:
		o.Reason = Because("overload.not_shown", sourceOverload, limit)
	}
	return o
}
