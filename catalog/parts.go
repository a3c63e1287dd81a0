package catalog

import (
	"fmt"
	"slices"
	"strings"
	"unicode"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"
)

// partFile is one CSV file of parts: what it is called, how it is laid out and
// how a row of it is read.
type partFile struct {
	name    string
	columns []column
	read    func(*reading, *row)
}

// expect makes room for so many more parts of a file, so that a long list is not
// moved about while it grows.
func (d *reading) expect(name string, lines int) {
	c := d.catalog
	switch name {
	case "conductors.csv":
		c.Conductors = slices.Grow(c.Conductors, lines)
	case "fuses.csv":
		c.Fuses = slices.Grow(c.Fuses, lines)
	case "holders.csv":
		c.Holders = slices.Grow(c.Holders, lines)
	case "blocks.csv":
		c.Blocks = slices.Grow(c.Blocks, lines)
	case "terminals.csv":
		c.Terminals = slices.Grow(c.Terminals, lines)
	case "sleeves.csv":
		c.Sleeves = slices.Grow(c.Sleeves, lines)
	case "relays.csv":
		c.Relays = slices.Grow(c.Relays, lines)
	case "sundries.csv":
		c.Sundries = slices.Grow(c.Sundries, lines)
	case "equipment.csv":
		c.Equipment = slices.Grow(c.Equipment, lines)
	case "tools.csv":
		c.Tools = slices.Grow(c.Tools, lines)
	}
}

// sold is the columns of every part that is sold, around those of its kind.
func sold(own ...column) []column {
	common := []column{must("sku"), must("description"), must("price"), may("cost"), must("sold_by"), may("pack_qty"), may("supplier")}
	return slices.Concat(common, own, []column{later("breaks"), later("broken_packs")})
}

// partFiles lists the files of parts in the order shown to people.
var partFiles = []partFile{
	{"conductors.csv", sold(must("size"), must("material"), must("insulation"), must("insulation_c"), must("colour"),
		must("outer_mm"), must("bundle_mm"), may("max_ohm_per_km"), may("gauge_standard")), (*reading).conductor},
	{"fuses.csv", sold(must("family"), must("rating_a"), may("voltage_v"), may("interrupting_a"), may("ignition_protected")), (*reading).fuse},
	{"holders.csv", sold(must("family"), may("min_rating_a"), must("max_rating_a"), must("landing"), may("stud"), may("smallest"), may("largest"),
		may("post_hole_mm"), may("sealed"), may("ignition_protected")), (*reading).holder},
	{"blocks.csv", sold(must("fused"), may("family"), must("ways"), must("way_max_a"), must("total_max_a"),
		must("in_landing"), may("in_stud"), may("in_smallest"), may("in_largest"),
		must("out_landing"), may("out_stud"), may("out_smallest"), may("out_largest"), may("sealed")), (*reading).block},
	{"terminals.csv", sold(must("form"), must("smallest"), must("largest"), may("stud"), may("hole_mm"), may("tab_mm"),
		must("barrel_inner_mm"), must("barrel_outer_mm"), must("barrel_length_mm"), must("construction"), may("insulated"), may("tinned")), (*reading).terminal},
	{"sleeves.csv", sold(must("supplied_mm"), must("recovered_mm"), must("adhesive"), may("length_loss_percent"), may("colour")), (*reading).sleeve},
	{"relays.csv", sold(must("contact_a"), must("coil_a"), must("coil_v"), must("landing"), may("stud"), may("tab_mm"), may("sealed")), (*reading).relay},
	{"sundries.csv", sold(must("use"), may("inner_mm")), (*reading).sundry},
	{"equipment.csv", sold(must("device"), may("current_a"), may("input_w"), may("output_w"), may("rms_w"), may("channels"), may("class"),
		may("onboard_fuse_a"), may("behaviour"), may("surge_a"), may("surge_s"), may("min_v"), may("maker_fuse_a"),
		must("positive_landing"), may("positive_stud"), may("positive_largest"),
		must("negative_landing"), may("negative_stud"), may("negative_largest"),
		may("feeds_v"), may("feeds_at_v"), may("feeds_a"), may("feeds_limit_a")), (*reading).equipment},
	{"tools.csv", []column{must("sku"), must("description"), must("forms"), must("smallest"), must("largest"), must("sort"), may("dies"), may("repeatable")}, (*reading).tool},
}

