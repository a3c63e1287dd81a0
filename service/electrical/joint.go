package electrical

import (
	"sort"

	"example.com/lugbook/api/quantity"
)

// Contact resistances of sound joints (common practice, no source; the barrel
// figures are the MIL-T-7928 highest drop at its test current, an upper bound).
const (
	LugOnStud     = 0.05 * quantity.Milliohm // lug on stud or bus bar, clean, torqued
	BatteryClamp  = 0.10 * quantity.Milliohm // clamp or stud on a battery post
	GroundLug     = 0.20 * quantity.Milliohm // lug on bare steel, bolt and star washer
	SetScrew      = 0.20 * quantity.Milliohm // set-screw terminal with ferrule
	PushOnBlade   = 0.50 * quantity.Milliohm // 6.3 mm push-on blade
	SolderedJoint = 0.05 * quantity.Milliohm // soldered in-line splice
	CrimpedSplice = 0.25 * quantity.Milliohm // in-line barrel splice, two crimps
	relayContact  = 2.0 * quantity.Milliohm  // 30 to 40 A relay
	contactor     = 0.3 * quantity.Milliohm  // contactor of 100 A and more
)

type barrelRow struct {
	size quantity.Size
	mohm float64
}

// barrels: one crimped or soldered barrel by size, thinnest first.
var barrels = []barrelRow{
	{quantity.AWG(22), 0.78}, {quantity.AWG(20), 0.55}, {quantity.AWG(18), 0.31}, {quantity.AWG(16), 0.32},
	{quantity.AWG(14), 0.19}, {quantity.AWG(12), 0.12}, {quantity.AWG(10), 0.09}, {quantity.AWG(8), 0.07}, {quantity.AWG(6), 0.05},
}

// BarrelResistance gives the highest resistance of one sound crimped or soldered
// barrel on a conductor: MIL-T-7928's highest drop over its test current, the
// next thinner listed size between two.
func BarrelResistance(s quantity.Size) quantity.Ohms {
	area := s.Area() * (1 + sameArea)
	i := sort.Search(len(barrels), func(i int) bool { return barrels[i].size.Area() > area }) - 1
	return quantity.Ohms(barrels[max(i, 0)].mohm) * quantity.Milliohm
}

// contactorFrom is the contact rating from which a switch counts as a contactor.
const contactorFrom quantity.Amps = 100

// RelayContact gives the resistance of a relay's closed contact by its rating
// (common practice, no source).
func RelayContact(rating quantity.Amps) quantity.Ohms {
	if rating >= contactorFrom {
		return contactor
	}
	return relayContact
}

// RelayAbove is the load from which a switched device gets a relay: panel switches
// are rated for about this much (common practice, no source).
const RelayAbove quantity.Amps = 10
