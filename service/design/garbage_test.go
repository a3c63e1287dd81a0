package design_test

import (
	"math"
	"testing"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"pgregory.net/rapid"
)

// mostly draws from the sound values, and once in a while from the odd ones, so
// that many jobs are sound but for a slip or two, and some altogether.
func mostly[T any](sound, odd *rapid.Generator[T]) *rapid.Generator[T] {
	return rapid.Custom(func(t *rapid.T) T {
		if rapid.IntRange(0, 29).Draw(t, "odd") == 13 {
			return odd.Draw(t, "odd value")
		}
		return sound.Draw(t, "value")
	})
}

// anyNumber is a number as a careless or hostile client may send it.
func anyNumber[T ~float64](low, high float64) *rapid.Generator[T] {
	odd := rapid.OneOf(rapid.Float64(), rapid.SampledFrom([]float64{0, -1, 1e-300, 1e300, math.MaxFloat64, -math.MaxFloat64, nan, inf, -inf}))
	return rapid.Map(mostly(rapid.Float64Range(low, high), odd), func(f float64) T { return T(f) })
}

// anyWord is one of the words, mostly, or nonsense.
func anyWord[T ~string](words []T) *rapid.Generator[T] {
	return mostly(rapid.SampledFrom(words), rapid.SampledFrom([]T{"", "nonsense", "\xff"}))
}

func anyStretch() *rapid.Generator[time.Duration] {
	sound := rapid.Int64Range(int64(10*time.Millisecond), int64(5*time.Minute))
	return rapid.Map(mostly(sound, rapid.Int64()), func(n int64) time.Duration { return time.Duration(n) })
}

func anySize() *rapid.Generator[quantity.Size] {
	none := rapid.Just(quantity.Size{})
	return rapid.OneOf(none, none, rapid.Map(rapid.IntRange(-5, 30), quantity.AWG), rapid.Map(anyNumber[quantity.SquareMillimetres](0.3, 150), quantity.Metric))
}

func garbledLanding(t *rapid.T, label string) catalog.Landing {
	return catalog.Landing{Kind: anyWord(catalog.LandingKinds()).Draw(t, label), Stud: anyWord(catalog.Studs()).Draw(t, label),
		Smallest: anySize().Draw(t, label), Largest: anySize().Draw(t, label), TabWidth: anyNumber[quantity.Millimetres](2, 10).Draw(t, label)}
}

var (
	garbledIDs   = []string{"a", "b", "c", "d", "e", "f", "g", "h", "i", "j", "k", "a-1"}
	garbledZones = mostly(rapid.SampledFrom([]string{"engine", "dash", "rear"}), rapid.SampledFrom([]string{"attic", ""}))
)

