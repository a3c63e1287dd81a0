package electrical

import (
	"errors"
	"fmt"

	"example.com/lugbook/api/quantity"
)

// Gate is one line of a maker's opening times: how long the fuse takes to open at
// a percentage of its rating.
type Gate struct {
	Percent  quantity.Percent // of the rating
	Min, Max float64          // s; 0 = not stated
}

// What a maker's gates may be. Every fuse carries its rating; outside the other
// bounds a figure is most likely a slip of the unit. The longest time published
// is 100 h, at 110 % (ISO 8820-3).
const (
	gatePercentMax                 = 10000.0   // %
	gateSecondsMin, gateSecondsMax = 1e-4, 1e6 // s
)

// Columns of a table of gates, by which a fault says where it is.
const (
	gateNoOpen  = "no_open_percent"
	gatePercent = "percent"
	gateMin     = "opening_min_s"
	gateMax     = "opening_max_s"
)

// GateFault is one fault of a maker's gates.
type GateFault struct {
	Gate    int     // index of the gate; -1 = the no-open gate, or all of them
	Column  string  // no_open_percent, percent, opening_min_s or opening_max_s
	Value   float64 // what stands there
	Allowed string  // what may stand there
}

// Error says what is wrong and what is allowed.
func (f GateFault) Error() string {
	where := ""
	if f.Gate >= 0 {
		where = fmt.Sprintf("gate %d: ", f.Gate+1)
	}
	return fmt.Sprintf("%s%s is %v; allowed: %s", where, f.Column, f.Value, f.Allowed)
}

// NewCurve gives the opening band of a part by its maker's own gates, which win
// over the family's.
//
// At or below noOpen percent of the rating the fuse stays closed. A minimum that
// the last gate leaves out is 0 s beyond the last stated; the times run between
// gates and beyond them as Opening says. It fails with every fault that CheckGates
// finds, joined.
func NewCurve(noOpen quantity.Percent, gates []Gate) (Curve, error) {
	if faults := CheckGates(noOpen, gates); len(faults) > 0 {
		all := make([]error, len(faults))
		for i, f := range faults {
			all[i] = f
		}
		return Curve{}, errors.Join(all...)
	}
	c := Curve{noOpen: float64(noOpen), minEnds: gates[len(gates)-1].Min == 0}
	for _, g := range gates {
		if g.Min > 0 {
			c.mins = append(c.mins, gate{float64(g.Percent), g.Min})
		}
		if g.Max > 0 {
			c.maxs = append(c.maxs, gate{float64(g.Percent), g.Max})
		}
	}
	return c, nil
}

// CheckGates gives every fault of a maker's gates; none where NewCurve takes them.
//
// Percentages rise from the no-open gate, which is 100 at the least; seconds never
// rise, and no minimum is above its maximum. Minimums stand without a gap; so do
// maximums, and once one is stated every later gate states one. At least one gate
// states a maximum: without it no current is shown to open the fuse.
func CheckGates(noOpen quantity.Percent, gates []Gate) []GateFault {
	c := &gateCheck{noOpen: float64(noOpen)}
	if c.refuse(!(c.noOpen >= ratedPercent && c.noOpen <= gatePercentMax), -1, gateNoOpen, c.noOpen,
		fmt.Sprintf("%v to %v %%", ratedPercent, gatePercentMax)) {
		c.noOpen = ratedPercent // so that the gates are not blamed for it
	}
	for i, g := range gates {
		c.checkPercent(i, g)
		c.checkMin(i, g)
		c.checkMax(i, g)
	}
	c.refuse(c.max == 0, -1, gateMax, 0, "a maximum at one gate at the least")
	return c.faults
}

// gateCheck goes through gates in order and remembers the last good figures.
type gateCheck struct {
	noOpen, percent float64 // %; percent 0 = none yet
	min, max        float64 // s; 0 = none yet
	minsOver        bool    // a gate after the first minimum states none
	faults          []GateFault
}

// refuse notes a fault where there is one, and tells so.
func (c *gateCheck) refuse(bad bool, i int, column string, value float64, allowed string) bool {
	if bad {
		c.faults = append(c.faults, GateFault{i, column, value, allowed})
	}
	return bad
}

func (c *gateCheck) checkPercent(i int, g Gate) {
	percent := float64(g.Percent)
	switch {
	case c.refuse(!(percent >= c.noOpen && percent <= gatePercentMax), i, gatePercent, percent,
		fmt.Sprintf("%v (the no-open gate) to %v %%", c.noOpen, gatePercentMax)):
	case c.refuse(percent <= c.percent, i, gatePercent, percent, fmt.Sprintf("above the %v %% of a gate before", c.percent)):
	default:
		c.percent = percent
	}
}

func (c *gateCheck) checkMin(i int, g Gate) {
	if g.Min == 0 {
		c.minsOver = c.min > 0
		return
	}
	switch {
	case c.refuse(outsideGateSeconds(g.Min), i, gateMin, g.Min, gateSecondsAllowed):
	case c.refuse(c.minsOver, i, gateMin, g.Min, "none: the gate before leaves it out"):
	case c.refuse(c.min > 0 && g.Min > c.min, i, gateMin, g.Min, fmt.Sprintf("at most the %v s of a gate before", c.min)):
	default:
		c.min = g.Min
	}
}

func (c *gateCheck) checkMax(i int, g Gate) {
	if g.Max == 0 {
		c.refuse(c.max > 0, i, gateMax, g.Max, fmt.Sprintf("a time, at most the %v s of a gate before", c.max))
		return
	}
	switch {
	case c.refuse(outsideGateSeconds(g.Max), i, gateMax, g.Max, gateSecondsAllowed):
	case c.refuse(float64(g.Percent) == c.noOpen, i, gateMax, g.Max, "none: at the no-open gate the fuse stays closed"):
	case c.refuse(c.max > 0 && g.Max > c.max, i, gateMax, g.Max, fmt.Sprintf("at most the %v s of a gate before", c.max)):
	case c.refuse(g.Max < g.Min, i, gateMax, g.Max, fmt.Sprintf("the gate's minimum of %v s or more", g.Min)):
	default:
		c.max = g.Max
	}
}

func outsideGateSeconds(s float64) bool { return !(s >= gateSecondsMin && s <= gateSecondsMax) }

var gateSecondsAllowed = fmt.Sprintf("%v to %.0f s, or nothing where the maker states none", gateSecondsMin, gateSecondsMax)
