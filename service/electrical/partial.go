package electrical

import (
	"errors"
	"fmt"

	"example.com/lugbook/api/quantity"
)

// PartialHold is a joint that holds only some of a conductor's strands.
//
// Its ampacity is that of the strands held. Its heat is not that of the thin path,
// which is as short as the barrel: half of 8 AWG missing over 15 mm adds 0.03 mΩ,
// about a millivolt at 40 A. The fault is the loose contact, of which only a range
// is known. Whoever explains such a joint says so.
type PartialHold struct {
	Area     quantity.SquareMillimetres // of the strands held
	Counts   quantity.Size              // the listed gauge with no more copper
	Ampacity quantity.Amps              // of that area, in the conductor's surroundings
	ThinPath quantity.Ohms              // what the missing strands add over the barrel
	Contact  OhmsRange                  // of a barrel that does not grip
	Heat     WattsRange                 // in the contact
	Reasons  []Reason
}

// barrelLength is the path over which strands are missing (common practice, no
// source).
const barrelLength quantity.Metres = 0.015

// ErrStrandShare tells that a share of the strands is none of a joint's.
var ErrStrandShare = errors.New("share of the strands held")

// PartialStrands gives what a joint is worth that holds a share of a conductor's
// strands, 0 < f < 1, and what it heats by a current.
//
//	Iz(f·A) by the same table and factors;  ΔR = r·15 mm·(1/f − 1);  P = I²·R
//
// It fails with ErrStrandShare outside that span, with ErrThinner where what is held
// is thinner than the tables, and where Ampacity does.
// Example: 10 AWG of 105 °C, a third of the strands cut: 12 AWG, 45 A.
func PartialStrands(c Conductor, s Surroundings, share float64, i quantity.Amps) (PartialHold, error) {
	if !(share > 0 && share < 1) {
		return PartialHold{}, fmt.Errorf("%w is %v; allowed: above 0, below 1", ErrStrandShare, share)
	}
	h := PartialHold{Area: c.CopperArea() * quantity.SquareMillimetres(share), Contact: poorJoints[LooseBarrel]}
	iz, err := ampacityOf(c, h.Area, s)
	if err != nil {
		return PartialHold{}, err
	}
	h.Ampacity, h.Counts = iz, listedGauge(h.Area)
	h.ThinPath = c.Resistance(barrelLength, 20) * quantity.Ohms(1/share-1)
	h.Heat = h.Contact.Heating(i)
	h.Reasons = []Reason{
		Because("joint.partial", SourceAmpacity, SizeFigure("conductor", c.Size), Num("held_percent", share*100, UnitPercent),
			SizeFigure("counts", h.Counts), Num("ampacity_a", iz, UnitA)),
		Because("joint.loose_contact", "common practice, no source", Num("path_mohm", h.ThinPath.Milliohms(), UnitMohm),
			Num("low_mohm", h.Contact.Low.Milliohms(), UnitMohm), Num("high_mohm", h.Contact.High.Milliohms(), UnitMohm),
			Num("low_w", h.Heat.Low, UnitW), Num("high_w", h.Heat.High, UnitW), Num("current_a", i, UnitA)),
	}
	return h, nil
}

// listedGauge gives the thickest gauge of the tables that has no more copper than an
// area, the thinnest of them where none is so thin.
func listedGauge(area quantity.SquareMillimetres) quantity.Size {
	listed := area * (1 + sameArea)
	for i := len(ampacityRows) - 1; i >= 0; i-- {
		if ampacityRows[i].size.Area() <= listed {
			return ampacityRows[i].size
		}
	}
	for i := len(thinGauges) - 1; i > 0; i-- {
		if thinGauges[i].size.Area() <= listed {
			return thinGauges[i].size
		}
	}
	return thinGauges[0].size
}
