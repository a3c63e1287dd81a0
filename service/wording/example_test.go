package wording_test

import (
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/wording"
)

func ExampleTeller_Reason() {
	reason := electrical.Because("conductor.ampacity", electrical.SourceAmpacity,
		electrical.SizeFigure("conductor", quantity.AWG(10)), electrical.Num("insulation_c", 105, electrical.UnitC),
		electrical.Num("ampacity_a", 51, electrical.UnitA), electrical.Num("ambient_c", 50, electrical.UnitC),
		electrical.Word("environment", electrical.EngineSpace))
	fmt.Println(wording.For("en", wording.US).Reason(reason))
	// Output: 10 AWG with 105 °C insulation carries 51 A here (engine space, 50 °C).
}

func ExampleTeller_Value() {
	length := electrical.Num("length_m", 5.5, electrical.UnitM)
	fmt.Println(wording.For("en", wording.US).Value(length))
	fmt.Println(wording.For("en", wording.Metric).Value(length))
	// Output:
	// 18 ft
	// 5.5 m
}
