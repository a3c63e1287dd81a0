package design

import (
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// withEquipment fills in from the catalog's equipment what the job does not state.
func withEquipment(d Device, cat *catalog.Catalog) (Device, *catalog.Equipment, bool) {
	if d.EquipmentSKU == "" {
		if d.Kind == "" {
			d.Kind = electrical.OtherDevice
		}
		if d.Converter.Given() && ratings(d.Load) == 0 {
			d.Load = converterLoad(&d)
		}
		return d, nil, true
	}
	sold, ok := cat.Device(d.EquipmentSKU)
	if !ok {
		return d, nil, false
	}
	e := &sold
	if d.Kind == "" {
		d.Kind = e.Device
	}
	if ratings(d.Load) == 0 { // one that is stated wrongly is not hidden
		d.Load = e.Load
	}
	if d.Surge.Current == 0 {
		d.Surge = e.Surge
	}
	if !d.Converter.Given() {
		d.Converter = e.Converter
	}
	if d.MinVolts == 0 {
		d.MinVolts = e.MinVolts
	}
	if d.Maker.Fuse == 0 {
		d.Maker.Fuse = e.MakerFuse
	}
	if d.Maker.Positive.Kind == "" {
		d.Maker.Positive = e.Positive
	}
	if d.Maker.Negative.Kind == "" {
		d.Maker.Negative = e.Negative
	}
	if d.Label == "" {
		d.Label = e.Description
	}
	return d, e, true
}

// ratings counts how many ways the load is stated.
func ratings(l electrical.Load) int {
	n := 0
	for _, given := range []bool{l.Current != 0, l.Input != 0, l.Output != 0, l.Audio != (electrical.Audio{})} {
		if given {
			n++
		}
	}
	return n
}

// largeCurrent is where a device with no stated terminals is taken to have studs
// instead of a flying lead (common practice, no source).
const largeCurrent quantity.Amps = 30

// landingOf gives what the device offers a conductor: the maker's, else what its
// kind usually has.
func landingOf(stated catalog.Landing, kind electrical.DeviceKind, load quantity.Amps, largest quantity.Size) catalog.Landing {
	if stated.Kind != "" {
		if stated.Largest.IsZero() {
			stated.Largest = largest
		}
		if stated.Stud == "" && (stated.Kind == catalog.OnStud || stated.Kind == catalog.OnChassis) {
			stated.Stud = usualStud(load)
		}
		return stated
	}
	l := catalog.Landing{Largest: largest}
	switch {
	case kind == electrical.Amplifier || kind == electrical.Charger:
		l.Kind = catalog.OnSetScrew
	case load >= largeCurrent || kind == electrical.Inverter || kind == electrical.Winch || kind == electrical.Windlass:
		l.Kind, l.Stud = catalog.OnStud, usualStud(load)
	default:
		l.Kind = catalog.OnFlyingLead
	}
	return l
}

// usualStud: M6 up to 100 A, M8 above (common practice, no source).
func usualStud(load quantity.Amps) catalog.Stud {
	if load > 100 {
		return "M8"
	}
	return "M6"
}

// usualGroundStud is the bolt of a chassis point whose size the vehicle does not
// state (common practice, no source).
const usualGroundStud catalog.Stud = "M8"

// chassisAllowed tells whether a device may return over the body: only on
// steel-bodied cars, vans and trucks, at a zone with sound bare metal.
func chassisAllowed(v *catalog.Vehicle, z *catalog.Zone, d *Device) bool {
	if d.Maker.ReturnToBattery || !z.ChassisGround || v.Body != catalog.Steel {
		return false
	}
	switch v.Category {
	case electrical.Car, electrical.Van, electrical.Truck:
		return true
	}
	return false
}

// chassisOhms is what the body and its straps are allowed for. A truck's is taken
// as body on frame.
func chassisOhms(d *electrical.Defaults, v *catalog.Vehicle) quantity.Ohms {
	if v.Category == electrical.Truck {
		return d.ChassisFrame
	}
	return d.ChassisSteel
}
