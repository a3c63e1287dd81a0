package design_test

import (
	"fmt"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
)

// What it takes to feed a mono amplifier in the boot of a sedan.
func ExampleDesigner_Design() {
	shop, err := catalog.Read(demo.Files())
	if err != nil {
		fmt.Println(err)
		return
	}
	sedan, _ := shop.Vehicle("sedan")
	job := design.System{Devices: []design.Device{{
		ID: "sub", Kind: electrical.Amplifier, Zone: "boot",
		Load: electrical.Load{Audio: electrical.Audio{RMS: 500, Class: electrical.ClassD}},
	}}}
	answer, err := design.New(shop).Design(&sedan, job)
	if err != nil {
		fmt.Println(err)
		return
	}
	sub := answer.Circuits[0]
	fmt.Printf("%.1f A on %s in %s\n", float64(sub.Load), sub.Protection.Fuse.Description, sub.Protection.Holder.Description)
	for _, run := range sub.Runs {
		fmt.Printf("%s → %s: %.2f m of %v\n", run.From.Kind, run.To.Kind, float64(run.Length), run.Conductor.Size)
	}
	// Output:
	// 48.3 A on Maxi blade fuse, 70 A in Maxi holder, in-line, sealed, 6 AWG tails, to 80 A
	// battery_positive → fuse_holder: 0.45 m of 4 AWG
	// fuse_holder → device_positive: 5.52 m of 4 AWG
	// device_negative → chassis: 0.50 m of 4 AWG
}

// A bare run: 60 A over 5.5 m of two-wire feed.
func ExampleDesigner_Size() {
	shop, err := catalog.Read(demo.Files())
	if err != nil {
		fmt.Println(err)
		return
	}
	answer, err := design.New(shop).Size(design.RunQuestion{
		Kind: electrical.Amplifier, Category: electrical.Car, Load: electrical.Load{Current: 60}, Length: 5.5, Nominal: 12,
		Environment: electrical.Cabin, Material: electrical.Copper, Insulation: electrical.PVC, Rating: 105,
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(answer.Conductor.Size, answer.Metric, answer.Fuse.Rating)
	// Output: 1 AWG 50 mm² 75 A
}
