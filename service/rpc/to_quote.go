package rpc

import (
	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/types/known/timestamppb"
)

// exclusions is what no quote includes, by code.
var exclusions = []string{"hidden_damage", "factory_wiring", "charging_system", "mains", "high_voltage", "restraints", "control_units", "customer_parts", "permits"}

func (p prose) quote(job *pb.Job, v *quoting.Preview, withCost bool) *pb.Quote {
	cat := v.Edition.Catalog()
	shop := &cat.Shop
	out := &pb.Quote{
		State: pb.QuoteState_QUOTE_STATE_DRAFT, Customer: job.GetCustomer(), Vehicle: vehicleOut(v.Vehicle), System: job.GetSystem(),
		Design: p.design(v.Vehicle, v.Design, cat.Revision), Totals: totals(&v.Price.Totals, withCost), Assumptions: p.sentences(v.Design.Assumptions),
		ValidUntil: timestamppb.New(v.ValidUntil), CatalogRevision: cat.Revision, RulesVersion: design.RulesVersion,
		Shop:     &pb.ShopCard{Name: shop.Name, Address: shop.Address, Phone: shop.Phone},
		Language: p.Language(), UnitSystem: p.units, CurrencyCode: shop.Currency, TimeZone: shop.TimeZone.String(), Notes: job.GetNotes(),
	}
	if v.HasRange {
		out.Totals.TotalLow, out.Totals.TotalHigh = money(v.Low), money(v.High)
	}
	out.Design.Alternatives = p.alternatives(v.Alternatives)
	for i := range v.Price.Lines {
		out.Lines = append(out.Lines, p.line(&v.Price.Lines[i], withCost))
	}
	p.shelf(out, &v.Shelf)
	for _, code := range exclusions {
		out.Exclusions = append(out.Exclusions, p.Say("exclusion."+code))
	}
	return out
}

func (p prose) line(l *pricing.Line, withCost bool) *pb.Line {
	out := &pb.Line{Id: l.ID, Section: sections.number(string(l.Section)), CircuitId: l.CircuitID, Sku: l.SKU, Description: l.Description, Quantity: l.QuantityFloat(), Unit: string(l.Unit),
		UnitPrice: money(l.UnitPrice), Amount: money(l.Amount), Taxable: l.Taxable, Operation: l.Operation, Hours: l.Hours, Termination: l.Termination, Why: p.Say(l.WhyCode, l.Figures...)}
	if out.Description == "" {
		out.Description = p.Say("line."+l.WhyCode, l.Figures...)
	}
	if withCost && l.HasCost {
		out.Cost, out.Margin = money(l.Cost), money(l.Margin)
	}
	return out
}

func totals(t *pricing.Totals, withCost bool) *pb.Totals {
	out := &pb.Totals{Parts: money(t.Parts), Labour: money(t.Labour), Supplies: money(t.Supplies), Charges: money(t.Charges), Discount: money(t.Discount), Total: money(t.Total),
		ProperTermination: money(t.ProperTermination), Deposit: money(t.Deposit)}
	for _, tax := range t.Taxes {
		out.Taxes = append(out.Taxes, &pb.TaxLine{Label: tax.Label, RatePercent: tax.RatePercent, Base: money(tax.Base), Amount: money(tax.Amount), Included: tax.Included})
	}
	if t.HasNotToExceed {
		out.NotToExceed = money(t.NotToExceed)
	}
	if withCost && t.HasCost {
		out.Cost, out.Margin = money(t.Cost), money(t.Margin)
	}
	return out
}