// maxCode bounds SKUs and operation codes, which must fit a label.
const maxCode = 64

// code gives an SKU or an operation's code: one word. That it is there only once is
// seen when all files are read.
func (r *row) code(name string) string {
	text, ok := r.has(name)
	switch {
	case !ok:
		r.empty(name, "")
		return ""
	case len(text) > maxCode || strings.ContainsFunc(text, unicode.IsSpace):
		r.wrong(name, quote(text)+" is no code", fmt.Sprintf("one word of up to %d characters", maxCode))
		return text
	}
	field := r.place.fields[name]
	r.found.codes = append(r.found.codes, stated{text, r.source.line(field), field + 1})
	return text
}

// part reads the columns that every part that is sold has.
func (d *reading) part(r *row, kind Kind, p *Part) {
	p.SKU, p.Kind, p.Description = r.code("sku"), kind, r.text("description")
	p.SoldBy, p.PackQty, p.Supplier = word(r, "sold_by", SoldBys()), 1, r.optional("supplier")
	if p.SoldBy == ByPack {
		p.PackQty = r.whole("pack_qty", from(1, 100_000, "pieces"))
	} else if text, ok := r.has("pack_qty"); ok && text != "1" {
		r.wrong("pack_qty", "the part is not sold by the pack", "empty")
	}
	if p.Broken = r.yes("broken_packs"); p.Broken && p.SoldBy != ByPack && p.SoldBy != "" {
		r.wrong("broken_packs", "the part is not sold by the pack", "empty, no")
	}
	d.price(r, p)
	d.breaks(r, p)
}

// another gives a new part at the end of a list, to be filled in there: parts are large.
func another[T any](list *[]T) *T {
	var none T
	*list = append(*list, none)
	return &(*list)[len(*list)-1]
}

// byLength and byPiece tell how kinds of part may be sold: cable and sleeve are
// cut, everything else is counted.
func (r *row) byLength(p *Part) {
	if p.SoldBy != "" && p.SoldBy != ByMetre && p.SoldBy != ByFoot {
		r.wrong("sold_by", fmt.Sprintf("what is cut to length is not sold by %q", p.SoldBy), list([]SoldBy{ByMetre, ByFoot}))
	}
}

func (r *row) byPiece(p *Part) {
	if p.SoldBy == ByMetre || p.SoldBy == ByFoot {
		r.wrong("sold_by", fmt.Sprintf("what is counted is not sold by the %s", p.SoldBy), list([]SoldBy{Each, ByPack}))
	}
}

// price reads price and cost. A price that is not given is the cost with the shop's
// markup. A cost above the price is advice only: a shop may sell at a loss, but mostly
// it is a slip.
func (d *reading) price(r *row, p *Part) {
	price, priced := r.has("price")
	if cost, ok := r.has("cost"); ok {
		amount, problem, allowed := d.purse.amount(cost, true)
		if problem != "" {
			r.wrong("cost", problem, allowed)
		} else {
			p.Cost, p.HasCost = amount, true
		}
		if !priced && problem == "" && len(d.catalog.Shop.Rules.Markups) > 0 {
			d.markUp(r, p)
			return
		}
	}
	if !priced {
		r.empty("price", above(0, maxAmount, d.purse.code).String())
		return
	}
	amount, problem, allowed := d.purse.amount(price, false)
	if problem != "" {
		r.wrong("price", problem, allowed)
		return
	}
	p.Price = amount
	p.UnitNano = unitNano(price, p.SoldBy, p.PackQty)
	if p.HasCost && nanoOf(r.optional("cost")) > nanoOf(price) {
		r.advise("cost", fmt.Sprintf("%s is above the price %s", r.optional("cost"), price))
	}
}

