package electrical_test

import (
	"fmt"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

var tenGauge = electrical.Conductor{
	Size: quantity.AWG(10), Material: electrical.Copper, Insulation: electrical.CrossLinked, Rating: 105,
}

func ExampleAmpacity() {
	iz, err := electrical.Ampacity(tenGauge, electrical.Surroundings{EngineSpace: true, Bundled: 3})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("10 AWG, 105 °C, three bundled in the engine space: %.1f A\n", iz)

	_, err = electrical.Ampacity(tenGauge, electrical.Surroundings{Ambient: 110, HasAmbient: true})
	fmt.Println(err)
	// Output:
	// 10 AWG, 105 °C, three bundled in the engine space: 35.7 A
	// ambient at or above the insulation rating: 105 °C insulation at 110 °C
}

func ExampleBundlingFactor() {
	for _, n := range []int{2, 3, 6, 24, 25} {
		fmt.Print(electrical.BundlingFactor(n), " ")
	}
	// Output: 1 0.7 0.6 0.5 0.4
}

func ExampleTemperature() {
	fmt.Printf("%.1f °C at half of 60 A\n", electrical.Temperature(30, 105, 30, 60))
	fmt.Printf("%.1f °C at 60 A\n", electrical.Temperature(30, 105, 60, 60))
	// Output:
	// 48.8 °C at half of 60 A
	// 105.0 °C at 60 A
}

// The voltage drop of 20 A over 5.5 m there and 5.5 m back, at 40 °C.
func ExampleConductor_Resistance() {
	r := tenGauge.Resistance(2*5.5, 40)
	fmt.Printf("%.2f mΩ, %.2f V\n", r.Milliohms(), quantity.Amps(20).Through(r))
	// Output: 39.66 mΩ, 0.79 V
}

func ExampleDemandOf() {
	amplifier := electrical.Load{Audio: electrical.Audio{RMS: 1000, Channels: 1, Class: electrical.ClassD}}
	d, err := electrical.DemandOf(amplifier, electrical.LoadContext{
		Kind: electrical.Amplifier, Nominal: 12, Source: electrical.Standard().Volts12, Lowest: 10.8,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Printf("%.1f A, %s\n", d.Design, d.Behaviour)
	for _, f := range d.Reasons[0].Figures[:4] {
		fmt.Printf("%s %.4g\n", f.Key, f.Value)
	}
	// Output:
	// 96.6 A, resistive
	// power_w 1000
	// efficiency 0.75
	// source_v 13.8
	// current_a 96.62
}

// A 60 W refrigerator at the end of a lead of 0.1 Ω: the lower its volts, the
// more it draws.
func ExampleOperatingPoint() {
	fridge := electrical.Demand{Behaviour: electrical.ConstantPower, Power: 60}
	i, v, err := electrical.OperatingPoint(fridge, 12.6, 100*quantity.Milliohm)
	fmt.Printf("%.2f A at %.2f V, %v\n", i, v, err)
	_, _, err = electrical.OperatingPoint(fridge, 12.6, 700*quantity.Milliohm)
	fmt.Println(err)
	// Output:
	// 4.96 A at 12.10 V, <nil>
	// the source cannot deliver that power through that resistance
}

func ExampleCurve_Opening() {
	curve := electrical.CurveOf(electrical.Blade, 20)
	for _, i := range []quantity.Amps{22, 40, 120, 240} {
		o := curve.Opening(20, i)
		fmt.Printf("%.0f A: stays closed %v, %.3f to %.3f s\n", i, o.StaysClosed, o.Min, o.Max)
	}
	// Output:
	// 22 A: stays closed true, +Inf to +Inf s
	// 40 A: stays closed false, 0.150 to 5.000 s
	// 120 A: stays closed false, 0.020 to 0.100 s
	// 240 A: stays closed false, 0.005 to 0.025 s
}

// A maker's sheet for one part, and one with a slip of the pen.
func ExampleNewCurve() {
	curve, err := electrical.NewCurve(100, []electrical.Gate{{Percent: 135, Min: 10, Max: 1800}, {Percent: 200, Min: 1, Max: 16}})
	o := curve.Opening(80, 160)
	fmt.Printf("%.0f to %.0f s, %v\n", o.Min, o.Max, err)
	_, err = electrical.NewCurve(100, []electrical.Gate{{Percent: 135, Min: 10, Max: 18}, {Percent: 200, Min: 1, Max: 160}})
	fmt.Println(err)
	// Output:
	// 1 to 16 s, <nil>
	// gate 2: opening_max_s is 160; allowed: at most the 18 s of a gate before
}

// A winch of 200 A for 10 s on a 150 A bolt-down fuse: 133 %, and 20 s asked for.
func ExampleCurve_BearsShortTime() {
	fmt.Println(electrical.CurveOf(electrical.BoltLarge, 150).BearsShortTime(150, 200, 10))
	// Output: true
}

func ExampleCarryLimit() {
	share := electrical.Standard().LoadShare
	fmt.Printf("%.1f A under the bonnet\n", electrical.CarryLimit(electrical.Blade, 25, 65, share))
	fmt.Printf("%.1f A in the cabin\n", electrical.CarryLimit(electrical.Maxi, 40, 30, share))
	// Output:
	// 19.0 A under the bonnet
	// 32.0 A in the cabin
}

func ExampleFuseResistance() {
	blade, _ := electrical.FamilyOf(electrical.Blade)
	fmt.Printf("%.2f mΩ cold\n", electrical.ColdFuseResistance(blade, 20).Milliohms())
	fmt.Printf("%.2f mΩ at 20 A\n", electrical.FuseResistance(blade, 20, 20).Milliohms())
	// Output:
	// 3.75 mΩ cold
	// 5.25 mΩ at 20 A
}

func ExampleBank_Resistance() {
	low, high := electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 70, ColdCranking: 600}.Resistance()
	fmt.Printf("%.1f to %.1f mΩ\n", low.Milliohms(), high.Milliohms())
	// Output: 3.7 to 13.5 mΩ
}

func ExampleBank_RequiredInterrupting() {
	start := electrical.Bank{Chemistry: electrical.Flooded, Nominal: 12, Capacity: 90, ColdCranking: 800}
	house := electrical.Bank{Chemistry: electrical.Lithium, Nominal: 12, Capacity: 100}
	for _, b := range []electrical.Bank{start, house} {
		need := b.RequiredInterrupting(12.8, 1*quantity.Milliohm)
		fmt.Printf("%.0f A, %s\n", need.Required, need.Reason.Source)
	}
	// Output:
	// 3000 A, ABYC E-11 table V-A
	// 4267 A, ABYC E-11: the battery maker's short-circuit figure governs
}

// Twice a cable's ampacity, for as long as a slow fuse may take.
func ExampleSection_Withstand() {
	pvc := electrical.Conductor{Size: quantity.AWG(8), Material: electrical.Copper, Insulation: electrical.PVC, Rating: 105}
	run := electrical.Section{Conductor: pvc, Ambient: 30, Ampacity: 80}
	fmt.Printf("%.0f s at 160 A, %.2f s at 800 A\n", run.Withstand(160, false), run.Withstand(800, false))
	// Output: 28 s at 160 A, 0.84 s at 800 A
}

func ExampleFuse_OpeningAt() {
	f := electrical.FuseOf(electrical.Blade, 20)
	for _, ambient := range []quantity.Celsius{30, 65, 85} {
		fmt.Printf("%.0f °C: %.1f s at the latest\n", ambient, f.OpeningAt(ambient, 30).Max)
	}
	// Output:
	// 30 °C: 128.5 s at the latest
	// 65 °C: 60.7 s at the latest
	// 85 °C: 11.4 s at the latest
}

func ExampleFuse_Overload() {
	o := electrical.FuseOf(electrical.Maxi, 40).Overload(60)
	fmt.Printf("%.0f A within %.0f min; the cable may carry %.0f A so long\n", o.I2, o.Within/60, o.Limit)
	// Output: 54 A within 30 min; the cable may carry 87 A so long
}

func ExampleDuty_Average() {
	fmt.Printf("%.0f A\n", electrical.Duty{Kind: electrical.Music}.Average(96))
	// Output: 12 A
}

// A short at the end of 5 m of 10 AWG, there and back, behind a 30 A fuse.
func ExampleFarEnd_Judge() {
	run := electrical.Section{Conductor: tenGauge, Length: 5, Ambient: 30, Ampacity: 60, Load: 24}
	v := electrical.FarEnd{
		Bank: electrical.Bank{Chemistry: electrical.AGM, Nominal: 12, ColdCranking: 700}, Source: 12.6,
		Fuse: electrical.FuseOf(electrical.Blade, 30), Sections: []electrical.Section{run, run}, Joints: 5 * quantity.Milliohm,
	}.Judge()
	fmt.Printf("%.0f A, open within %.2f s, borne for %.1f s: %s\n", v.Fault, v.Opens, v.Withstands, v.Reason.Rule)
	// Output: 238 A, open within 0.06 s, borne for 9.3 s: fault.cleared
}

func ExampleInLine_Selectivity() {
	branch, main := electrical.FuseOf(electrical.Blade, 30), electrical.FuseOf(electrical.Maxi, 40)
	s := electrical.InLine{Downstream: branch, Upstream: main, Highest: 1500}.Selectivity()
	fmt.Printf("holds up to %.0f A, total %v, ratio %.2f\n", s.UpTo, s.Total, s.Ratio)
	// Output: holds up to 133 A, total false, ratio 1.33
}

// A touring motorcycle with an amplifier that draws 96 A at full output.
func ExampleCharging_Balance() {
	music := electrical.EnergyDuty(electrical.Amplifier, 4).Average(96)
	b := electrical.Charging{
		Rated: 45, IdleShare: 0.45, CruiseShare: 0.9, Standing: 16, Running: music, Reserve: 4,
		Resting: music, Capacity: 20, Chemistry: electrical.AGM, Starts: true,
	}.Balance()
	fmt.Printf("%.1f A at idle, %.1f A at cruising, %.1f h with the engine off\n", b.Idle.Surplus, b.Cruise.Surplus, b.Hours)
	// Output: -7.8 A at idle, 12.5 A at cruising, 0.5 h with the engine off
}

// Someone cut a third of 10 AWG's strands so that it went into its terminal.
func ExamplePartialStrands() {
	h, err := electrical.PartialStrands(tenGauge, electrical.Surroundings{}, 2.0/3, 30)
	fmt.Printf("counts as %v, %.0f A; %.1f to %.1f W at 30 A, %v\n", h.Counts, h.Ampacity, h.Heat.Low, h.Heat.High, err)
	// Output: counts as 12 AWG, 45 A; 0.9 to 4.5 W at 30 A, <nil>
}

func ExampleDefaults_PlacementOf() {
	d := electrical.Standard()
	for _, c := range []electrical.Category{electrical.Boat, electrical.Car} {
		p := d.PlacementOf(c, electrical.Flooded, electrical.EngineSpace, false)
		fmt.Printf("%s: %.0f mm, %s\n", c, p.Limit.Millimetres(), p.Reason.Source)
	}
	// Output:
	// boat: 178 mm, 33 CFR 183.455(b)(1)
	// car: 450 mm, common practice, no source
}

// A minute's pull in every five heats like less than half the current.
func ExampleDuty_Heating() {
	d := electrical.Duty{Kind: electrical.Intermittent, On: time.Minute, Off: 4 * time.Minute}
	fmt.Printf("%.1f A\n", d.Heating(100))
	// Output: 44.7 A
}

func ExampleShortTimePeak() {
	winch := electrical.Duty{Kind: electrical.Intermittent, On: time.Minute, Off: 4 * time.Minute}
	lead := electrical.Conductor{Size: quantity.AWG(6), Material: electrical.Copper, Insulation: electrical.CrossLinked, Rating: 105}
	fmt.Printf("%.0f K in a pull, %.0f °C at its end\n",
		electrical.AdiabaticRise(lead, 100, time.Minute), electrical.ShortTimePeak(lead, 30, winch, 100, 120))
	// Output: 23 K in a pull, 63 °C at its end
}

func ExampleMinimumSize() {
	size, why := electrical.MinimumSize(electrical.Boat, electrical.Cabin)
	n, _ := size.Gauge()
	fmt.Println(n, "AWG,", why.Source)
	// Output: 16 AWG, 33 CFR 183.425(e)
}
