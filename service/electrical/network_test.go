package electrical_test

import (
	"errors"
	"fmt"
	"math"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

func power(p quantity.Watts) electrical.Demand {
	return electrical.Demand{Behaviour: electrical.ConstantPower, Power: p}
}

func steady(i quantity.Amps) electrical.Demand {
	return electrical.Demand{Behaviour: electrical.ConstantCurrent, Design: i}
}

// ohmic draws i at v.
func ohmic(i quantity.Amps, v quantity.Volts) electrical.Demand {
	return electrical.Demand{Behaviour: electrical.Resistive, Design: i, Reference: v}
}

// shared is a resistance that the loads named share.
func shared(r quantity.Ohms, loads ...int) electrical.Element {
	return electrical.Element{R: r, Loads: loads}
}

// Integer networks, checked by V = Vs − Σ R·ΣI and I = P/V, I = V/R or I.
func TestSolveNetwork(t *testing.T) {
	tests := []struct {
		name     string
		source   quantity.Volts
		elements []electrical.Element
		loads    []electrical.Demand
		volts    []float64
		currents []float64
	}{
		{"constant power 100 W: 10 V·10 A behind 0.2 Ω of 12 V", 12,
			[]electrical.Element{shared(0.2, 0)}, []electrical.Demand{power(100)}, []float64{10}, []float64{10}},
		{"resistive 1 Ω behind 0.2 Ω of 12 V", 12,
			[]electrical.Element{shared(0.2, 0)}, []electrical.Demand{ohmic(13.8, 13.8)}, []float64{10}, []float64{10}},
		{"resistive 1 Ω behind 3 Ω of 12 V", 12,
			[]electrical.Element{shared(3, 0)}, []electrical.Demand{ohmic(5, 5)}, []float64{3}, []float64{3}},
		{"constant current", 12,
			[]electrical.Element{shared(0.2, 0)}, []electrical.Demand{steady(10)}, []float64{10}, []float64{10}},
		{"constant current that takes every volt", 12,
			[]electrical.Element{shared(0.25, 0)}, []electrical.Demand{steady(48)}, []float64{0}, []float64{48}},
		{"one behind two resistances", 12,
			[]electrical.Element{shared(0.15, 0), shared(0.05, 0)}, []electrical.Demand{power(100)}, []float64{10}, []float64{10}},
		{"two of constant power behind a trunk: 12 − 0.1·20 = 10 V at the block", 12,
			[]electrical.Element{shared(0.1, 0, 1), shared(0.1, 0), shared(0.2, 1)},
			[]electrical.Demand{power(90), power(80)}, []float64{9, 8}, []float64{10, 10}},
		{"a trunk of the first two, a body of the last two", 14,
			[]electrical.Element{shared(0.1, 0, 1), shared(0.2, 1, 2), shared(0.1, 0), shared(0.1, 1), shared(0.3, 2)},
			[]electrical.Demand{power(115), ohmic(5, 10), steady(5)}, []float64{11.5, 10, 10.5}, []float64{10, 5, 5}},
		{"resistances that lose nothing", 12,
			[]electrical.Element{shared(0, 0, 1)}, []electrical.Demand{power(24), steady(3)}, []float64{12, 12}, []float64{2, 3}},
		{"no resistances", 12, nil, []electrical.Demand{power(24), ohmic(6, 12)}, []float64{12, 12}, []float64{2, 6}},
		{"no loads", 12, []electrical.Element{shared(0.2)}, nil, []float64{}, []float64{}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := electrical.SolveNetwork(tt.source, tt.elements, tt.loads)
			require.NoError(t, err)
			require.Len(t, p.Volts, len(tt.volts))
			require.Len(t, p.Currents, len(tt.currents))
			for k := range tt.volts {
				assert.InDelta(t, tt.volts[k], float64(p.Volts[k]), 1e-8, "volts of load %d", k)
				assert.InDelta(t, tt.currents[k], float64(p.Currents[k]), 1e-7, "current of load %d", k)
			}
		})
	}
}

