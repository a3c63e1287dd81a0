package design

import (
	"fmt"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
)

// limitOverRated is the most that a converter gives into a short, over its rated
// output, where its maker does not say (from memory: power supplies limit between 1.05
// and 1.5 of their rating).
const limitOverRated quantity.Amps = 1.5

// converterOf gives what a converter gives, with what is usual where its maker does
// not say. Its output is then taken at the nominal volts, the lowest it may have.
func converterOf(d *Device) catalog.Converter {
	c := d.Converter
	if c.Output == 0 {
		c.Output = c.Nominal
	}
	if c.Limit == 0 {
		c.Limit = c.Rated * limitOverRated
	}
	return c
}

// converterOrigin makes the output of a converter something that feeds circuits. It
// holds its volts whether the engine runs or not. Its terminals are alike on both
// sides.
func converterOrigin(d *Device, defaults *electrical.Defaults) *origin {
	c := converterOf(d)
	o := &origin{ID: d.ID, Zone: d.Zone, nominal: c.Nominal, resting: c.Output, bank: electrical.Bank{Nominal: c.Nominal, Rated: c.Rated, Limit: c.Limit},
		positive: landingOf(d.Maker.Positive, d.Kind, c.Rated, makerLargest(d)), negative: landingOf(d.Maker.Negative, d.Kind, c.Rated, makerLargest(d))}
	o.source, _ = defaults.SourceAt(c.Nominal) // validated
	o.source.Running = c.Output
	return o
}

// converterLoad gives the load of a converter whose job states none: its rated output.
func converterLoad(d *Device) electrical.Load {
	c := converterOf(d)
	return electrical.Load{Output: quantity.Watts(float64(c.Output) * float64(c.Rated)), Efficiency: d.Load.Efficiency}
}

// feeds tells that a device is a converter with circuits behind it.
func feeds(plans []circuitPlan, d *Device) bool {
	if !d.Converter.Given() {
		return false
	}
	for i := range plans {
		if plans[i].origin.isConverter() && plans[i].origin.ID == d.ID {
			return true
		}
	}
	return false
}

// planOf gives the circuit of a device.
func planOf(plans []circuitPlan, id string) *circuitPlan {
	for i := range plans {
		if plans[i].device.ID == id {
			return &plans[i]
		}
	}
	return nil
}

// throughConverter gives what a converter takes in at the nominal volts on its input
// side for a current on its output side.
func throughConverter(c *circuitPlan, out quantity.Amps) quantity.Amps {
	efficiency := c.device.Load.Efficiency
	if efficiency == 0 {
		efficiency = electrical.ConverterEfficiency(c.device.Kind)
	}
	return out * quantity.Amps(float64(converterOf(&c.device).Output/c.need.nominal)/efficiency)
}

// servesConverters asks that every converter gives what the circuits behind it draw,
// and that the input stated for it is enough for them.
func (s *solver) servesConverters(plans []circuitPlan) *Unmet {
	for i := range plans {
		c := &plans[i]
		if !c.device.Converter.Given() {
			continue
		}
		fed := fedFrom(plans, s.originOf(c.device.ID))
		if unmet := outputServes(c, fed); unmet != nil {
			return unmet
		}
		if unmet := inputServes(c, fed); unmet != nil {
			return unmet
		}
	}
	return nil
}

// outputServes asks that all that hangs on a converter together stays within its rated
// output, and any one of them starting beside the others within the limit that its
// maker states, else within the rated output too.
func outputServes(c *circuitPlan, fed []circuitPlan) *Unmet {
	together := quantity.Amps(0)
	for i := range fed {
		together += fed[i].need.peak
	}
	rated := c.device.Converter.Rated
	if together > rated {
		return converterUnmet(c, "converter_output", "nearest.converter_output", together, "output_a", rated)
	}
	briefly := max(rated, c.device.Converter.Limit)
	for i := range fed {
		n := &fed[i].need
		if start := together - n.peak + n.surge.Current; n.surge.Current > n.peak && start > briefly {
			return converterUnmet(c, "converter_start", "nearest.converter_output", start, "output_a", briefly)
		}
	}
	return nil
}

// inputSlack absorbs the rounding of float arithmetic where a full output meets the
// input that follows from it.
const inputSlack quantity.Amps = 1e-9

// inputServes asks that the input stated for a converter is enough for what hangs on
// it.
func inputServes(c *circuitPlan, fed []circuitPlan) *Unmet {
	out := quantity.Amps(0)
	for i := range fed {
		out += fed[i].need.load
	}
	needed, stated := throughConverter(c, out), c.need.demand.Design
	if needed <= stated+inputSlack {
		return nil
	}
	return converterUnmet(c, "converter_input", "nearest.converter_input", needed, "stated_a", stated)
}

func converterUnmet(c *circuitPlan, constraint, nearest string, needed quantity.Amps, key string, given quantity.Amps) *Unmet {
	needs := electrical.Num("required_a", needed, electrical.UnitA)
	return &Unmet{Constraint: constraint, At: c.device.ID, Figures: []electrical.Figure{needs, electrical.Num(key, given, electrical.UnitA)},
		Nearest: []electrical.Reason{electrical.Because(nearest, "", needs)}}
}

// converters asks that converters state what they give, and that what they feed is
// there. Every device has its equipment filled in.
func (c *checker) converters(devices []Device, batteries map[string]bool) {
	feeding, allowed := map[string]quantity.Volts{}, map[string]bool{}
	for id := range batteries {
		allowed[id] = true
	}
	for i := range devices {
		d, at := &devices[i], fmt.Sprintf("system.devices[%d]", i)
		if !d.Converter.Given() {
			continue
		}
		c.converter(at, d, batteries)
		feeding[d.ID], allowed[d.ID] = d.Converter.Nominal, true
	}
	for i := range devices {
		d, at := &devices[i], fmt.Sprintf("system.devices[%d].fed_from", i)
		_, behind := feeding[d.FedFrom]
		switch {
		case d.FedFrom == "":
		case !allowed[d.FedFrom]:
			c.add(at, "unknown_battery", electrical.Name("given", d.FedFrom), electrical.Name("allowed", list(sortedKeys(allowed))))
		case behind && d.Converter.Given():
			c.add(at, "converter_behind_converter")
		}
	}
}

// converter asks for one converter's own figures.
func (c *checker) converter(at string, d *Device, batteries map[string]bool) {
	given := d.Converter
	if d.Kind != electrical.Charger {
		c.add(at+".converter", "converter_kind")
	}
	if d.Quantity > 1 {
		c.add(at+".quantity", "converter_quantity")
	}
	if batteries[d.ID] {
		c.add(at+".id", "duplicate", electrical.Name("given", d.ID))
	}
	if n := given.Nominal; n != 12 && n != 24 && n != 48 {
		c.add(at+".converter.nominal_v", "nominal", electrical.Num("given", n, electrical.UnitV))
		return
	}
	// A source at its nominal volts is at least 0.9 and at most 1.25 of them (own
	// choice: a 12 V output lies between 10.8 and 15 V).
	c.optional(at+".converter.output_v", float64(given.Output), float64(given.Nominal)*0.9, float64(given.Nominal)*1.25, electrical.UnitV)
	c.within(at+".converter.rated_a", float64(given.Rated), 0.1, float64(electrical.MaxCurrent), electrical.UnitA)
	if given.Limit != 0 {
		c.within(at+".converter.limit_a", float64(given.Limit), float64(given.Rated), float64(electrical.MaxCurrent), electrical.UnitA)
	}
}
