package electrical

import "example.com/lugbook/api/quantity"

// PoorJoint is a sort of joint as it is found where something runs hot.
type PoorJoint string

// The poor joints.
const (
	PliersCrimp    PoorJoint = "pliers_crimp"    // crimped with ordinary pliers or the wrong die
	LooseBarrel    PoorJoint = "loose_barrel"    // half the strands held, or a barrel that does not grip
	TwistedTaped   PoorJoint = "twisted_taped"   // twisted together under tape
	Tap            PoorJoint = "tap"             // insulation-displacement tap under an amplifier's current
	LooseGround    PoorJoint = "loose_ground"    // loose or rusty ground
	PaintedRing    PoorJoint = "painted_ring"    // ring on paint
	HeatedHolder   PoorJoint = "heated_holder"   // blade holder whose contacts have lost their spring
	CorrodedSplice PoorJoint = "corroded_splice" // butt splice that water got into
)

// PoorJoints lists every sort.
func PoorJoints() []PoorJoint {
	return []PoorJoint{PliersCrimp, LooseBarrel, TwistedTaped, Tap, LooseGround, PaintedRing, HeatedHolder, CorrodedSplice}
}

// OhmsRange is a resistance of which only the range is known.
type OhmsRange struct{ Low, High quantity.Ohms }

// WattsRange is a power of which only the range is known.
type WattsRange struct{ Low, High quantity.Watts }

// Heating gives the heat of a current in the resistance: P = I²·R at both ends.
// Example: 40 A in 1 … 5 mΩ: 1.6 … 8 W.
func (r OhmsRange) Heating(i quantity.Amps) WattsRange {
	return WattsRange{i.Heating(r.Low), i.Heating(r.High)}
}

var poorJoints = func() map[PoorJoint]OhmsRange {
	const name = "poor_joints.csv"
	m := map[PoorJoint]OhmsRange{}
	for _, r := range mustTable(name, "kind", "low_mohm", "high_mohm") {
		m[PoorJoint(r[0])] = OhmsRange{milliohms(mustFloat(name, r[1])), milliohms(mustFloat(name, r[2]))}
	}
	return m
}()

// Resistance gives the contact resistance of a poor joint, a range that is shown as
// one (common practice, no source); false for a word that names none.
func (j PoorJoint) Resistance() (OhmsRange, bool) {
	r, ok := poorJoints[j]
	return r, ok
}