func TestSolveNetworkWithoutAPoint(t *testing.T) {
	nan := quantity.Ohms(math.NaN())
	tests := []struct {
		name     string
		source   quantity.Volts
		elements []electrical.Element
		loads    []electrical.Demand
	}{
		{"more power than passes: 12²/(4·0.25) = 144 W", 12, []electrical.Element{shared(0.25, 0)}, []electrical.Demand{power(145)}},
		{"each passes alone, not both", 12, []electrical.Element{shared(0.25, 0, 1)}, []electrical.Demand{power(80), power(80)}},
		{"one of them fits", 12, []electrical.Element{shared(0.25, 0), shared(0.25, 1)}, []electrical.Demand{power(80), power(160)}},
		{"a constant current below 0 V", 12, []electrical.Element{shared(0.2, 0)}, []electrical.Demand{steady(60.1)}},
		{"a neighbour would take more than all the volts", 12, []electrical.Element{shared(0.2, 0, 1)}, []electrical.Demand{steady(61), ohmic(1, 12)}},
		{"a dead source", 0, []electrical.Element{shared(0.2, 0)}, []electrical.Demand{power(60)}},
		{"a dead source without resistance", 0, nil, []electrical.Demand{power(60)}},
		{"a resistance that is no number", 12, []electrical.Element{shared(nan, 0)}, []electrical.Demand{power(60)}},
		{"an endless resistance", 12, []electrical.Element{shared(quantity.Ohms(math.Inf(1)), 0)}, []electrical.Demand{power(60)}},
		{"a source that is no number", quantity.Volts(nan), nil, []electrical.Demand{steady(1)}},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			p, err := electrical.SolveNetwork(tt.source, tt.elements, tt.loads)
			require.ErrorIs(t, err, electrical.ErrNoOperatingPoint)
			assert.Empty(t, p)
		})
	}
}

// The most a source gives through a resistance is Vs²/(4·R), at half its volts:
// 12.6 V behind 0.03 Ω give 1323 W, to one load or to two alike.
func TestSolveNetworkAtTheLimitOfPower(t *testing.T) {
	const limit = 1323
	for name, share := range map[string][]float64{"one load": {1}, "two loads": {0.25, 0.75}} {
		t.Run(name, func(t *testing.T) {
			ask := func(total float64) (electrical.OperatingPoints, error) {
				var loads []electrical.Demand
				trunk := electrical.Element{R: 0.03}
				for k, s := range share {
					loads = append(loads, power(quantity.Watts(total*s)))
					trunk.Loads = append(trunk.Loads, k)
				}
				return electrical.SolveNetwork(12.6, []electrical.Element{trunk}, loads)
			}
			p, err := ask(limit * (1 - 1e-6))
			require.NoError(t, err)
			for _, v := range p.Volts {
				// (1 + √1e-6)·6.3 V by the root formula.
				assert.InDelta(t, 6.3063, float64(v), 1e-6, "on the stable branch")
			}
			_, err = ask(limit * (1 + 1e-6))
			require.ErrorIs(t, err, electrical.ErrNoOperatingPoint)
		})
	}
}

// A single load is where its exact root formula says.
func TestSolveNetworkOfOneLoad(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := quantity.Volts(rapid.Float64Range(6, 60).Draw(t, "source"))
		r := quantity.Ohms(rapid.Float64Range(1e-5, 2).Draw(t, "ohm"))
		// Up to a little more than passes through the resistance; resistive loads
		// down to a hundredth of it.
		share := rapid.Float64Range(0.001, 1.2).Draw(t, "share")
		most := float64(source) / float64(r)
		d := rapid.SampledFrom([]electrical.Demand{
			power(quantity.Watts(share * float64(source) * most / 4)),
			steady(quantity.Amps(share * most)),
			ohmic(quantity.Amps(100*share*most), source),
		}).Draw(t, "load")
		if math.Abs(share-1) < 1e-6 {
			t.Skip("on the very limit rounding decides")
		}
		i, v, err := electrical.OperatingPoint(d, source, r)
		p, got := electrical.SolveNetwork(source, []electrical.Element{shared(r, 0)}, []electrical.Demand{d})
		require.Equal(t, err, got)
		if err != nil {
			return
		}
		require.InDelta(t, float64(v), float64(p.Volts[0]), 1e-6)
		require.InEpsilon(t, float64(i), float64(p.Currents[0]), 1e-6)
	})
}

