package electrical_test

import (
	"math"
	"testing"
	"time"

	"pgregory.net/rapid"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// rounding is what two ways of computing the same figure may differ by.
const rounding = 1 + 1e-12

func anyGauge() *rapid.Generator[quantity.Size] {
	return rapid.Map(rapid.IntRange(quantity.ThickestAWG, 22), quantity.AWG)
}

func anyMetric() *rapid.Generator[quantity.Size] {
	return rapid.Map(rapid.Float64Range(0.35, 300), func(a float64) quantity.Size { return quantity.Metric(quantity.SquareMillimetres(a)) })
}

func anyConductor() *rapid.Generator[electrical.Conductor] {
	return rapid.Custom(func(t *rapid.T) electrical.Conductor {
		return electrical.Conductor{
			Size:       rapid.OneOf(anyGauge(), anyMetric()).Draw(t, "size"),
			Material:   rapid.SampledFrom(electrical.Materials()).Draw(t, "material"),
			Insulation: rapid.SampledFrom(electrical.Insulations()).Draw(t, "insulation"),
			Rating:     quantity.Celsius(rapid.Float64Range(60, 200).Draw(t, "rating")),
			SAE:        rapid.Bool().Draw(t, "sae"),
		}
	})
}

func anySurroundings() *rapid.Generator[electrical.Surroundings] {
	return rapid.Custom(func(t *rapid.T) electrical.Surroundings {
		return electrical.Surroundings{
			EngineSpace: rapid.Bool().Draw(t, "engine space"),
			HasAmbient:  rapid.Bool().Draw(t, "has ambient"),
			Ambient:     quantity.Celsius(rapid.Float64Range(-40, 210).Draw(t, "ambient")),
			Bundled:     rapid.IntRange(0, 40).Draw(t, "bundled"),
		}
	})
}

// carries is the ampacity, 0 where the conductor is refused.
func carries(c electrical.Conductor, s electrical.Surroundings) float64 {
	iz, err := electrical.Ampacity(c, s)
	if err != nil {
		return 0
	}
	return float64(iz)
}

func two[T ~float64 | ~int](t *rapid.T, g *rapid.Generator[T], label string) (low, high T) {
	a, b := g.Draw(t, label), g.Draw(t, label)
	return min(a, b), max(a, b)
}

func TestAmpacityNeverRisesWithHeatOrCompany(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := anyConductor().Draw(t, "conductor"), anySurroundings().Draw(t, "surroundings")
		cool, hot := s, s
		cool.HasAmbient, hot.HasAmbient = true, true
		low, high := two(t, rapid.Float64Range(-40, 210), "ambient")
		cool.Ambient, hot.Ambient = quantity.Celsius(low), quantity.Celsius(high)
		if carries(c, hot) > carries(c, cool)*rounding {
			t.Fatalf("%v at %v °C, %v at %v °C", carries(c, hot), high, carries(c, cool), low)
		}
		few, many := s, s
		few.Bundled, many.Bundled = two(t, rapid.IntRange(-1, 60), "bundled")
		if carries(c, many) > carries(c, few) {
			t.Fatalf("%d bundled carry more than %d", many.Bundled, few.Bundled)
		}
	})
}

func TestAmpacityNeverFallsWithSizeOrRating(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := anyConductor().Draw(t, "conductor"), anySurroundings().Draw(t, "surroundings")
		worse, better := c, c
		low, high := two(t, rapid.Float64Range(60, 200), "rating")
		worse.Rating, better.Rating = quantity.Celsius(low), quantity.Celsius(high)
		if carries(better, s) < carries(worse, s)/rounding {
			t.Fatalf("%v at %v °C insulation, %v at %v °C", carries(better, s), high, carries(worse, s), low)
		}
		size := rapid.SampledFrom([]*rapid.Generator[quantity.Size]{anyGauge(), anyMetric()}).Draw(t, "kind of size")
		thin, thick := c, c
		thin.Size, thick.Size = size.Draw(t, "size"), size.Draw(t, "size")
		if thin.Size.Area() > thick.Size.Area() {
			thin, thick = thick, thin
		}
		if carries(thick, s) < carries(thin, s) {
			t.Fatalf("%v in %v, %v in %v", carries(thick, s), thick.Size, carries(thin, s), thin.Size)
		}
	})
}

