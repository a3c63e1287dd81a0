package electrical_test

import (
	"errors"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// Integer operating points, checked by V = Vs − I·R and I = P/V, I = V/R or I.
func TestOperatingPoint(t *testing.T) {
	tests := []struct {
		name   string
		demand electrical.Demand
		source quantity.Volts
		r      quantity.Ohms
		i, v   float64
	}{
		{"constant power 100 W: 10 V·10 A behind 0.2 Ω of 12 V", electrical.Demand{Behaviour: electrical.ConstantPower, Power: 100}, 12, 0.2, 10, 10},
		{"constant power, no resistance", electrical.Demand{Behaviour: electrical.ConstantPower, Power: 120}, 12, 0, 10, 12},
		{"constant power at the very limit: half the volts", electrical.Demand{Behaviour: electrical.ConstantPower, Power: 144}, 12, 0.25, 24, 6},
		{"resistive 1 Ω behind 0.2 Ω of 12 V", electrical.Demand{Behaviour: electrical.Resistive, Design: 13.8, Reference: 13.8}, 12, 0.2, 10, 10},
		{"resistive at its reference volts", electrical.Demand{Behaviour: electrical.Resistive, Design: 96.6, Reference: 13.8}, 13.8, 0, 96.6, 13.8},
		{"constant current", electrical.Demand{Behaviour: electrical.ConstantCurrent, Design: 10}, 12, 0.2, 10, 10},
		{"constant current that takes every volt", electrical.Demand{Behaviour: electrical.ConstantCurrent, Design: 60}, 12, 0.2, 60, 0},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			i, v, err := electrical.OperatingPoint(tt.demand, tt.source, tt.r)
			require.NoError(t, err)
			assert.InDelta(t, tt.i, float64(i), 1e-9)
			assert.InDelta(t, tt.v, float64(v), 1e-9)
		})
	}
}

// The most a source gives through a resistance is Vs²/(4·R), at half its volts:
// 12.6 V behind 0.03 Ω give 1323 W.
func TestOperatingPointAtTheLimitOfPower(t *testing.T) {
	const limit = 1323.0
	ask := func(p float64) (quantity.Volts, error) {
		_, v, err := electrical.OperatingPoint(electrical.Demand{Behaviour: electrical.ConstantPower, Power: quantity.Watts(p)}, 12.6, 0.03)
		return v, err
	}
	v, err := ask(limit * (1 - 1e-6))
	require.NoError(t, err)
	assert.InDelta(t, 6.3, float64(v), 0.01, "close to half the volts")
	assert.Greater(t, float64(v), 6.3, "on the stable branch")
	_, err = ask(limit * (1 + 1e-6))
	require.ErrorIs(t, err, electrical.ErrNoOperatingPoint)
}

// The same at any source and resistance, a millionth of Vs²/(4·R) to either side.
// Below it both roots are those of V² − Vs·V + P·R = 0, and the answer is the upper:
// Vs/2·(1 + √(1 − P/Pmax)), Vs/2·1.001 at a millionth below.
func TestOperatingPointOnEitherSideOfTheLimit(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		vs, r := rapid.Float64Range(6, 60).Draw(t, "source"), rapid.Float64Range(1e-3, 10).Draw(t, "resistance")
		limit := vs * vs / (4 * r)
		ask := func(share float64) (quantity.Amps, quantity.Volts, error) {
			d := electrical.Demand{Behaviour: electrical.ConstantPower, Power: quantity.Watts(limit * share)}
			return electrical.OperatingPoint(d, quantity.Volts(vs), quantity.Ohms(r))
		}
		if _, _, err := ask(1 + 1e-6); !errors.Is(err, electrical.ErrNoOperatingPoint) {
			t.Fatalf("a millionth above the limit: %v", err)
		}
		i, v, err := ask(1 - 1e-6)
		if err != nil {
			t.Fatalf("a millionth below the limit: %v", err)
		}
		if want := vs / 2 * 1.001; math.Abs(float64(v)-want) > want*1e-9 {
			t.Fatalf("%v V, by hand %v V", v, want)
		}
		if power := float64(i.At(v)); math.Abs(power-limit*(1-1e-6)) > limit*1e-9 {
			t.Fatalf("%v W of %v W", power, limit)
		}
	})
}

func TestOperatingPointOfADeadSource(t *testing.T) {
	_, _, err := electrical.OperatingPoint(electrical.Demand{Behaviour: electrical.ConstantPower, Power: 60}, 0, 0)
	require.ErrorIs(t, err, electrical.ErrNoOperatingPoint)
}

func TestOperatingPointConstantCurrentBelowZeroVolts(t *testing.T) {
	_, _, err := electrical.OperatingPoint(electrical.Demand{Behaviour: electrical.ConstantCurrent, Design: 60.1}, 12, 0.2)
	require.ErrorIs(t, err, electrical.ErrNoOperatingPoint)
}

// Nothing drawn, nothing lost, whatever the behaviour.
func TestOperatingPointOfNoLoad(t *testing.T) {
	for _, b := range electrical.Behaviours() {
		i, v, err := electrical.OperatingPoint(electrical.Demand{Behaviour: b, Reference: 13.8}, 12, 0.2)
		require.NoError(t, err, "%s", b)
		assert.Zero(t, i, "%s", b)
		assert.Equal(t, quantity.Volts(12), v, "%s", b)
	}
}
