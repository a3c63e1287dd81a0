package electrical_test

import (
	"math"
	"testing"

	"github.com/stretchr/testify/assert"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Gates of high confidence: maxi 135 % within 30 min (DIN 72581-3), glass 135 % within
// 1 h (UL 248-14). 1.45·Iz by IEC 60364-4-43.
func TestOverload(t *testing.T) {
	tests := []struct {
		name              string
		fuse              electrical.Fuse
		iz                quantity.Amps
		i2, within, limit float64
		holds             bool
		rule              string
	}{
		{"maxi within its cable", electrical.FuseOf(electrical.Maxi, 40), 60, 54, 1800, 87, true, "overload.holds"},
		{"glass at the very ampacity", electrical.FuseOf(electrical.Glass, 10), 10, 13.5, 3600, 14.5, true, "overload.holds"},
		{"a short-time motor's, above it", electrical.FuseOf(electrical.Maxi, 80), 40, 108, 1800, 58, false, "overload.exceeds"},
		{"a maker's slow fuse", electrical.Fuse{Family: electrical.ANL, Rating: 100, Curve: ownCurve(t, 100, electrical.Gate{Percent: 200, Min: 5, Max: 60})},
			120, 200, 60, 174, false, "overload.exceeds"},
		{"exactly at the limit", electrical.Fuse{Family: electrical.ANL, Rating: 100, Curve: ownCurve(t, 100, electrical.Gate{Percent: 145, Max: 60})},
			100, 145, 60, 145, true, "overload.holds"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := tt.fuse.Overload(tt.iz)
			within(t, tt.i2, float64(got.I2), 1e-12)
			within(t, tt.within, got.Within, 1e-12)
			within(t, tt.limit, float64(got.Limit), 1e-12)
			assert.Equal(t, tt.holds, got.Holds)
			assert.Equal(t, tt.rule, got.Reason.Rule)
		})
	}
	unknown := electrical.FuseOf(electrical.Breaker, 50).Overload(80)
	assert.Zero(t, unknown.I2)
	assert.True(t, math.IsInf(unknown.Within, 1))
	assert.False(t, unknown.Holds)
	assert.Equal(t, "overload.not_shown", unknown.Reason.Rule)
}
