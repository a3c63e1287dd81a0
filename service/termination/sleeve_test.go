package termination_test

import (
	"math"
	"testing"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/termination"

	"github.com/stretchr/testify/assert"
	"pgregory.net/rapid"
)

func TestGripIsTwelveMillimetresOrOneAndAHalfDiameters(t *testing.T) {
	for outer, want := range map[quantity.Millimetres]quantity.Millimetres{0.5: 12, 6.5: 12, 8: 12, 8.1: 12.15, 10: 15, 18.5: 27.75} {
		assert.InDelta(t, float64(want), float64(termination.Grip(outer)), 1e-9, millimetres(outer))
	}
}

// TestSleeveCut holds the cut to figures worked out by hand:
// (part + sides · grip)/(1 − loss), up to the next 5 mm.
func TestSleeveCut(t *testing.T) {
	tests := []struct {
		name  string
		part  quantity.Millimetres
		sides int
		outer quantity.Millimetres
		loss  quantity.Percent
		want  quantity.Millimetres
	}{
		{"8 AWG lug: (12 + 12)/0.85 = 28.2", 12, 1, 6.5, 15, 30},
		{"1/0 lug: (24 + 20.85)/0.85 = 52.8", 24, 1, 13.9, 15, 55},
		{"4/0 lug: (33 + 27.75)/0.85 = 71.5", 33, 1, 18.5, 15, 75},
		{"butt, both sides: (8 + 24)/0.85 = 37.6", 8, 2, 4.7, 15, 40},
		{"soldered splice: (20 + 24)/0.85 = 51.8", 20, 2, 3.3, 15, 55},
		{"no loss, an exact multiple stays", 18, 1, 4, 0, 30},
		{"exact multiple after the loss: 34/0.85 = 40", 22, 1, 4, 15, 40},
		{"just above a multiple", 18.01, 1, 4, 0, 35},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			assert.InDelta(t, float64(tt.want), float64(termination.SleeveCut(tt.part, tt.sides, tt.outer, tt.loss)), 1e-9)
		})
	}
}

func TestSleeveCutCoversOnceShrunkAndWastesLessThanAStep(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		part := quantity.Millimetres(rapid.Float64Range(1, 60).Draw(t, "part"))
		sides := rapid.IntRange(1, 2).Draw(t, "sides")
		outer := quantity.Millimetres(rapid.Float64Range(1, 25).Draw(t, "outer"))
		loss := quantity.Percent(rapid.Float64Range(0, 30).Draw(t, "loss"))
		cut := float64(termination.SleeveCut(part, sides, outer, loss))
		covers := cut * (1 - float64(loss)/100)
		need := float64(part) + float64(sides)*math.Max(12, 1.5*float64(outer))
		if covers < need-1e-6 {
			t.Fatalf("%v mm covers %v mm of %v mm", cut, covers, need)
		}
		if (cut-5)*(1-float64(loss)/100) > need {
			t.Fatalf("%v mm, although 5 mm less would cover %v mm", cut, need)
		}
	})
}

func TestSleeveFits(t *testing.T) {
	tests := []struct {
		name                string
		supplied, recovered quantity.Millimetres
		largest, smallest   quantity.Millimetres
		want                bool
	}{
		{"passes and grips", 12, 4, 9.5, 5.8, true},
		{"passes exactly: 1.1 × 10", 11.000001, 3, 10, 5, true},
		{"hardly passes", 10.9, 3, 10, 5, false},
		{"grips exactly: 0.9 × 5", 12, 4.4999, 10, 5, true},
		{"hardly grips", 12, 4.6, 10, 5, false},
		{"neither", 9, 6, 10, 5, false},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			s := &catalog.Sleeve{Supplied: tt.supplied, Recovered: tt.recovered}
			assert.Equal(t, tt.want, termination.SleeveFits(s, tt.largest, tt.smallest))
		})
	}
}
