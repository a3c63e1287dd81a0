package catalog

import (
	"math/big"
	"slices"
	"strings"
)

// DecimalSign is how a shop's tables write decimals.
type DecimalSign string

// The decimal signs.
const (
	DecimalPoint DecimalSign = "point"
	DecimalComma DecimalSign = "comma"
)

// proseColumns hold text in which a comma is no decimal sign.
var proseColumns = []string{"sku", "code", "description", "supplier", "colour", "dies", "source"}

// inchInMillimetres is exact (international yard and pound agreement, 1959).
var inchInMillimetres = big.NewRat(254, 10)

// measures brings what was written in the shop's own way into the one way that is
// read and that the revision is made of: decimals with a point, small lengths in mm.
func (t *table) measures(r *row) bool {
	if t.comma && !t.points(r) {
		return false
	}
	if t.inMM {
		return true
	}
	for i, inches := range t.inches {
		if inches && i < len(r.cells) && plainDecimal(r.cells[i]) {
			r.cells[i] = millimetres(r.cells[i])
		}
	}
	return true
}

// points turns decimal commas into points. A point where a comma is the sign could
// mean thousands and is a fault.
func (t *table) points(r *row) bool {
	for _, c := range t.columns {
		i, ok := t.place.fields[c.name]
		if !ok || i >= len(r.cells) || slices.Contains(proseColumns, c.name) {
			continue
		}
		cell := r.cells[i]
		if _, sheet := t.source.(*sheetSource); strings.Contains(cell, ".") && plainDecimal(cell) && !sheet {
			r.wrong(c.name, quote(cell)+" has a decimal point", "a decimal comma, as decimal_sign in "+shopFile+" says")
			return false
		}
		switch {
		case c.name == "breaks":
			r.cells[i] = strings.ReplaceAll(cell, ",", ".")
		case strings.Count(cell, ",") == 1:
			r.cells[i] = strings.Replace(cell, ",", ".", 1)
		}
	}
	return true
}

// millimetres gives a plain decimal of inches in millimetres, exactly.
func millimetres(inches string) string {
	v, ok := new(big.Rat).SetString(inches)
	if !ok {
		return inches
	}
	v.Mul(v, inchInMillimetres)
	places, _ := v.FloatPrec() // finite: a decimal times a decimal
	return v.FloatString(places)
}
