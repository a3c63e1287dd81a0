package catalog

import (
	"fmt"
	"strings"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/electrical"

	"github.com/bojanz/currency"
	"go.yaml.in/yaml/v3"
	"golang.org/x/text/language"
)

// shopFile is the file of the shop's own rules.
const shopFile = "shop.yaml"

// decimalSignKey says how the tables are written, not what is in them: the revision
// leaves it out.
const decimalSignKey = "decimal_sign"

// The keys of shop.yaml.
var (
	shopKeys = []string{"name", "address", "phone", "language", "units", "currency", decimalSignKey, "labour_rate_per_hour", "labour_step", "labour_minimum_h",
		"supplies_percent", "supplies_cap", "taxes", "prices_include_tax", "validity_days", "deposit_percent", "deposit_over",
		"markups", "trip", "not_to_exceed_percent", "discount_limits", "cash_step", "allowances", "zone_factors", "termination", "habits", "rules", "time_zone", "customer_retention_days"}
	taxKeys       = []string{"label", "rate_percent", "on"}
	allowanceKeys = []string{"route_percent", "waste_percent", "sleeve_waste_percent", "minimum_cut_m", "spare_percent",
		"loop_per_end_m", "loop_battery_m", "loop_removable_m", "return_tail_m"}
	terminationKeys = []string{"crimp_only", "splice_below", "solder_from", "heavy_from", "solder_afloat"}
	habitKeys       = []string{"materials", "families", "feed_colours", "return_colours", "sizes", "min_insulation_c"}
)

// Spans of a shop's figures (own choice, no source): wide enough for any shop,
// narrow enough to catch a slip.
var (
	spanPercent   = from(0, 100, "percent")
	spanSupplies  = from(0, 50, "percent")
	spanValidity  = from(1, 365, "days")
	spanRetention = from(0, 36500, "days")
	spanMinimum   = from(0, 24, "h")
	spanAllowance = from(0, 10, "m")
	spanFactor    = from(0.5, 5, "")
)

// shop reads the whole file of the shop's own rules. It comes first: prices
// need its currency.
func (d *reading) shop(doc *document, root *yaml.Node) {
	f := doc.fields(root, "", shopKeys...)
	s := &d.catalog.Shop
	s.Name, s.Address, s.Phone = f.needText("name"), f.text("address"), f.text("phone")
	s.Language = f.language("language")
	s.Units = needKeyWord(f, "units", []UnitSystem{US, Metric})
	d.currency(f)
	d.comma = keyWord(f, decimalSignKey, []DecimalSign{DecimalPoint, DecimalComma}) == DecimalComma
	s.LabourRate = d.money(f, "labour_rate_per_hour", true, false)
	s.RateMicro = scaled(exact(s.LabourRate), 1_000_000)
	s.LabourStep = f.labourStep()
	s.LabourMinimum = f.value("labour_minimum_h", spanMinimum)
	s.SuppliesShare = quantity.Percent(f.value("supplies_percent", spanSupplies))
	s.SuppliesCap = d.money(f, "supplies_cap", false, true)
	s.PricesIncludeTax = f.yes("prices_include_tax")
	s.ValidityDays = f.whole("validity_days", spanValidity, 0)
	if _, ok := f.has("validity_days"); !ok {
		f.missing("validity_days", spanValidity.String())
	}
	s.DepositShare = quantity.Percent(f.value("deposit_percent", spanPercent))
	s.DepositOver = d.money(f, "deposit_over", false, true)
	s.Rules = d.priceRules(f)
	for _, t := range f.each("taxes", taxKeys...) {
		s.Taxes = append(s.Taxes, t.tax())
	}
	s.Allowances = f.allowances()
	s.ZoneFactors = f.zoneFactors()
	s.Termination = f.termination()
	s.Habits = f.habits()
	s.Defaults = f.rules()
	s.TimeZone = f.timeZone("time_zone")
	s.RetentionDays = f.whole("customer_retention_days", spanRetention, 0)
}

// timeZone reads the name of a time zone, UTC where it is not there. "Local" would
// mean another zone on another machine.
func (f fields) timeZone(key string) *time.Location {
	text, n, ok := f.scalar(key)
	if !ok {
		return time.UTC
	}
	zone, err := time.LoadLocation(text)
	if err != nil || text == "" || text == "Local" {
		f.fault(n, key+": "+quote(text)+" is no time zone", "a name of the IANA time zone database, such as America/Chicago, Europe/Dublin")
		return time.UTC
	}
	return zone
}

