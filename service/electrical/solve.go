package electrical

import (
	"errors"
	"math"

	"example.com/lugbook/api/quantity"
)

// ErrNoOperatingPoint tells that the source cannot deliver the power through
// the resistance at any current.
var ErrNoOperatingPoint = errors.New("the source cannot deliver that power through that resistance")

// OperatingPoint gives the current and the device's volts when a load is fed
// from a source of Vs volts through a resistance R.
//
//	constant power:    V = (Vs + √(Vs² − 4·P·R))/2, I = P/V   (exact root, stable branch)
//	resistive:         I = Vs/(R + Vref/Iref)
//	constant current:  V = Vs − I·R
//
// Constant power beyond the maximum-power point, Vs² < 4·P·R, or from a source
// without volts gives ErrNoOperatingPoint; a constant current that would need
// less than 0 V does too.
func OperatingPoint(d Demand, source quantity.Volts, r quantity.Ohms) (quantity.Amps, quantity.Volts, error) {
	vs, res := float64(source), float64(r)
	switch d.Behaviour {
	case ConstantPower:
		v := (vs + math.Sqrt(vs*vs-4*float64(d.Power)*res)) / 2
		if !(v > 0) { // NaN where the root has no real value
			return 0, 0, ErrNoOperatingPoint
		}
		return d.Power.Drawing(quantity.Volts(v)), quantity.Volts(v), nil
	case Resistive:
		i := vs / (res + float64(d.Reference)/float64(d.Design))
		return quantity.Amps(i), quantity.Volts(vs - i*res), nil
	default:
		v := vs - float64(d.Design)*res
		if v < 0 {
			return 0, 0, ErrNoOperatingPoint
		}
		return d.Design, quantity.Volts(v), nil
	}
}