// blockVolts finds the volts at a trunk's block by halving: the trunk loses
// Vs − Vb, and each load of constant power draws P/V at V = (Vb + √(Vb² − 4·P·R))/2.
func blockVolts(source, trunk float64, own, watts []float64) float64 {
	const halvings = 200
	low, high := 0.6*source, source
	for range halvings {
		at, current := (low+high)/2, 0.0
		for k := range own {
			current += watts[k] / ((at + math.Sqrt(at*at-4*watts[k]*own[k])) / 2)
		}
		if source-trunk*current > at {
			low = at
		} else {
			high = at
		}
	}
	return low
}

// Two loads of constant power behind a trunk are where halving finds them.
func TestSolveNetworkOfTwoBehindATrunk(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		source := rapid.Float64Range(10, 60).Draw(t, "source")
		trunk := rapid.Float64Range(1e-4, 0.5).Draw(t, "trunk")
		own, watts := make([]float64, 2), make([]float64, 2)
		for k := range own {
			own[k] = rapid.Float64Range(1e-4, 0.5).Draw(t, "own")
			// Together at most 0.7 of what passes, so that the block stays above 0.6 Vs.
			watts[k] = rapid.Float64Range(0.01, 0.35).Draw(t, "share") * source * source / 4 / (trunk + own[k])
		}
		at := blockVolts(source, trunk, own, watts)
		p, err := electrical.SolveNetwork(quantity.Volts(source),
			[]electrical.Element{shared(quantity.Ohms(trunk), 0, 1), shared(quantity.Ohms(own[0]), 0), shared(quantity.Ohms(own[1]), 1)},
			[]electrical.Demand{power(quantity.Watts(watts[0])), power(quantity.Watts(watts[1]))})
		require.NoError(t, err)
		for k := range own {
			want := (at + math.Sqrt(at*at-4*watts[k]*own[k])) / 2
			require.InDelta(t, want, float64(p.Volts[k]), 1e-7, "load %d", k)
		}
	})
}

// anyLoads draws loads of some behaviours, each of up to 1 A at 12 V.
func anyLoads(behaviours ...electrical.Behaviour) *rapid.Generator[[]electrical.Demand] {
	one := rapid.Custom(func(t *rapid.T) electrical.Demand {
		i := quantity.Amps(rapid.Float64Range(0.01, 1).Draw(t, "current"))
		return electrical.Demand{Behaviour: rapid.SampledFrom(behaviours).Draw(t, "behaviour"), Design: i, Reference: 12, Power: i.At(12)}
	})
	return rapid.SliceOfN(one, 1, 8)
}

// anyElements draws resistances, each shared by any of the loads.
func anyElements(loads int) *rapid.Generator[[]electrical.Element] {
	one := rapid.Custom(func(t *rapid.T) electrical.Element {
		e := electrical.Element{R: quantity.Ohms(rapid.Float64Range(0, 0.3).Draw(t, "ohm"))}
		for k := range loads {
			if rapid.Bool().Draw(t, "shares") {
				e.Loads = append(e.Loads, k)
			}
		}
		return e
	})
	return rapid.SliceOfN(one, 0, 6)
}