func TestAmpacityNeverAboveTheBaseTable(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := anyConductor().Draw(t, "conductor"), anySurroundings().Draw(t, "surroundings")
		if carries(c, s) > carries(c, base) {
			t.Fatalf("%v, base %v", carries(c, s), carries(c, base))
		}
	})
}

func TestConductorIsAtItsRatingAtItsAmpacity(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, s := anyConductor().Draw(t, "conductor"), anySurroundings().Draw(t, "surroundings")
		iz, err := electrical.Ampacity(c, s)
		if err != nil {
			t.Skip("refused")
		}
		at := electrical.Temperature(s.Temperature(), c.Rating, iz, iz)
		if math.Abs(float64(at-c.Rating)) > 1e-9 {
			t.Fatalf("%v °C at Iz, rated %v °C", at, c.Rating)
		}
	})
}

func TestResistanceRisesWithTemperatureAndLength(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c := anyConductor().Draw(t, "conductor")
		cool, hot := two(t, rapid.Float64Range(-50, 250), "temperature")
		short, long := two(t, rapid.Float64Range(0, 100), "length")
		at := func(l, temp float64) quantity.Ohms { return c.Resistance(quantity.Metres(l), quantity.Celsius(temp)) }
		if at(long, hot) < at(long, cool) || at(long, cool) < at(short, cool) {
			t.Fatalf("%v: %v … %v °C, %v … %v m", c.Size, cool, hot, short, long)
		}
	})
}

func TestOperatingPointSatisfiesKirchhoff(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		d := electrical.Demand{
			Behaviour: rapid.SampledFrom(electrical.Behaviours()).Draw(t, "behaviour"),
			Design:    quantity.Amps(rapid.Float64Range(0.01, 600).Draw(t, "design")),
			Reference: quantity.Volts(rapid.Float64Range(6, 60).Draw(t, "reference")),
			Power:     quantity.Watts(rapid.Float64Range(0.1, 8000).Draw(t, "power")),
		}
		vs, r := rapid.Float64Range(6, 60).Draw(t, "source"), rapid.Float64Range(0, 1).Draw(t, "resistance")
		i, v, err := electrical.OperatingPoint(d, quantity.Volts(vs), quantity.Ohms(r))
		if err != nil {
			short := d.Behaviour == electrical.ConstantPower && float64(d.Power)*r*4 > vs*vs*(1-1e-9) ||
				d.Behaviour == electrical.ConstantCurrent && float64(d.Design)*r > vs*(1-1e-9)
			if !short {
				t.Fatalf("refused although the source can: %+v", d)
			}
			return
		}
		if math.Abs(vs-float64(i)*r-float64(v)) > 1e-6 {
			t.Fatalf("Vs − I·R − V = %v", vs-float64(i)*r-float64(v))
		}
		if draw := float64(d.At(v)); math.Abs(draw-float64(i)) > 1e-6*(1+draw) {
			t.Fatalf("the device draws %v at %v, the answer is %v", draw, v, i)
		}
		if d.Behaviour == electrical.ConstantPower && float64(v) < vs/2*(1-1e-6) {
			t.Fatalf("%v is on the unstable branch of %v", v, vs)
		}
	})
}

func TestCarryLimitIsWithinTheShare(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		f := rapid.SampledFrom(electrical.Families()).Draw(t, "family")
		rating := quantity.Amps(rapid.Float64Range(0.5, 600).Draw(t, "rating"))
		share := rapid.Float64Range(0.5, 0.8).Draw(t, "share")
		cool, hot := two(t, rapid.Float64Range(-40, 200), "ambient")
		at := func(ambient float64) float64 {
			return float64(electrical.CarryLimit(f, rating, quantity.Celsius(ambient), share))
		}
		if at(cool) > float64(rating)*share*rounding || at(hot) > at(cool)*rounding || at(cool) < 0 {
			t.Fatalf("%s %v: %v at %v °C, %v at %v °C", f, rating, at(cool), cool, at(hot), hot)
		}
	})
}