func garbledDevice(t *rapid.T, skus []string) design.Device {
	d := design.Device{
		ID: mostly(rapid.SampledFrom(garbledIDs), rapid.Just("")).Draw(t, "id"), Kind: anyWord(electrical.DeviceKinds()).Draw(t, "kind"),
		EquipmentSKU: mostly(rapid.SampledFrom(skus), rapid.SampledFrom([]string{"EQ-NONE", "FU-BLD-5"})).Draw(t, "sku"), Zone: garbledZones.Draw(t, "zone"),
		Quantity: mostly(rapid.IntRange(0, 5), rapid.SampledFrom([]int{-1, 100, 101, math.MaxInt, math.MinInt})).Draw(t, "quantity"), DropClass: anyWord(electrical.DropClasses()).Draw(t, "class"),
		HasMaxDrop: rapid.Bool().Draw(t, "has drop"), HasMeasured: rapid.Bool().Draw(t, "has measured"),
	}
	switch mostly(rapid.IntRange(0, 3), rapid.IntRange(4, 5)).Draw(t, "rating") {
	case 0:
		d.Load.Current = anyNumber[quantity.Amps](1, 60).Draw(t, "current")
	case 1:
		d.Load.Input = anyNumber[quantity.Watts](1, 800).Draw(t, "input")
	case 2:
		d.Load.Output, d.Load.Efficiency = anyNumber[quantity.Watts](1, 800).Draw(t, "output"), anyNumber[float64](0.1, 1).Draw(t, "efficiency")
	case 3:
		d.Load.Audio = electrical.Audio{RMS: anyNumber[quantity.Watts](1, 800).Draw(t, "rms"), OnboardFuse: anyNumber[quantity.Amps](1, 100).Draw(t, "own fuse"),
			Channels: mostly(rapid.IntRange(0, 16), rapid.IntRange(-1, 40)).Draw(t, "channels"), Class: anyWord(electrical.AmplifierClasses()).Draw(t, "amplifier class")}
	case 4:
		d.Load.Current, d.Load.Input = anyNumber[quantity.Amps](1, 60).Draw(t, "current"), anyNumber[quantity.Watts](1, 800).Draw(t, "input")
	}
	d.MaxDrop, d.Measured = anyNumber[quantity.Percent](1, 10).Draw(t, "drop"), anyNumber[quantity.Metres](0.2, 8).Draw(t, "measured")
	if rapid.IntRange(0, 2).Draw(t, "more") == 0 {
		d.MinVolts = anyNumber[quantity.Volts](6, 12).Draw(t, "volts")
		d.Surge = electrical.Surge{Current: anyNumber[quantity.Amps](1, 60).Draw(t, "surge"), Duration: anyStretch().Draw(t, "surge time")}
		d.Duty = electrical.Duty{Kind: anyWord(electrical.DutyKinds()).Draw(t, "duty"), On: anyStretch().Draw(t, "on"), Off: anyStretch().Draw(t, "off")}
		d.Maker = design.Maker{Fuse: anyNumber[quantity.Amps](1, 60).Draw(t, "fuse"), ConductorMin: anySize().Draw(t, "least"), TerminalMax: anySize().Draw(t, "largest"),
			Positive: garbledLanding(t, "positive"), Negative: garbledLanding(t, "negative"), ReturnToBattery: rapid.Bool().Draw(t, "return")}
	}
	return d
}

func garbledVehicle(t *rapid.T) *catalog.Vehicle {
	v := van()
	if rapid.IntRange(0, 3).Draw(t, "garbled vehicle") > 0 {
		return v
	}
	v.Category = anyWord(electrical.Categories()).Draw(t, "category")
	v.Nominal = mostly(rapid.SampledFrom([]quantity.Volts{12, 24, 48}), anyNumber[quantity.Volts](0, 60)).Draw(t, "nominal")
	v.Charging.RunningV = anyNumber[quantity.Volts](12, 15).Draw(t, "running")
	b := &v.Batteries[0]
	b.Chemistry, b.Zone = anyWord(electrical.Chemistries()).Draw(t, "chemistry"), garbledZones.Draw(t, "battery zone")
	b.Capacity, b.ColdCranking = anyNumber[quantity.AmpHours](10, 300).Draw(t, "capacity"), anyNumber[quantity.Amps](1, 60).Draw(t, "cranking")
	b.Internal, b.ShortCircuit = anyNumber[quantity.Ohms](0.001, 0.05).Draw(t, "internal"), anyNumber[quantity.Amps](1, 60).Draw(t, "short circuit")
	for i := range v.Routes {
		v.Routes[i].Length = anyNumber[quantity.Metres](0.2, 8).Draw(t, "length")
		v.Routes[i].To = garbledZones.Draw(t, "to")
		v.Routes[i].BundledWith = mostly(rapid.IntRange(0, 6), rapid.IntRange(-3, 300)).Draw(t, "bundled")
	}
	for i := range v.Zones {
		v.Zones[i].Reach, v.Zones[i].Ambient = anyNumber[quantity.Metres](0.2, 8).Draw(t, "reach"), anyNumber[quantity.Celsius](0, 60).Draw(t, "ambient")
		v.Zones[i].HasAmbient = rapid.Bool().Draw(t, "has ambient")
	}
	return v
}

