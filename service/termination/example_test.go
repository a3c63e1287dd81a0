package termination_test

import (
	"errors"
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/termination"
)

// One end of a 4 AWG feed on a bolt-down holder in a van.
func ExamplePlanner_Plan() {
	shop, err := catalog.Read(demo.Files())
	if err != nil {
		fmt.Println(err)
		return
	}
	part, _ := shop.Entry("CB-04-CU-RD")
	plan, err := termination.NewPlanner(shop).Plan(termination.Joint{
		Landing:     catalog.Landing{Kind: catalog.OnHolder, Stud: "M8"},
		Conductor:   part.(*catalog.Conductor),
		Category:    electrical.Van,
		Environment: electrical.EngineSpace,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(plan.Method, plan.Terminal.SKU)
	fmt.Printf("strip %g mm, sleeve %s cut to %g mm, sample bears %g N\n", float64(plan.Strip), plan.Sleeve.SKU, float64(plan.SleeveCut), float64(plan.Pull))
	for _, step := range plan.Steps {
		fmt.Println("-", step.Code)
	}
	// Output:
	// crimp_and_solder LG-04-M8
	// strip 17 mm, sleeve SL-3-12-BK cut to 40 mm, sample bears 623 N
	// - cut_square
	// - sleeve_on
	// - strip
	// - all_strands
	// - crimp
	// - solder_top
	// - tug
	// - shrink
	// - first_clamp
	// - stud
}

// An end that the landing does not admit says what binds.
func ExampleUnfit() {
	shop, err := catalog.Read(demo.Files())
	if err != nil {
		fmt.Println(err)
		return
	}
	part, _ := shop.Entry("CB-04-CU-RD")
	_, err = termination.NewPlanner(shop).Plan(termination.Joint{
		Landing:   catalog.Landing{Kind: catalog.OnSetScrew, Largest: quantity.AWG(8)},
		Conductor: part.(*catalog.Conductor),
		Category:  electrical.Car, Environment: electrical.Cabin,
	})
	var unfit *termination.Unfit
	if errors.As(err, &unfit) {
		fmt.Println(unfit.Constraint)
	}
	// Output: landing.largest
}

// A 4 AWG lug with a 16 mm barrel: (16 + 14.25) mm over 0.85, up to the next 5 mm.
func ExampleSleeveCut() {
	fmt.Println(float64(termination.SleeveCut(16, 1, 9.5, 15)))
	// Output: 40
}
