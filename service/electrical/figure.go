package electrical

import "example.com/lugbook/api/quantity"

// Unit is the unit in which a Figure's value stands.
type Unit string

// The units of figures. A figure without a number has UnitNone and a Text.
const (
	UnitNone    Unit = ""
	UnitA       Unit = "A"
	UnitV       Unit = "V"
	UnitW       Unit = "W"
	UnitM       Unit = "m"
	UnitMM      Unit = "mm"
	UnitMM2     Unit = "mm2"
	UnitC       Unit = "C"
	UnitS       Unit = "s"
	UnitMohm    Unit = "mohm"
	UnitOhm     Unit = "ohm"
	UnitN       Unit = "N"
	UnitAh      Unit = "Ah"
	UnitPercent Unit = "percent"
	UnitAWG     Unit = "awg" // gauge as a number, 1/0 = 0, 4/0 = -3
	UnitMinutes Unit = "min"
	UnitH       Unit = "h"
	UnitCount   Unit = "count"
	UnitFactor  Unit = "factor"
	UnitText    Unit = "text" // Text is said as it stands: a name
	UnitSize    Unit = "size" // Size is a conductor size
	UnitWord    Unit = "word" // Text is a code that the wording translates
)

// Figure is one number or name that a reason rests on, under a stable key.
type Figure struct {
	Key   string
	Value float64
	Unit  Unit
	Text  string        // with UnitText and UnitWord
	Size  quantity.Size // with UnitSize
}

// Num gives a figure with a number.
func Num[T ~float64 | ~int](key string, value T, unit Unit) Figure {
	return Figure{Key: key, Value: float64(value), Unit: unit}
}

// Name gives a figure with a text that is said as it stands.
func Name(key, text string) Figure { return Figure{Key: key, Unit: UnitText, Text: text} }

// Word gives a figure with a code that the wording translates.
func Word[T ~string](key string, code T) Figure {
	return Figure{Key: key, Unit: UnitWord, Text: string(code)}
}

// Reason says why a number is what it is: the rule that decided, the figures
// that met in it, and where the rule comes from. Prose is made by the wording
// from the rule's code; the domain returns none.
type Reason struct {
	Rule    string // code, e.g. "conductor.drop"
	Source  string // standard, clause and year, or "common practice, no source"
	Figures []Figure
}

// Because builds a reason.
func Because(rule, source string, figures ...Figure) Reason {
	return Reason{Rule: rule, Source: source, Figures: figures}
}

// SizeFigure gives a figure with a conductor size, shown as it is sold: "8 AWG",
// "16 mm²".
func SizeFigure(key string, s quantity.Size) Figure {
	return Figure{Key: key, Unit: UnitSize, Size: s}
}