// Kirchhoff and Ohm: the source's volts are what the load has and what is lost on
// its way, and each load draws what its behaviour asks at the volts it has.
func TestSolveNetworkKeepsKirchhoff(t *testing.T) {
	solved := 0
	rapid.Check(t, func(t *rapid.T) {
		const source = 12.6
		loads := anyLoads(electrical.Behaviours()...).Draw(t, "loads")
		elements := anyElements(len(loads)).Draw(t, "elements")
		p, err := electrical.SolveNetwork(source, elements, loads)
		if err != nil {
			require.ErrorIs(t, err, electrical.ErrNoOperatingPoint)
			return
		}
		solved++
		left := make([]float64, len(loads))
		for k := range left {
			left[k] = source
		}
		for _, e := range elements {
			through := 0.0
			for _, k := range e.Loads {
				through += float64(p.Currents[k])
			}
			for _, k := range e.Loads {
				left[k] -= through * float64(e.R)
			}
		}
		for k := range loads {
			v, d := float64(p.Volts[k]), loads[k]
			require.InDelta(t, left[k], v, 1e-8, "volts of load %d", k)
			want := map[electrical.Behaviour]float64{
				electrical.ConstantPower: float64(d.Power) / v, electrical.ConstantCurrent: float64(d.Design), electrical.Resistive: float64(d.Design) / 12 * v,
			}[d.Behaviour]
			require.InDelta(t, want, float64(p.Currents[k]), 1e-12*max(1, want), "current of load %d", k)
		}
	})
	assert.Positive(t, solved)
}

// More resistance anywhere gives no load more volts, as long as no load draws less
// for having less; nor, behind a trunk, whatever the loads are.
func TestSolveNetworkLosesMoreThroughMore(t *testing.T) {
	raise := func(t *rapid.T, loads []electrical.Demand, elements []electrical.Element, which int) {
		before, err := electrical.SolveNetwork(12.6, elements, loads)
		if err != nil {
			t.Skip("no operating point")
		}
		elements[which].R += quantity.Ohms(rapid.Float64Range(0, 0.1).Draw(t, "more"))
		after, err := electrical.SolveNetwork(12.6, elements, loads)
		if errors.Is(err, electrical.ErrNoOperatingPoint) {
			return // so much more that there is none
		}
		require.NoError(t, err)
		for k := range loads {
			require.LessOrEqual(t, float64(after.Volts[k]), float64(before.Volts[k])+1e-7, "load %d", k)
		}
	}
	t.Run("anywhere", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			loads := anyLoads(electrical.ConstantPower, electrical.ConstantCurrent).Draw(t, "loads")
			elements := append(anyElements(len(loads)).Draw(t, "elements"), shared(0.01, 0))
			raise(t, loads, elements, rapid.IntRange(0, len(elements)-1).Draw(t, "which"))
		})
	})
	t.Run("trunk", func(t *testing.T) {
		rapid.Check(t, func(t *rapid.T) {
			loads := anyLoads(electrical.Behaviours()...).Draw(t, "loads")
			trunk := electrical.Element{R: quantity.Ohms(rapid.Float64Range(0, 0.3).Draw(t, "trunk"))}
			elements := []electrical.Element{trunk}
			for k := range loads {
				elements[0].Loads = append(elements[0].Loads, k)
				elements = append(elements, shared(quantity.Ohms(rapid.Float64Range(0, 0.3).Draw(t, "own")), k))
			}
			raise(t, loads, elements, 0)
		})
	})
}

// A radio and an amplifier share a trunk of 5 mΩ; the amplifier's own cables have
// 4 mΩ more, the radio's 30 mΩ.
func ExampleSolveNetwork() {
	elements := []electrical.Element{
		{R: 5 * quantity.Milliohm, Loads: []int{0, 1}},
		{R: 30 * quantity.Milliohm, Loads: []int{0}},
		{R: 4 * quantity.Milliohm, Loads: []int{1}},
	}
	radio := electrical.Demand{Behaviour: electrical.ConstantCurrent, Design: 5}
	amplifier := electrical.Demand{Behaviour: electrical.Resistive, Design: 60, Reference: 13.8}
	p, err := electrical.SolveNetwork(13.8, elements, []electrical.Demand{radio, amplifier})
	if err != nil {
		fmt.Println(err)
		return
	}
	for k, name := range []string{"radio", "amplifier"} {
		fmt.Printf("%s: %.2f V, %.1f A\n", name, p.Volts[k], p.Currents[k])
	}
	// Output:
	// radio: 13.34 V, 5.0 A
	// amplifier: 13.26 V, 57.6 A
}