// markUp prices a part by its cost.
func (d *reading) markUp(r *row, p *Part) {
	price, ok := d.markedUp(p.Cost)
	if !ok || !price.IsPositive() {
		r.wrong("price", "the cell is empty, and no markup of "+shopFile+" prices a cost of "+r.optional("cost"), above(0, maxAmount, d.purse.code).String())
		return
	}
	p.Price, p.UnitNano = price, unitNano(price.Number(), p.SoldBy, p.PackQty)
}

// Spans of dimensions. They are wide: they catch a slip of the unit or of the
// column, not a poor part (own choice, no source).
var (
	spanDiameter = above(0, 200, "mm")
	spanCurrent  = above(0, 2000, "A")
	spanVolts    = above(0, 1000, "V")
	spanPower    = above(0, 20_000, "W")
	spanRating   = from(60, 200, "°C") // as electrical.Conductor takes it
)

// gaugeStandards is how a cable's gauge may be marked.
var gaugeStandards = []string{"awg", "sae"}

func (d *reading) conductor(r *row) {
	c := another(&d.catalog.Conductors)
	d.part(r, KindConductor, &c.Part)
	*c = Conductor{
		Part: c.Part,
		Conductor: electrical.Conductor{
			Size: r.sized("size"), Material: word(r, "material", electrical.Materials()),
			Insulation:  word(r, "insulation", electrical.Insulations()),
			Rating:      quantity.Celsius(r.number("insulation_c", spanRating)),
			MaxOhmPerKm: r.numberOr("max_ohm_per_km", above(0, 1000, "Ω/km"), 0),
			SAE:         optionalWord(r, "gauge_standard", gaugeStandards) == "sae",
		},
		Colour:        strings.ToLower(r.text("colour")),
		OuterDiameter: quantity.Millimetres(r.number("outer_mm", spanDiameter)), BundleDiameter: quantity.Millimetres(r.number("bundle_mm", spanDiameter)),
	}
	r.byLength(&c.Part)
	if c.OuterDiameter > 0 && c.BundleDiameter >= c.OuterDiameter {
		r.wrong("bundle_mm", "the strands are as wide as the insulation over them", "less than outer_mm")
	}
	if _, stated := r.has("gauge_standard"); stated && !c.Size.IsZero() && !c.Size.IsAWG() {
		r.wrong("gauge_standard", "a metric size has no gauge", "empty")
	}
}

func (d *reading) sleeve(r *row) {
	s := another(&d.catalog.Sleeves)
	d.part(r, KindSleeve, &s.Part)
	*s = Sleeve{
		Part:     s.Part,
		Supplied: quantity.Millimetres(r.number("supplied_mm", spanDiameter)), Recovered: quantity.Millimetres(r.number("recovered_mm", spanDiameter)),
		Adhesive: r.answer("adhesive"), LengthLoss: quantity.Percent(r.numberOr("length_loss_percent", from(-10, 30, "percent"), 0)),
		Colour: strings.ToLower(r.optional("colour")),
	}
	r.byLength(&s.Part)
	if s.Supplied > 0 && s.Recovered >= s.Supplied {
		r.wrong("recovered_mm", "the sleeve does not shrink", "less than supplied_mm")
	}
}

func (d *reading) sundry(r *row) {
	s := another(&d.catalog.Sundries)
	d.part(r, KindSundry, &s.Part)
	*s = Sundry{
		Part: s.Part, Use: word(r, "use", Uses()),
		Inner: quantity.Millimetres(r.numberOr("inner_mm", spanDiameter, 0)),
	}
}
