package catalog

import "example.com/lugbook/api/quantity"

// Stud names a threaded stud or bolt, as terminals are sold for it: "M8",
// "5/16", "#10".
type Stud string

// studDiameters holds the thread's outer diameter by name. Metric by
// definition; #6 and #8 as seen on a trade page, the other US sizes by
// ASME B1.1, from memory.
var studDiameters = map[Stud]quantity.Millimetres{
	"#6": 3.51, "#8": 4.17, "#10": 4.83,
	"1/4": 6.35, "5/16": 7.94, "3/8": 9.53, "1/2": 12.7,
	"M4": 4, "M5": 5, "M6": 6, "M8": 8, "M10": 10, "M12": 12,
}

// Studs lists the known studs, thinnest first.
func Studs() []Stud {
	return []Stud{"#6", "M4", "#8", "#10", "M5", "M6", "1/4", "5/16", "M8", "3/8", "M10", "M12", "1/2"}
}

// Diameter gives the stud's outer diameter; false for a name that is not known.
func (s Stud) Diameter() (quantity.Millimetres, bool) {
	d, ok := studDiameters[s]
	return d, ok
}

// The play that a ring's hole may have over its stud. The lower end is below
// the close fit of ISO 273 and ASME B18.2.8 for every listed stud; the upper
// end keeps the washer face wider than the gap, and a ring off the next stud but
// one (common practice, no source).
const (
	holePlayMin   quantity.Millimetres = 0.1
	holePlayMax   quantity.Millimetres = 1.6
	holePlayShare                      = 0.25 // of the stud's diameter, where that is less
)

// looseHole gives the widest hole that still sits properly on a stud.
func looseHole(d quantity.Millimetres) quantity.Millimetres {
	return d + min(holePlayMax, holePlayShare*d)
}

// Admits tells whether a ring with the given hole sits properly on the stud:
// it goes over the thread and is not so wide that it sits off centre.
func (s Stud) Admits(hole quantity.Millimetres) bool {
	d, ok := studDiameters[s]
	if !ok {
		return false
	}
	return hole >= d+holePlayMin && hole <= looseHole(d)
}
