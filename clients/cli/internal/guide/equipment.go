package guide

import (
	"context"
	"errors"
	"fmt"
	"slices"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/prompt"
	"example.com/lugbook/clients/jobfile"
)

// Answers to what comes after a piece of equipment.
const (
	goOn    = "go on"
	more    = "more"
	takeOut = "take out " // and the id of the device
)

// askEquipment asks for one piece of equipment after the other.
func (g *Guide) askEquipment(ctx context.Context, d *draft, first bool) error {
	if err := g.lookUp(ctx, d); err != nil {
		return err
	}
	for {
		system := d.job.GetSystem()
		if len(system.GetDevices()) == 0 {
			if err := g.addDevice(ctx, d, first); err != nil {
				return err
			}
		}
		answer := goOn
		if err := g.Asker.Ask(ctx, g.equipmentMenu(d, &answer, first)); err != nil {
			return err
		}
		id, out := strings.CutPrefix(answer, takeOut)
		switch {
		case answer == goOn:
			return nil
		case out:
			system.Devices = slices.DeleteFunc(system.Devices, func(device *lugbookv1.Device) bool { return device.GetId() == id })
			g.Asker.Tell("Taken out.\n")
		default:
			if err := g.addDevice(ctx, d, false); err != nil && !errors.Is(err, prompt.ErrBack) {
				return err
			}
		}
	}
}

// lookUp gets what the questions about equipment offer: the vehicle's places, and
// the shop's equipment.
func (g *Guide) lookUp(ctx context.Context, d *draft) error {
	if d.vehicle == nil { // it was given, and not asked for
		if err := g.lookUpVehicle(ctx, d); err != nil {
			return err
		}
	}
	_, err := g.equipment(ctx, d)
	return err
}

// equipmentMenu asks what comes after a piece of equipment.
func (g *Guide) equipmentMenu(d *draft, answer *string, first bool) prompt.Screen {
	choices := []prompt.Choice{{Value: goOn, Label: "That is all: go on"}, {Value: more, Label: "Add another piece"}}
	for _, device := range d.job.GetSystem().GetDevices() {
		choices = append(choices, prompt.Choice{Value: takeOut + device.GetId(), Label: "Take out: " + d.describe(device)})
	}
	return prompt.Screen{
		Title: "Equipment so far: " + counted(len(d.job.GetSystem().GetDevices())), First: first,
		Fields: []prompt.Field{{Label: "What next?", Choices: choices, Value: answer}},
	}
}

// counted gives a number of pieces.
func counted(n int) string {
	if n == 1 {
		return "1 piece"
	}
	return fmt.Sprintf("%d pieces", n)
}

// addDevice asks for a piece of equipment and adds it.
func (g *Guide) addDevice(ctx context.Context, d *draft, first bool) error {
	for {
		device := &lugbookv1.Device{}
		if err := g.askWhat(ctx, d, device, first); err != nil {
			return err
		}
		err := g.askPlace(ctx, d, device, false)
		if errors.Is(err, prompt.ErrBack) {
			continue
		}
		if err != nil {
			return err
		}
		system := d.job.GetSystem()
		system.Devices = append(system.Devices, device)
		Name(system.GetDevices())
		g.Asker.Tell(fmt.Sprintf("%d. %s\n", len(system.GetDevices()), d.describe(device)))
		return nil
	}
}

// notOfCatalog is the answer for equipment that the customer brings.
const notOfCatalog = "\tother"

// askWhat asks what the equipment is.
func (g *Guide) askWhat(ctx context.Context, d *draft, device *lugbookv1.Device, first bool) error {
	choices := []prompt.Choice{{Value: notOfCatalog, Label: "Something else, or of the customer's own: say what it draws"}}
	for _, part := range d.parts {
		label := strings.Join([]string{part.GetDescription(), part.GetPrice().GetAmount(), part.GetSku()}, " · ")
		choices = append(choices, prompt.Choice{Value: part.GetSku(), Label: label})
	}
	for {
		answer := ""
		err := g.Asker.Ask(ctx, prompt.Screen{
			Title: "What is to be fitted?", First: first,
			Fields: []prompt.Field{{Label: "equipment", Help: "Type a part of its name, or move with the arrow keys.", Choices: choices, Filter: true, Value: &answer}},
		})
		if err != nil {
			return err
		}
		if answer != notOfCatalog && answer != "" {
			device.EquipmentSku = answer
			return nil
		}
		if err := g.askOther(ctx, device); !errors.Is(err, prompt.ErrBack) {
			return err
		}
	}
}