// TestGarbageNeverPanics: whatever is sent, the answer is Violations, an *Unmet or a
// design whose figures are numbers.
func TestGarbageNeverPanics(t *testing.T) {
	cat := demoShop(t)
	designer := design.New(cat)
	skus := []string{"", "", cat.Equipment[0].SKU, cat.Equipment[1].SKU}
	rapid.Check(t, func(t *rapid.T) {
		v := garbledVehicle(t)
		s := design.System{Growth: anyNumber[quantity.Percent](1, 10).Draw(t, "growth")}
		for range mostly(rapid.IntRange(1, 3), rapid.Just(0)).Draw(t, "devices") {
			s.Devices = append(s.Devices, garbledDevice(t, skus))
		}
		got, err := designer.Design(v, s)
		if err != nil {
			checkRefusal(t, err)
			return
		}
		for i := range got.Circuits {
			checkNumbers(t, &got.Circuits[i])
		}
	})
}

func checkRefusal(t *rapid.T, err error) {
	if bad, ok := violations(err); ok {
		for _, b := range bad {
			if b.Field == "" || b.Code == "" {
				t.Fatalf("a violation without field or code: %v", err)
			}
		}
		return
	}
	if u, ok := unmet(err); !ok || u.Constraint == "" || u.At == "" {
		t.Fatalf("neither violations nor an unmet job: %v", err)
	}
}

func checkNumbers(t *rapid.T, c *design.Circuit) {
	figures := []float64{float64(c.Load), float64(c.Peak), float64(c.Running.Drop), float64(c.Running.Device), float64(c.Protection.Prospective)}
	for _, r := range c.Runs {
		figures = append(figures, float64(r.Length), float64(r.Current), float64(r.Ampacity), float64(r.Resistance), float64(r.Temperature))
	}
	for _, f := range figures {
		if math.IsNaN(f) || math.IsInf(f, 0) {
			t.Fatalf("%s: %v", c.ID, figures)
		}
	}
}

// TestGarbledRunsAndEndsNeverPanic: the same for a bare run and a single end.
func TestGarbledRunsAndEndsNeverPanic(t *testing.T) {
	designer := design.New(demoShop(t))
	rapid.Check(t, func(t *rapid.T) {
		d := garbledDevice(t, []string{""})
		q := design.RunQuestion{Kind: d.Kind, Category: anyWord(electrical.Categories()).Draw(t, "category"), Load: d.Load, Length: anyNumber[quantity.Metres](0.2, 8).Draw(t, "length"),
			Chassis: rapid.Bool().Draw(t, "chassis"), Nominal: mostly(rapid.Just(quantity.Volts(12)), anyNumber[quantity.Volts](0, 60)).Draw(t, "nominal"),
			Environment: anyWord(electrical.Environments()).Draw(t, "environment"), HasAmbient: rapid.Bool().Draw(t, "has ambient"), Ambient: anyNumber[quantity.Celsius](0, 60).Draw(t, "ambient"),
			Material: anyWord(electrical.Materials()).Draw(t, "material"), Insulation: anyWord(electrical.Insulations()).Draw(t, "insulation"), Rating: anyNumber[quantity.Celsius](60, 125).Draw(t, "rating"),
			MaxDrop: d.MaxDrop, HasMaxDrop: d.HasMaxDrop, Bundled: mostly(rapid.IntRange(0, 6), rapid.IntRange(-3, 300)).Draw(t, "bundled")}
		if _, err := designer.Size(q); err != nil {
			checkRefusal(t, err)
		}
		end := design.EndQuestion{SKU: rapid.SampledFrom([]string{"", "CB-04-CU-RD", "FU-BLD-5", "nonsense"}).Draw(t, "sku"), Size: anySize().Draw(t, "size"), Material: q.Material,
			Landing: garbledLanding(t, "landing"), Category: q.Category, Environment: q.Environment}
		if _, err := designer.End(end); err != nil {
			checkRefusal(t, err)
		}
	})
}
