package electrical

import (
	"sort"

	"example.com/lugbook/api/quantity"
)

// FamilyFigures is what the rules know of a family of overcurrent devices.
type FamilyFigures struct {
	Family   Family
	Standard string
	Voltage  quantity.Volts // highest DC voltage
	// Interrupting at up to 15 V, 30 V and 60 V; 0 = unproven.
	Interrupting, Interrupting30, Interrupting60 quantity.Amps
	// ColdMillivolts is the drop of the cold fuse at its rated current.
	ColdMillivolts float64
	// Contacts is the resistance of both contacts of the holder without the fuse.
	Contacts          quantity.Ohms
	IgnitionProtected bool
	Source            string
}

var families = func() map[Family]FamilyFigures {
	const name = "fuse_families.csv"
	m := map[Family]FamilyFigures{}
	for _, r := range mustTable(name, "family", "standard", "voltage_v", "interrupting_a", "interrupting_30v_a", "interrupting_60v_a", "cold_mv", "contact_mohm", "ignition_protected", "source") {
		m[Family(r[0])] = FamilyFigures{
			Family: Family(r[0]), Standard: r[1], Voltage: quantity.Volts(mustFloat(name, r[2])),
			Interrupting:   quantity.Amps(mustFloat(name, r[3])),
			Interrupting30: quantity.Amps(mustFloat(name, r[4])),
			Interrupting60: quantity.Amps(mustFloat(name, r[5])),
			ColdMillivolts: mustFloat(name, r[6]),
			Contacts:       quantity.Ohms(mustFloat(name, r[7])) * quantity.Milliohm,

			IgnitionProtected: r[8] == "yes", Source: r[9],
		}
	}
	return m
}()

// FamilyOf gives a family's figures; false for a word that names none.
func FamilyOf(f Family) (FamilyFigures, bool) {
	figures, ok := families[f]
	return figures, ok
}

// InterruptingAt gives the highest fault current that the family clears in a
// system whose highest voltage is v; 0 where that is unproven.
func (f FamilyFigures) InterruptingAt(v quantity.Volts) quantity.Amps {
	switch {
	case v > f.Voltage:
		return 0
	case v <= 15:
		return f.Interrupting
	case v <= 30:
		return f.Interrupting30
	default:
		return f.Interrupting60
	}
}

// hotFuse is how much a fuse at its rating is above its cold resistance (from memory).
const hotFuse = 0.4

// FuseResistance gives the resistance of a fuse that carries a current.
//
//	R = (cold drop at rating / rating) · (1 + 0.4·(I/rating)²)
func FuseResistance(f FamilyFigures, rating, i quantity.Amps) quantity.Ohms {
	share := float64(i / rating)
	return quantity.Ohms(f.ColdMillivolts/float64(rating)*(1+hotFuse*share*share)) * quantity.Milliohm
}

// ColdFuseResistance gives the resistance of a fuse before it warms.
func ColdFuseResistance(f FamilyFigures, rating quantity.Amps) quantity.Ohms {
	return quantity.Ohms(f.ColdMillivolts/float64(rating)) * quantity.Milliohm
}

type deratingPoint struct {
	ambient quantity.Celsius
	share   float64
}

const deratingOther = "other"

var derating = func() map[string][]deratingPoint {
	const name = "fuse_derating.csv"
	m := map[string][]deratingPoint{}
	for _, r := range mustTable(name, "family", "ambient_c", "share") {
		m[r[0]] = append(m[r[0]], deratingPoint{quantity.Celsius(mustFloat(name, r[1])), mustFloat(name, r[2])})
	}
	return m
}()

// deratingOf gives the points of the table that a family follows, coolest first.
func deratingOf(f Family) []deratingPoint {
	switch f {
	case Maxi:
		return derating[string(Maxi)]
	case Blade, Mini, Micro:
		return derating[string(Blade)]
	default:
		return derating[deratingOther]
	}
}

// hottestHolder gives the ambient at which a family's table ends.
func hottestHolder(f Family) quantity.Celsius {
	points := deratingOf(f)
	return points[len(points)-1].ambient
}

// ShareAtAmbient gives the share of its rating that a fuse carries for ever at a
// holder's ambient temperature: the makers' table, straight lines between its
// points; below the first point its share, above the last none: no fuse belongs there.
func ShareAtAmbient(f Family, ambient quantity.Celsius) float64 {
	points := deratingOf(f)
	i := sort.Search(len(points), func(i int) bool { return points[i].ambient >= ambient })
	switch {
	case i == 0:
		return points[0].share
	case i == len(points):
		return 0
	}
	a, b := points[i-1], points[i]
	return a.share + (b.share-a.share)*float64((ambient-a.ambient)/(b.ambient-a.ambient))
}

// CarryLimit gives the largest lasting load of a fuse.
//
//	limit = rating · min(load share, table share at the holder's ambient)
//
// The load share is 0.8: 125 % fuse sizing. The two are not multiplied, since
// the blade table already holds the 20 % margin.
func CarryLimit(f Family, rating quantity.Amps, ambient quantity.Celsius, loadShare float64) quantity.Amps {
	return quantity.Amps(float64(rating) * min(loadShare, ShareAtAmbient(f, ambient)))
}

// roomAmbient is where a fuse's rating is stated and a cabin's holder sits.
const roomAmbient quantity.Celsius = 30

// AmbientFactor gives what a holder's ambient leaves of a fuse's rating, against a
// cabin's: share at the ambient / share at 30 °C, never above 1; 0 above the table,
// where no fuse belongs.
func AmbientFactor(f Family, ambient quantity.Celsius) float64 {
	return min(1, ShareAtAmbient(f, ambient)/ShareAtAmbient(f, roomAmbient))
}

// BearLimit gives the largest load that a fuse bears now and then without the
// margin for lasting loads: its rating, less what the holder's ambient takes off
// against a cabin's.
func BearLimit(f Family, rating quantity.Amps, ambient quantity.Celsius) quantity.Amps {
	return quantity.Amps(float64(rating) * AmbientFactor(f, ambient))
}
