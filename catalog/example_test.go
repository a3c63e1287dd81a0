package catalog_test

import (
	"fmt"
	"os"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
)

func ExampleRead() {
	c, err := catalog.Read(os.DirFS("testdata/minimal"))
	if err != nil {
		fmt.Println(err) // one line per fault
		return
	}
	cable, _ := c.Part("CB-08-CU-RD")
	fmt.Println(cable.Description, cable.Price)
	op, _ := c.Operation(catalog.TaskCrimpEnd, quantity.AWG(8))
	fmt.Println(op.Code, op.MilliMinutes)
	// Output:
	// Cable 8 AWG copper, red 2.10 USD
	// CRIMP-THIN 8000
}

func ExampleFault() {
	f := catalog.Fault{File: "fuses.csv", Line: 12, Column: 3, Problem: `price: "6,00" is not a number`, Allowed: "above 0, up to 1000000 USD"}
	fmt.Println(f.Error())
	// Output:
	// fuses.csv:12:3: price: "6,00" is not a number; allowed: above 0, up to 1000000 USD
}
