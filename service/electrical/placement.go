package electrical

import "example.com/lugbook/api/quantity"

// inch in metres, by definition.
const inch quantity.Metres = 0.0254

// Distances of 33 CFR 183.455(b) and 183.460, along the conductor.
const (
	boatAtSource   = 7 * inch  // (b)(1): where at the source is not practical
	boatSheathed   = 40 * inch // (b)(2): in a sheath or enclosure all the way
	boatAtBattery  = 72 * inch // 183.460, from memory: directly from a battery terminal
	sourceRoad     = "common practice, no source"
	sourceBoat     = "33 CFR 183.455(b)(1)"
	sourceBoatNear = "33 CFR 183.455(b)(1), applied as practice on outboard-only boats"
)

// Placement is how far from the battery the first overcurrent device may sit,
// along the cable.
type Placement struct {
	Limit  quantity.Metres
	Reason Reason
}

// PlacementOf gives the longest distance planned for a new installation: 7 in on
// boats (33 CFR 183.455(b)(1)), 180 mm for lithium and for batteries in the
// cabin, 450 mm elsewhere on the road (common practice).
func (d Defaults) PlacementOf(c Category, battery Chemistry, where Environment, outboardOnly bool) Placement {
	switch {
	case c == Boat && outboardOnly:
		return placement(boatAtSource, "placement.boat", sourceBoatNear)
	case c == Boat:
		return placement(boatAtSource, "placement.boat", sourceBoat)
	case battery == Lithium || where == Cabin:
		return placement(d.PlaceClose, "placement.close", sourceRoad)
	default:
		return placement(d.PlaceRoad, "placement.road", sourceRoad)
	}
}

// PlacementAtConverter gives the longest distance from the output of a converter to
// the first overcurrent device: 7 in on boats (33 CFR 183.455(b)(1)), 450 mm on the
// road (common practice).
func (d Defaults) PlacementAtConverter(c Category, outboardOnly bool) Placement {
	if c == Boat {
		return d.PlacementOf(c, AGM, Cabin, outboardOnly)
	}
	return placement(d.PlaceRoad, "placement.converter", sourceRoad)
}

func placement(l quantity.Metres, rule, source string) Placement {
	return Placement{l, Because(rule, source, Num("distance_m", l, UnitM))}
}

// BoatRun is what 33 CFR asks to know of the conductor before its overcurrent
// device.
type BoatRun struct {
	AtBattery bool // comes directly from a battery terminal
	Sheathed  bool // in a sheath or enclosure for the whole distance
}

// BoatPlacementLimit gives the distance that 33 CFR 183.455(b) and 183.460 allow
// for an installation that stands: 72 in from a battery terminal, 40 in sheathed,
// else 7 in. New work is planned at 7 in.
func BoatPlacementLimit(r BoatRun) quantity.Metres {
	switch {
	case r.AtBattery:
		return boatAtBattery
	case r.Sheathed:
		return boatSheathed
	default:
		return boatAtSource
	}
}