// What the edge lets through is finite; nothing finite may panic or come out as
// NaN. Ratings and ampacities are above 0, as the tables and Ampacity give them.
func TestExtremeFiniteInputs(t *testing.T) {
	wild := rapid.OneOf(rapid.Float64Range(-1e12, 1e12), rapid.Float64Range(-10, 600), rapid.SampledFrom([]float64{0, 1e-12, -1e-12, 1e12, -1e12}))
	positive := rapid.OneOf(rapid.Float64Range(1e-9, 1e12), rapid.SampledFrom([]float64{1e-9, 1, 1e12}))
	rapid.Check(t, func(t *rapid.T) {
		number := func(name string) float64 { return wild.Draw(t, name) }
		i, v := quantity.Amps(number("current")), quantity.Volts(number("volts"))
		temp, r := quantity.Celsius(number("temperature")), quantity.Ohms(number("resistance"))
		rating := quantity.Amps(positive.Draw(t, "rating"))
		f := rapid.SampledFrom(append(electrical.Families(), "unknown")).Draw(t, "family")
		duty := electrical.Duty{
			Kind: electrical.Intermittent,
			On:   time.Duration(rapid.Int64().Draw(t, "on")), Off: time.Duration(rapid.Int64().Draw(t, "off")),
		}
		c := anyConductor().Draw(t, "conductor")
		got := map[string]float64{}

		got["ampacity"] = carries(c, electrical.Surroundings{Ambient: temp, HasAmbient: true, Bundled: rapid.Int().Draw(t, "bundled")})
		got["resistance"] = float64(c.Resistance(quantity.Metres(number("length")), temp))
		got["temperature"] = float64(electrical.Temperature(temp, c.Rating, i, rating))
		got["rise"] = float64(electrical.AdiabaticRise(c, i, duty.On))
		got["peak"] = float64(electrical.ShortTimePeak(c, temp, duty, i, rating))
		o := electrical.CurveOf(f, rating).Opening(rating, i)
		got["opening min"], got["opening max"], got["opening mean"] = o.Min, o.Max, o.GeometricMean()
		hot := electrical.FuseOf(f, rating).OpeningAt(temp, i)
		got["hot min"], got["hot max"], got["hot mean"] = hot.Min, hot.Max, hot.GeometricMean()
		got["carry"] = float64(electrical.CarryLimit(f, rating, temp, 0.8))
		figures, _ := electrical.FamilyOf(f)
		got["fuse"] = float64(electrical.FuseResistance(figures, rating, i))
		got["barrel"] = float64(electrical.BarrelResistance(c.Size))

		d, err := electrical.DemandOf(electrical.Load{
			Current: i, Input: quantity.Watts(number("input")), Output: quantity.Watts(number("output")), Efficiency: rapid.Float64Range(0, 1).Draw(t, "efficiency"),
			Audio: electrical.Audio{RMS: quantity.Watts(number("rms")), OnboardFuse: quantity.Amps(number("on-board"))},
		}, twelveVolts(rapid.SampledFrom(electrical.DeviceKinds()).Draw(t, "kind")))
		if err == nil {
			got["design"], got["drawn"] = float64(d.Design), float64(d.At(v))
			point, volts, err := electrical.OperatingPoint(d, quantity.Volts(math.Abs(float64(v))), quantity.Ohms(math.Abs(float64(r))))
			if err == nil {
				got["point"], got["point volts"] = float64(point), float64(volts)
			}
		}

		b := electrical.Bank{
			Chemistry: rapid.SampledFrom(electrical.Chemistries()).Draw(t, "chemistry"), Nominal: 12,
			Capacity: quantity.AmpHours(number("capacity")), ColdCranking: quantity.Amps(number("cca")),
			Internal: quantity.Ohms(number("internal")), ShortCircuit: quantity.Amps(number("short circuit")),
		}
		low, high := b.Resistance()
		got["bank low"], got["bank high"] = float64(low), float64(high)
		got["interrupting"] = float64(b.RequiredInterrupting(12.6, quantity.Ohms(math.Abs(float64(r)))).Required)
		if !(low > 0 && low <= high) {
			t.Fatalf("bank resistance %v … %v of %+v", low, high, b)
		}
		for name, value := range got {
			if math.IsNaN(value) {
				t.Fatalf("%s is not a number", name)
			}
		}
	})
}