// askOther asks for the kind of equipment that the catalog does not have, and what
// it draws.
func (g *Guide) askOther(ctx context.Context, device *lugbookv1.Device) error {
	var choices []prompt.Choice
	for _, word := range jobfile.Words(device.GetKind().Descriptor()) {
		choices = append(choices, prompt.Choice{Value: word, Label: spaced(word)})
	}
	kind := ""
	for {
		err := g.Asker.Ask(ctx, prompt.Screen{
			Title:  "What kind of equipment is it?",
			Fields: []prompt.Field{{Label: "kind", Help: "Type a part of it, or move with the arrow keys.", Choices: choices, Filter: true, Value: &kind}},
		})
		if err != nil {
			return err
		}
		number, err := jobfile.ParseWord(device.GetKind().Descriptor(), kind)
		if err != nil {
			return err
		}
		device.Kind = lugbookv1.DeviceKind(number)
		if err := g.askRating(ctx, device, spaced(kind)); !errors.Is(err, prompt.ErrBack) {
			return err
		}
	}
}

// askRating asks what equipment of a kind draws and how it is called.
func (g *Guide) askRating(ctx context.Context, device *lugbookv1.Device, kind string) error {
	help := "Power or current of one piece, as its plate says: 60W or 5A."
	switch device.GetKind() {
	case lugbookv1.DeviceKind_DEVICE_KIND_AMPLIFIER:
		help = "Its output in watts RMS, all channels together: 300W. Or the current it draws: 30A."
	case lugbookv1.DeviceKind_DEVICE_KIND_INVERTER:
		help = "Its output in watts: 2000W. Or the current it draws: 185A."
	}
	rating := ""
	label := device.GetLabel()
	err := g.Asker.Ask(ctx, prompt.Screen{Title: "The " + kind, Fields: []prompt.Field{
		{Label: "What does it draw?", Help: help, Value: &rating, Check: func(text string) error { return setRating(&lugbookv1.Device{}, text) }},
		{Label: "Its name on the quote", Help: "Enter alone: " + kind + ".", Value: &label},
	}})
	if err != nil {
		return err
	}
	device.Label = strings.TrimSpace(label)
	if device.Label == "" {
		device.Label = strings.ToUpper(kind[:1]) + kind[1:]
	}
	return setRating(device, rating)
}

// what says what a device is.
func (d *draft) what(device *lugbookv1.Device) string {
	if device.GetLabel() != "" {
		return device.GetLabel()
	}
	for _, part := range d.parts {
		if part.GetSku() == device.GetEquipmentSku() {
			return part.GetDescription()
		}
	}
	if device.GetEquipmentSku() != "" {
		return device.GetEquipmentSku()
	}
	return spaced(jobfile.Word(device.GetKind().Descriptor(), device.GetKind().Number()))
}

// describe says what a device is, how many of them and where, in one line.
func (d *draft) describe(device *lugbookv1.Device) string {
	text := d.what(device)
	if device.GetQuantity() > 1 {
		text = fmt.Sprintf("%d × %s", device.GetQuantity(), text)
	}
	where := device.GetZone()
	for _, z := range d.vehicle.GetZones() {
		if z.GetId() == where && z.GetLabel() != "" {
			where = z.GetLabel()
		}
	}
	return text + "; " + where
}

// spaced gives a word of the contract as people write it.
func spaced(word string) string {
	return strings.NewReplacer("_", " ", "usb", "USB", "agm", "AGM").Replace(word)
}