// language reads a BCP 47 tag that must be there.
func (f fields) language(key string) string {
	text := f.needText(key)
	if text == "" {
		return ""
	}
	if _, err := language.Parse(text); err != nil {
		f.fault(f.values[key], key+": "+quote(text)+" is no language tag", "BCP 47, such as en-US, en-GB, es")
	}
	return text
}

// currency reads the shop's currency, in which all amounts of the folder are.
func (d *reading) currency(f fields) {
	code := f.needText("currency")
	if code == "" {
		return
	}
	p, ok := purseOf(code)
	if !ok {
		f.fault(f.values["currency"], "currency: "+quote(code)+" is no currency", "a code of ISO 4217, such as USD, EUR, GBP")
		return
	}
	d.purse, d.catalog.Shop.Currency = p, code
}

// money reads an amount; the zero amount of the currency where it is not there
// and need not be.
func (d *reading) money(f fields, key string, need, mayBeZero bool) currency.Amount {
	text, n, ok := f.scalar(key)
	if !ok {
		if _, there := f.has(key); need && !there {
			f.missing(key, "an amount in quotes, such as \"110.00\"")
		}
		text, mayBeZero = "0", true
	}
	a, problem, allowed := d.purse.amount(text, mayBeZero)
	if problem != "" {
		f.fault(n, key+": "+problem, allowed)
	}
	return a
}

// labourStep reads into how many steps an hour is divided.
func (f fields) labourStep() int {
	const allowed = "10 (tenths of an hour), 4 (quarters)"
	text, n, ok := f.scalar("labour_step")
	switch {
	case !ok:
		f.missing("labour_step", allowed)
	case text == "10":
		return 10
	case text == "4":
		return 4
	default:
		f.fault(n, "labour_step: "+quote(text)+" is no step", allowed)
	}
	return 0
}

// maxTaxPlaces is how finely a tax rate may be stated: no law goes further.
const maxTaxPlaces = 4

func (f fields) tax() Tax {
	t := Tax{Label: f.needText("label"), RatePercent: f.needText("rate_percent"), On: keyWords(f, "on", Sections())}
	if t.RatePercent == "" {
		return t
	}
	_, problem := parseNumber(t.RatePercent, spanPercent)
	if _, places, _ := strings.Cut(t.RatePercent, "."); problem == "" && len(places) > maxTaxPlaces {
		problem = fmt.Sprintf("%s has %d decimal places; at most %d are read", t.RatePercent, len(places), maxTaxPlaces)
	}
	if problem != "" {
		f.fault(f.values["rate_percent"], "rate_percent: "+problem, spanPercent.String())
	}
	return t
}

func (f fields) allowances() Allowances {
	a, ok := f.sub("allowances", allowanceKeys...)
	if !ok {
		f.missing("allowances", list(allowanceKeys))
		return Allowances{}
	}
	percent := func(key string) quantity.Percent { return quantity.Percent(a.needNumber(key, spanPercent)) }
	metres := func(key string) quantity.Metres { return quantity.Metres(a.needNumber(key, spanAllowance)) }
	return Allowances{
		Route: percent("route_percent"), Waste: percent("waste_percent"), SleeveWaste: percent("sleeve_waste_percent"),
		MinimumCut: metres("minimum_cut_m"), SpareShare: percent("spare_percent"),
		LoopPerEnd: metres("loop_per_end_m"), LoopBattery: metres("loop_battery_m"), LoopRemovable: metres("loop_removable_m"),
		ReturnTail: metres("return_tail_m"),
	}
}

func (f fields) zoneFactors() map[electrical.Environment]float64 {
	z, ok := f.sub("zone_factors", plainWords(electrical.Environments())...)
	if !ok {
		f.missing("zone_factors", list(electrical.Environments()))
		return nil
	}
	factors := make(map[electrical.Environment]float64, len(z.values))
	for _, e := range electrical.Environments() {
		factors[e] = z.needNumber(string(e), spanFactor)
	}
	return factors
}

func (f fields) termination() TerminationRules {
	t, ok := f.sub("termination", terminationKeys...)
	if !ok {
		f.missing("termination", list(terminationKeys))
		return TerminationRules{}
	}
	return TerminationRules{
		CrimpOnly: t.yes("crimp_only"), SolderAfloat: t.yes("solder_afloat"),
		SpliceBelow: t.needSize("splice_below"), SolderFrom: t.needSize("solder_from"), HeavyFrom: t.needSize("heavy_from"),
	}
}

func plainWords[T ~string](words []T) []string {
	texts := make([]string, len(words))
	for i, w := range words {
		texts[i] = string(w)
	}
	return texts
}
