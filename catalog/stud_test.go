package catalog_test

import (
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
)

// TestStudAdmits: a hole goes over the stud and is not so wide that it sits off
// centre. Holes are usual ones of rings sold for the stud named (common practice, no
// source).
func TestStudAdmits(t *testing.T) {
	for _, tt := range []struct {
		stud   catalog.Stud
		hole   quantity.Millimetres
		sold   string
		admits bool
	}{
		{"#8", 4.3, "M4", true}, {"#8", 5.3, "M5", false}, {"M4", 5.3, "M5", false},
		{"M5", 5.6, "#10", true}, {"M5", 6.4, "M6", false}, {"M5", 4.3, "M4", false},
		{"M6", 6.4, "M6", true}, {"M6", 6.7, "1/4", true}, {"M6", 8.4, "M8", false}, {"1/4", 8.4, "M8", false},
		{"5/16", 8.4, "M8", true}, {"M8", 8.4, "M8", true}, {"M8", 10.5, "M10", false}, {"M8", 6.4, "M6", false},
		{"3/8", 10.5, "M10", true}, {"M10", 10.5, "M10", true}, {"M10", 13, "M12", false},
		{"M7", 7.4, "no such stud", false},
	} {
		assert.Equal(t, tt.admits, tt.stud.Admits(tt.hole), "%s on a hole of %v mm, sold for %s", tt.stud, float64(tt.hole), tt.sold)
	}
}
