package guide

import (
	"context"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/prompt"
)

// pageSize is how much of the catalog is asked for at once: the most there is.
const pageSize = 1000

// askVehicle asks which vehicle it is for.
func (g *Guide) askVehicle(ctx context.Context, d *draft, first bool) error {
	vehicles, err := g.vehicles(ctx)
	if err != nil {
		return err
	}
	var choices []prompt.Choice
	for _, v := range vehicles {
		choices = append(choices, prompt.Choice{Value: v.GetId(), Label: fmt.Sprintf("%s · %s · %s", v.GetLabel(), quantity.Volts(v.GetNominalV()), v.GetId())})
	}
	before := d.job.GetVehicleId()
	err = g.Asker.Ask(ctx, prompt.Screen{
		Title:  "Which vehicle is it for?",
		Fields: []prompt.Field{{Label: "vehicle", Help: "Type a part of its name, or move with the arrow keys.", Choices: choices, Filter: true, Value: &d.job.VehicleId}},
		First:  first,
	})
	if err != nil {
		return err
	}
	if err := g.lookUpVehicle(ctx, d); err != nil {
		return err
	}
	g.Asker.Tell("Vehicle: " + d.vehicle.GetLabel() + "\n")
	if before != d.job.GetVehicleId() {
		return g.placeAnew(ctx, d)
	}
	return nil
}

// lookUpVehicle gets the job's vehicle in full.
func (g *Guide) lookUpVehicle(ctx context.Context, d *draft) error {
	reply, err := g.Catalog.GetVehicle(ctx, &lugbookv1.GetVehicleRequest{Id: d.job.GetVehicleId()})
	if err != nil {
		return err
	}
	d.vehicle = reply.GetVehicle()
	return nil
}

// placeAnew asks again where the equipment goes that another vehicle has no place
// for.
func (g *Guide) placeAnew(ctx context.Context, d *draft) error {
	for _, device := range d.job.GetSystem().GetDevices() {
		if hasZone(d.vehicle, device.GetZone()) && (device.GetFedFrom() == "" || hasBattery(d.vehicle, device.GetFedFrom())) {
			continue
		}
		if err := g.askPlace(ctx, d, device, true); err != nil {
			return err
		}
	}
	return nil
}

// hasZone tells that a vehicle has a zone.
func hasZone(v *lugbookv1.Vehicle, id string) bool {
	for _, z := range v.GetZones() {
		if z.GetId() == id {
			return true
		}
	}
	return false
}

// hasBattery tells that a vehicle has a battery.
func hasBattery(v *lugbookv1.Vehicle, id string) bool {
	for _, b := range v.GetBatteries() {
		if b.GetId() == id {
			return true
		}
	}
	return false
}

// vehicles gives all vehicles of the catalog.
func (g *Guide) vehicles(ctx context.Context) ([]*lugbookv1.Vehicle, error) {
	var list []*lugbookv1.Vehicle
	request := &lugbookv1.ListVehiclesRequest{PageSize: pageSize}
	for {
		reply, err := g.Catalog.ListVehicles(ctx, request)
		if err != nil {
			return nil, err
		}
		list = append(list, reply.GetVehicles()...)
		if reply.GetNextPageToken() == "" {
			return list, nil
		}
		request.PageToken = reply.GetNextPageToken()
	}
}

// equipment gives the equipment of the catalog; it is asked for once.
func (g *Guide) equipment(ctx context.Context, d *draft) ([]*lugbookv1.Part, error) {
	if d.parts != nil {
		return d.parts, nil
	}
	var list []*lugbookv1.Part
	request := &lugbookv1.ListPartsRequest{Kind: lugbookv1.PartKind_PART_KIND_EQUIPMENT, PageSize: pageSize}
	for {
		reply, err := g.Catalog.ListParts(ctx, request)
		if err != nil {
			return nil, err
		}
		list = append(list, reply.GetParts()...)
		if reply.GetNextPageToken() == "" {
			d.parts = list
			return list, nil
		}
		request.PageToken = reply.GetNextPageToken()
	}
}
