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
// serve, and those that would need less than 0 V, give ErrNoOperatingPoint.
func SolveNetwork(source quantity.Volts, elements []Element, loads []Demand) (OperatingPoints, error) {
	p := OperatingPoints{Volts: make([]quantity.Volts, len(loads)), Currents: make([]quantity.Amps, len(loads))}
	for k := range p.Volts {
		p.Volts[k] = source
	}
	next, step := make([]quantity.Volts, len(loads)), stepOf(elements, loads)
	for range networkRounds {
		p.draw(loads)
		p.drop(source, elements, next)
		apart := 0.0
		for k := range next {
			moved := next[k] - p.Volts[k]
			apart = max(apart, math.Abs(float64(moved)))
			p.Volts[k] += step * moved
		}
		switch {
		case apart < networkTolerance:
			return p.settled(loads)
		case !(apart <= math.MaxFloat64): // a constant-power load came down to 0 V
			return OperatingPoints{}, ErrNoOperatingPoint
		}
	}
	return OperatingPoints{}, ErrNoOperatingPoint
}

// settled gives the point reached, unless a load would need less than 0 V there,
// or has none to take its power at.
func (p *OperatingPoints) settled(loads []Demand) (OperatingPoints, error) {
	p.draw(loads)
	for k, v := range p.Volts {
		if v < -networkTolerance || math.IsInf(float64(p.Currents[k]), 0) {
			return OperatingPoints{}, ErrNoOperatingPoint
		}
	}
	return *p, nil
}

// stepOf gives how far of the way to the next volts a round goes. A resistive load
// draws less as it gets less; behind a resistance larger than its own it would
// swing ever wider. Shortened to 1/(1 + ρ) the rounds close in on the point. ρ is,
// for the load where that is most, the sum of R(e)/R(j) over its elements e and the
// resistive loads j that share them; a design's is about 0.1.
func stepOf(elements []Element, loads []Demand) quantity.Volts {
	shares := make([]float64, len(loads))
	for _, e := range elements {
		siemens := 0.0
		for _, k := range e.Loads {
			if d := &loads[k]; d.Behaviour == Resistive {
				siemens += float64(d.Design) / float64(d.Reference)
			}
		}
		for _, k := range e.Loads {
			shares[k] += float64(e.R) * siemens
		}
	}
	largest := 0.0
	for _, share := range shares {
		largest = max(largest, share)
	}
	return quantity.Volts(1 / (1 + largest))
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
