package electrical_test

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// By hand: 10 AWG has 5.261 mm²; with a third cut 3.51 mm² are left, 12 AWG (3.309)
// with 45 A of 105 °C by 33 CFR 183.425 Table 5. Half of 8 AWG is 4.183 mm²: 12 AWG
// too, and 15 mm of the missing half adds 17.241·1.02/8.3656·15e-3 = 0.0315 mΩ.
func TestPartialStrands(t *testing.T) {
	tests := []struct {
		name      string
		conductor electrical.Conductor
		share     float64
		counts    quantity.Size
		ampacity  float64
		path      float64 // mΩ
	}{
		{"10 AWG, a third cut", cable(quantity.AWG(10), 105), 2.0 / 3, quantity.AWG(12), 45, 0.0315 * 8.3656 / 5.2615 / 2},
		{"half of 8 AWG", cable(quantity.AWG(8), 105), 0.5, quantity.AWG(12), 45, 0.0315},
		{"half of 16 mm²", cable(quantity.Metric(16), 105), 0.5, quantity.AWG(10), 60, 1.21 * 0.015},
		{"half of 4/0", cable(quantity.AWG(-3), 105), 0.5, quantity.AWG(0), 285, 17.241 * 1.02 / 107.22 * 0.015},
		{"an eighth of 12 AWG", cable(quantity.AWG(12), 105), 0.125, quantity.AWG(22), 5, 17.241 * 1.02 / 3.3088 * 0.015 * 7},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got, err := electrical.PartialStrands(tt.conductor, base, tt.share, 40)
			require.NoError(t, err)
			within(t, float64(tt.conductor.Size.Area())*tt.share, float64(got.Area), 1e-12)
			assert.Equal(t, tt.counts, got.Counts)
			within(t, tt.ampacity, float64(got.Ampacity), 1e-12)
			within(t, tt.path, got.ThinPath.Milliohms(), 2e-3)
			within(t, 1.6, float64(got.Heat.Low), 1e-12, "40²·1 mΩ")
			within(t, 8, float64(got.Heat.High), 1e-12, "40²·5 mΩ")
			assert.Less(t, got.ThinPath, got.Contact.Low, "the contact, not the path")
			require.Len(t, got.Reasons, 2)
			assert.Equal(t, "joint.partial", got.Reasons[0].Rule)
			assert.Equal(t, "joint.loose_contact", got.Reasons[1].Rule)
		})
	}
	hot, err := electrical.PartialStrands(cable(quantity.AWG(10), 105), electrical.Surroundings{EngineSpace: true, Bundled: 3}, 2.0/3, 40)
	require.NoError(t, err)
	within(t, 45*0.85*0.7, float64(hot.Ampacity), 1e-12, "the same factors")
}

func TestPartialStrandsRefused(t *testing.T) {
	for _, share := range []float64{0, 1, -0.5, 50} {
		_, err := electrical.PartialStrands(cable(quantity.AWG(10), 105), base, share, 40)
		require.ErrorIs(t, err, electrical.ErrStrandShare, "%v", share)
		require.ErrorContains(t, err, "allowed: above 0, below 1")
	}
	_, err := electrical.PartialStrands(cable(quantity.AWG(18), 105), base, 0.1, 5)
	require.ErrorIs(t, err, electrical.ErrThinner)
	_, err = electrical.PartialStrands(cable(quantity.AWG(10), 105), electrical.Surroundings{Ambient: 105, HasAmbient: true}, 0.5, 5)
	require.ErrorIs(t, err, electrical.ErrAmbient)
	_, err = electrical.PartialStrands(electrical.Conductor{}, base, 0.5, 5)
	require.ErrorIs(t, err, electrical.ErrConductor)
}

// Fewer strands never carry more, nor more than the whole conductor.
func TestFewerStrandsNeverCarryMore(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := anyConductor().Draw(t, "conductor"), anySurroundings().Draw(t, "surroundings")
		few, many := two(t, rapid.Float64Range(0.01, 0.99), "share")
		held := func(share float64) float64 {
			h, err := electrical.PartialStrands(c, s, share, 40)
			if err != nil {
				return 0
			}
			if h.Counts.Area() > h.Area*1.005 && h.Counts != quantity.AWG(22) {
				t.Fatalf("%v mm² counts as %v", h.Area, h.Counts)
			}
			return float64(h.Ampacity)
		}
		if held(few) > held(many) || held(many) > carries(c, s) {
			t.Fatalf("%v A of %v, %v A of %v, whole %v A", held(few), few, held(many), many, carries(c, s))
		}
	})
}

// Ranges as the shop's figures give them, in the order of the list; never one figure.
func TestPoorJoints(t *testing.T) {
	rows := readRows(t, "poor_joints.csv")
	require.Len(t, electrical.PoorJoints(), len(rows))
	for i, j := range electrical.PoorJoints() {
		got, ok := j.Resistance()
		require.True(t, ok, "%s", j)
		within(t, rows[i].number(t, "low_mohm"), got.Low.Milliohms(), 1e-12, "%s", j)
		within(t, rows[i].number(t, "high_mohm"), got.High.Milliohms(), 1e-12, "%s", j)
		assert.Less(t, got.Low, got.High, "%s", j)
	}
	_, ok := electrical.PoorJoint("unknown").Resistance()
	assert.False(t, ok)
	// 60 A in a ring on paint, 20 … 100 mΩ: 72 … 360 W.
	paint, _ := electrical.PaintedRing.Resistance()
	within(t, 72, float64(paint.Heating(60).Low), 1e-12)
	within(t, 360, float64(paint.Heating(60).High), 1e-12)
}
