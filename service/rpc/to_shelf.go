package rpc

import (
	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"github.com/bojanz/currency"
	"google.golang.org/protobuf/proto"
)

// shelf writes onto a quote what there is of its parts, what is short, and what would
// do instead.
func (p prose) shelf(out *pb.Quote, s *quoting.Shelf) {
	if out.StockUnknown = s.Unknown; s.Unknown {
		out.Assumptions = append(out.Assumptions, p.Say("stock.unknown"))
	}
	short := map[string]bool{}
	for i := range s.Short {
		short[s.Short[i].SKU] = true
		out.Shortages = append(out.Shortages, p.shortage(&s.Short[i], s.Way))
	}
	for _, l := range out.GetLines() {
		if stock, ok := s.Stock[l.GetSku()]; ok {
			l.OnHand = proto.Float64(stock.OnHand.Units())
		}
		if short[l.GetSku()] && s.Way != nil {
			if part, ok := s.Way.Substitute(l.GetSku(), l.GetCircuitId()); ok {
				l.SubstituteSku = part.SKU
			}
		}
	}
	if s.Way != nil {
		out.StockedWay = p.stockedWay(s.Way)
	}
}

func (p prose) shortage(s *quoting.Short, way *quoting.Way) *pb.Shortage {
	out := &pb.Shortage{Sku: s.SKU, Description: s.Description, Needed: s.Needed.Units(), Unit: string(s.Unit), OnHand: s.OnHand.Units(), Reserved: s.Reserved.Units(), Missing: s.Missing.Units()}
	amount := func(key string, t quoting.Thousandths) electrical.Figure {
		return electrical.Name(key, decimal(t.Units())+" "+string(s.Unit))
	}
	out.Text = p.Say("stock.short", amount("needed", s.Needed), electrical.Name("part", named(s.Description, s.SKU)), amount("free", max(s.Free(), 0)),
		amount("on_hand", s.OnHand), amount("reserved", s.Reserved), amount("missing", s.Missing)) + " "
	switch {
	case s.Substitute != nil:
		out.SubstituteSku, out.SubstituteDescription = s.Substitute.SKU, s.Substitute.Description
		out.Text += p.Say("stock.substitute", electrical.Name("substitute", nameOf(s.Substitute)))
	case way != nil && s.Replaced:
		out.Text += p.Say("stock.otherwise")
	default:
		out.Text += p.Say("stock.none")
	}
	return out
}

// nameOf gives what people call a part, with its number.
func nameOf(p *catalog.Part) string { return named(p.Description, p.SKU) }

func named(description, sku string) string { return description + " (" + sku + ")" }

func (p prose) stockedWay(w *quoting.Way) *pb.StockedWay {
	out := &pb.StockedWay{Total: money(w.Total), Difference: money(w.Difference), Complete: w.Complete}
	total, difference := electrical.Name("total", amountText(w.Total)), w.Difference
	switch {
	case difference.IsZero():
		out.Text = p.Say("stock.way_same", total)
	case difference.IsNegative():
		if less, err := difference.Mul("-1"); err == nil {
			difference = less
		}
		out.Text = p.Say("stock.way_less", total, electrical.Name("difference", amountText(difference)))
	default:
		out.Text = p.Say("stock.way_more", total, electrical.Name("difference", amountText(difference)))
	}
	if !w.Complete {
		out.Text += " " + p.Say("stock.way_rest")
	}
	return out
}

// amountText gives an amount for people: "23.10 USD".
func amountText(a currency.Amount) string { return a.Number() + " " + a.CurrencyCode() }
