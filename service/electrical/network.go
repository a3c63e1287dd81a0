package electrical

import (
	"math"

	"example.com/lugbook/api/quantity"
)

// Element is a resistance that the currents of some loads share: a trunk, a
// branch, the vehicle's body.
type Element struct {
	R     quantity.Ohms
	Loads []int // indexes of the loads whose current goes through it
}

// OperatingPoints is the state of a network: what each load gets and draws.
type OperatingPoints struct {
	Volts    []quantity.Volts
	Currents []quantity.Amps
}

// Convergence of the network solver: volts settle to far below what any meter
// reads; a network with an operating point takes a few dozen rounds, close to the
// maximum-power point a few thousand.
const (
	networkTolerance = 1e-10
	networkRounds    = 20000
)

// SolveNetwork gives the operating point of loads that share a source and
// resistances, each load by its own behaviour.
//
//	V(k) = Vs − Σ R(e)·ΣI(j)   over the elements e of load k and the loads j of e
//	I(k) by the load's behaviour at V(k)
//
// It starts at the source's volts and comes down, so that of the two points that
// a constant-power load has it finds the stable one. Loads that the source cannot
// serve give ErrNoOperatingPoint.
func SolveNetwork(source quantity.Volts, elements []Element, loads []Demand) (OperatingPoints, error) {
	p := OperatingPoints{Volts: make([]quantity.Volts, len(loads)), Currents: make([]quantity.Amps, len(loads))}
	for k := range p.Volts {
		p.Volts[k] = source
	}
	next := make([]quantity.Volts, len(loads))
	for range networkRounds {
		p.draw(loads)
		p.drop(source, elements, next)
		moved := 0.0
		for k := range next {
			if !(next[k] > 0) {
				return OperatingPoints{}, ErrNoOperatingPoint
			}
			moved = max(moved, math.Abs(float64(next[k]-p.Volts[k])))
		}
		copy(p.Volts, next)
		if moved < networkTolerance {
			p.draw(loads)
			return p, nil
		}
	}
	return OperatingPoints{}, ErrNoOperatingPoint
}

// draw sets the currents at the present volts.
func (p *OperatingPoints) draw(loads []Demand) {
	for k := range loads {
		p.Currents[k] = loads[k].At(p.Volts[k])
	}
}

// drop gives the volts that the present currents leave.
func (p *OperatingPoints) drop(source quantity.Volts, elements []Element, next []quantity.Volts) {
	for k := range next {
		next[k] = source
	}
	for _, e := range elements {
		sum := quantity.Amps(0)
		for _, k := range e.Loads {
			sum += p.Currents[k]
		}
		lost := sum.Through(e.R)
		for _, k := range e.Loads {
			next[k] -= lost
		}
	}
}
