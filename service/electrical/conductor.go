package electrical

import (
	"errors"
	"fmt"
	"math"

	"example.com/lugbook/api/quantity"
)

// Conductor is what the rules need to know of a cable.
type Conductor struct {
	Size       quantity.Size
	Material   Material
	Insulation Insulation
	Rating     quantity.Celsius // insulation temperature rating, 60 … 200
	// MaxOhmPerKm is the conductor's own stated maximum resistance at 20 °C;
	// 0 = not stated. It wins over the computed figure.
	MaxOhmPerKm float64
	// SAE tells that the cable is marked only with an SAE gauge, which has less
	// copper than AWG.
	SAE bool
}

// Constants of the resistance rule.
const (
	// copperResistivity is 100 % IACS at 20 °C, in Ω·mm²/m (IEC 60028).
	copperResistivity = 1.7241e-2
	// copperAlpha is the temperature coefficient of copper at 20 °C, 1/K
	// (handbook value for 100 % IACS).
	copperAlpha = 0.00393
	// cladResistivity is copper-clad aluminium class 10A: 62.9 % IACS at the
	// least (ASTM B566), in Ω·mm²/m.
	cladResistivity = 2.7410e-2
	// cladAlpha lies between copper and aluminium; from memory.
	cladAlpha = 0.004
	// layFactor is the extra length of stranded wire (common practice, no
	// source; with it NEC chapter 9 table 8 is met within 2 %).
	layFactor = 1.02
	// saeShortfall is the copper that a cable marked only "SAE gauge" may lack
	// against AWG: 5 to 12 % by trade tables, a tenth kept.
	saeShortfall = 0.10
)

// ErrConductor is the kind of every fault of a Conductor value.
var ErrConductor = errors.New("conductor")

// Check tells what of the conductor the rules cannot work with.
func (c Conductor) Check() error {
	switch {
	case c.Size.IsZero():
		return fmt.Errorf("%w: no size", ErrConductor)
	case c.Material != Copper && c.Material != TinnedCopper && c.Material != CopperClad:
		return fmt.Errorf("%w: unknown material %q", ErrConductor, c.Material)
	case !(c.Rating >= 60 && c.Rating <= 200):
		return fmt.Errorf("%w: insulation rating %v °C is outside 60 … 200 °C", ErrConductor, float64(c.Rating))
	case !(c.MaxOhmPerKm >= 0) || math.IsInf(c.MaxOhmPerKm, 0):
		return fmt.Errorf("%w: resistance %v Ω/km", ErrConductor, c.MaxOhmPerKm)
	}
	return nil
}

// CopperArea gives the cross-section that the rules count: the nominal one,
// less a tenth for cable marked only with an SAE gauge.
func (c Conductor) CopperArea() quantity.SquareMillimetres {
	a := c.Size.Area()
	if c.SAE {
		a *= 1 - saeShortfall
	}
	return a
}

// ResistancePerMetre gives the conductor's resistance per metre at temperature T.
//
//	R(T) = R20 · (1 + α·(T − 20))
//
// R20 is the cable's own stated maximum where it has one; for a metric size of
// IEC 60228 the class 5 maximum, for the others of ISO 6722-1 that standard's;
// else ρ/A · 1.02. ρ is copper 1.7241e-8 Ω·m,
// α 0.00393/K; copper-clad aluminium by ASTM B566 10A.
func (c Conductor) ResistancePerMetre(t quantity.Celsius) quantity.Ohms {
	alpha := copperAlpha
	if c.Material == CopperClad {
		alpha = cladAlpha
	}
	return quantity.Ohms(c.r20() * (1 + alpha*(float64(t)-20)))
}

func (c Conductor) r20() float64 {
	if c.MaxOhmPerKm > 0 {
		return c.MaxOhmPerKm / 1e3
	}
	clad := c.Material == CopperClad
	if r, ok := standardMetric(c.Size, c.Material == TinnedCopper); ok {
		if clad {
			r *= cladResistivity / copperResistivity
		}
		return r
	}
	rho := copperResistivity
	if clad {
		rho = cladResistivity
	}
	return rho / float64(c.CopperArea()) * layFactor
}

// Resistance gives the resistance of a length of the conductor at temperature T.
func (c Conductor) Resistance(l quantity.Metres, t quantity.Celsius) quantity.Ohms {
	return quantity.Ohms(float64(c.ResistancePerMetre(t)) * float64(l))
}
