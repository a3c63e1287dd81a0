// Package quantity holds the physical quantities and conductor sizes of the
// project and how people spell them: "60A", "18 ft", "20'6\"", "16mm²", "1/0".
// It is a leaf: services and clients both import it, and it imports nothing of
// ours, does no I/O and holds no state that changes.
//
//	current, err := quantity.ParseAmps("60A")      // 60 A
//	length, err := quantity.ParseMetres("17 ft")   // 5.1816 m
//	size, err := quantity.ParseSize("1/0")         // 1/0 AWG
//	fmt.Println(current, length, size)             // 60 A 5.18 m 1/0 AWG
//
// # Types
//
// Each quantity is a float64 in its base unit, in the manner of time.Duration;
// times are time.Duration itself. String prints the unit and three significant
// digits, as far as three decimals give them; parsing gives the value back to the printed precision.
// NaN and infinities are printed as such and never parsed.
//
// # Numbers
//
// Both the decimal point and the decimal comma are read, and thousands may be
// grouped by comma, point or space. Where the two collide, the rules are:
//
//   - one comma before exactly three digits groups thousands: 1,000 is a
//     thousand. Any other single comma is decimal: 1,5 is one and a half, and
//     so is 0,500 a half, because no group begins with 0;
//   - a single point is always decimal: 1.000 is one;
//   - of a comma and a point together the last one is decimal: 1,000.5 and
//     1.000,5 are the same;
//   - 1234,567 is refused, since it may be either, and so is uneven grouping.
//
// Lengths may be fractions (3 1/2 in) and pairs (20'6", 3 ft 6 in, 20'-6");
// times may be chains (1 h 30 min). Only the last part may be broken, and it
// must be less than one of the part before. Exponents are not read.
//
// # Units
//
// All spellings stand in one table. Upper and lower case are the same, except
// that a milli unit is never written with a capital M: MW would be megawatt
// and is refused. A bare number is refused by all parsers but [ParseBare],
// since the reader of "17" cannot know whether feet or metres were meant.
//
// # Range
//
// Negative quantities other than temperatures are refused, zero is allowed,
// and so is everything up to 1e9 base units. Narrower bounds belong to the
// caller. Every refusal is an [*Error].
package quantity
