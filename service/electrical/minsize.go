package electrical

import "example.com/lugbook/api/quantity"

// MinimumSize gives the thinnest conductor for a power run, for strength: 16 AWG
// on boats (33 CFR 183.425(e)) and outside cabins, 18 AWG in a cabin (common
// practice, no source).
func MinimumSize(c Category, worst Environment) (quantity.Size, Reason) {
	switch {
	case c == Boat:
		return quantity.AWG(16), Because("conductor.minimum", "33 CFR 183.425(e)", SizeFigure("minimum", quantity.AWG(16)))
	case c == Motorcycle || c == Trailer || worst != Cabin:
		return quantity.AWG(16), Because("conductor.minimum", "common practice, no source", SizeFigure("minimum", quantity.AWG(16)))
	default:
		return quantity.AWG(18), Because("conductor.minimum", "common practice, no source", SizeFigure("minimum", quantity.AWG(18)))
	}
}

// NeedsSealing tells that an environment needs sealed holders and sleeves.
func NeedsSealing(e Environment) bool { return e != Cabin }
