package guide

import (
	"context"
	"errors"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/prompt"
	"example.com/lugbook/clients/jobfile"
)

// Answers to questions of yes and no, of which some may be left to what is usual.
const (
	yes   = "yes"
	no    = "no"
	usual = "usual"
)

// askPlace asks where a piece of equipment goes and how it is used. Again: it had
// its place in another vehicle.
func (g *Guide) askPlace(ctx context.Context, d *draft, device *lugbookv1.Device, again bool) error {
	title := d.what(device)
	if again {
		title += ", in this vehicle"
	}
	zone := device.GetZone()
	for {
		err := g.Asker.Ask(ctx, prompt.Screen{Title: title, Fields: []prompt.Field{
			{Label: "Where is it mounted?", Choices: zoneChoices(d.vehicle), Value: &zone},
		}})
		if err != nil {
			return err
		}
		device.Zone = zone
		if err := g.askUse(ctx, d, device, title); !errors.Is(err, prompt.ErrBack) {
			return err
		}
	}
}

// askUse asks how many of a device there are, what feeds it and how it is used.
func (g *Guide) askUse(ctx context.Context, d *draft, device *lugbookv1.Device, title string) error {
	battery := device.GetFedFrom()
	if !hasBattery(d.vehicle, battery) {
		battery = usualBattery(d.vehicle)
	}
	quantity := fmt.Sprint(max(device.GetQuantity(), 1))
	engineOff, switched := usual, no
	if device.GetSwitched() {
		switched = yes
	}
	fields := []prompt.Field{{Label: "How many, all fed alike?", Value: &quantity, Check: func(text string) error {
		_, err := parseQuantity(text)
		return err
	}}}
	if len(d.vehicle.GetBatteries()) > 1 {
		fields = append(fields, prompt.Field{Label: "Which battery feeds it?", Choices: batteryChoices(d.vehicle), Value: &battery})
	} else {
		battery = ""
	}
	fields = append(fields,
		prompt.Field{Label: "Is it used with the engine off?", Value: &engineOff, Choices: []prompt.Choice{
			{Value: usual, Label: "as is usual for its kind"}, {Value: yes, Label: "yes"}, {Value: no, Label: "no"},
		}},
		prompt.Field{Label: "Does the driver have a switch for it?", Value: &switched, Choices: []prompt.Choice{
			{Value: no, Label: "no"}, {Value: yes, Label: "yes; above 10 A it gets a relay"},
		}},
	)
	if err := g.Asker.Ask(ctx, prompt.Screen{Title: title, Fields: fields}); err != nil {
		return err
	}
	n, err := parseQuantity(quantity)
	if err != nil {
		return err
	}
	device.FedFrom, device.Quantity, device.Switched, device.UsedEngineOff = battery, n, switched == yes, nil
	if engineOff != usual {
		off := engineOff == yes
		device.UsedEngineOff = &off
	}
	return nil
}

// usualBattery is the battery that is offered first: one for the equipment where
// the vehicle has such (common practice, no source), else its first.
func usualBattery(v *lugbookv1.Vehicle) string {
	for _, b := range v.GetBatteries() {
		if b.GetRole() == lugbookv1.BatteryRole_BATTERY_ROLE_HOUSE {
			return b.GetId()
		}
	}
	return ""
}

// zoneChoices are the places of a vehicle.
func zoneChoices(v *lugbookv1.Vehicle) []prompt.Choice {
	var list []prompt.Choice
	for _, z := range v.GetZones() {
		label := z.GetLabel()
		if label == "" {
			label = z.GetId()
		}
		if around := jobfile.Word(z.GetEnvironment().Descriptor(), z.GetEnvironment().Number()); around != "" {
			label += " · " + spaced(around)
		}
		list = append(list, prompt.Choice{Value: z.GetId(), Label: label})
	}
	return list
}

// batteryChoices are the batteries of a vehicle.
func batteryChoices(v *lugbookv1.Vehicle) []prompt.Choice {
	var list []prompt.Choice
	for _, b := range v.GetBatteries() {
		label := b.GetId()
		if chemistry := jobfile.Word(b.GetChemistry().Descriptor(), b.GetChemistry().Number()); chemistry != "" {
			label += " · " + spaced(chemistry)
		}
		list = append(list, prompt.Choice{Value: b.GetId(), Label: label})
	}
	return list
}
