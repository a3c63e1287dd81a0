package quantity_test

import (
	"fmt"

	"example.com/lugbook/api/quantity"
)

// show prints a result or why there is none.
func show(v any, err error) {
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(v)
}

func ExampleParse() {
	show(quantity.Parse(quantity.Length, "17 ft"))
	show(quantity.Parse(quantity.Length, "17"))
	// Output:
	// 5.1816
	// "17" is not a length: it has no unit; write m, cm, mm, ft or in
}

func ExampleParseBare() {
	show(quantity.ParseBare(quantity.Voltage, "12"))
	show(quantity.ParseBare(quantity.Voltage, "12 V"))
	// Output:
	// 12
	// 12
}

func ExampleParseFor() {
	show(quantity.ParseFor("_mm", "1/2 in"))
	// Output: 12.7
}

func ExampleUnitOf() {
	fmt.Println(quantity.UnitOf("_mohm"))
	// Output: resistance 1000 true
}

func ExampleDimension_Units() {
	fmt.Println(quantity.Current.Units())
	// Output: [A mA kA]
}

func ExampleParseAmps() {
	show(quantity.ParseAmps("60A"))
	show(quantity.ParseAmps("-5 A"))
	// Output:
	// 60 A
	// "-5 A" is not a current: it is below zero; write A, mA or kA
}

func ExampleParseVolts() {
	show(quantity.ParseVolts("13,8 V"))
	// Output: 13.8 V
}

func ExampleParseOhms() {
	show(quantity.ParseOhms("3.27 mohm"))
	// Output: 3.27 mΩ
}

func ExampleParseWatts() {
	show(quantity.ParseWatts("1,000w rms"))
	// Output: 1 kW
}

func ExampleParseMetres() {
	show(quantity.ParseMetres(`20'6"`))
	// Output: 6.25 m
}

func ExampleParseMillimetres() {
	show(quantity.ParseMillimetres("3 1/2 in"))
	// Output: 88.9 mm
}

func ExampleParseSquareMillimetres() {
	show(quantity.ParseSquareMillimetres("16 sq mm"))
	// Output: 16 mm²
}

func ExampleParseCelsius() {
	show(quantity.ParseCelsius("122F"))
	// Output: 50 °C
}

func ExampleParseNewtons() {
	show(quantity.ParseNewtons("50 lb"))
	// Output: 222 N
}

func ExampleParseAmpHours() {
	show(quantity.ParseAmpHours("100Ah"))
	// Output: 100 Ah
}

func ExampleParsePercent() {
	show(quantity.ParsePercent("3 percent"))
	// Output: 3%
}

func ExampleParseDuration() {
	show(quantity.ParseDuration("1 h 30 min"))
	// Output: 1h30m0s
}

func ExampleParseSize() {
	show(quantity.ParseSize("8ga"))
	show(quantity.ParseSize("00"))
	show(quantity.ParseSize("16mm2"))
	show(quantity.ParseSize("8.5"))
	// Output:
	// 8 AWG
	// 2/0 AWG
	// 16 mm²
	// "8.5" is not a conductor size: gauges are whole numbers, and square millimetres need their unit; write 8, 1/0 or 16 mm2
}

func ExampleAWG() {
	size := quantity.AWG(-3)
	fmt.Println(size, size.Diameter(), size.Area())
	// Output: 4/0 AWG 11.7 mm 107 mm²
}

func ExampleMetric() {
	fmt.Println(quantity.Metric(2.5))
	// Output: 2.5 mm²
}

func ExampleSize_Compare() {
	fmt.Println(quantity.AWG(8).Compare(quantity.Metric(10)))
	// Output: -1
}

func ExampleMetres_StringUS() {
	fmt.Println(quantity.Metres(5.1816).StringUS())
	// Output: 17 ft
}
