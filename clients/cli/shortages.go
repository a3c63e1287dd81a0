package cli

import (
	"context"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// shortagesFlags is what "lugbook catalog shortages" was given.
type shortagesFlags struct {
	open, cost bool
	page       pageFlags
}

// shortagesCommand makes "lugbook catalog shortages".
func shortagesCommand(s *session) *cobra.Command {
	f := &shortagesFlags{}
	cmd := &cobra.Command{
		Use:   "shortages",
		Short: "Show what has to be bought, by supplier",
		Long: "Shortages lists the parts of which accepted quotes have set aside more than is on hand, and how\n" +
			"much of each to buy, in whole pieces, lengths and packs as it is sold. With --open, what the\n" +
			"open quotes would take counts as well.",
		Example: "  lugbook catalog shortages\n" +
			"  lugbook catalog shortages --open --cost",
		Args: none,
		RunE: s.run(func(cmd *cobra.Command, _ []string) error { return shortages(cmd.Context(), s, cmd, f) }),
	}
	cmd.Flags().BoolVar(&f.open, "open", false, "count what open quotes would take")
	cmd.Flags().BoolVar(&f.cost, "cost", false, "show what it costs the shop, for the owner's eyes")
	f.page.add(cmd)
	return cmd
}

// shortages lists one page of what is short.
func shortages(ctx context.Context, s *session, cmd *cobra.Command, f *shortagesFlags) error {
	reply, err := patiently(ctx, s, lugbookv1.NewCatalogServiceClient, lugbookv1.CatalogServiceClient.ListShortages,
		&lugbookv1.ListShortagesRequest{IncludeOpen: f.open, IncludeCost: f.cost, PageSize: f.page.size, PageToken: f.page.token}, placeInFlags(nil))
	if err != nil {
		return err
	}
	if err := s.show(reply, func(p *page.Page) { shortagesPage(p, reply, f) }); err != nil {
		return err
	}
	if len(reply.GetShortages()) == 0 {
		s.note("nothing is short")
	}
	if n := reply.GetUncountedCount(); n > 0 {
		s.note("%s wanted whose stock is not counted: see for yourself what is there", partsAre(int(n)))
	}
	s.more(cmd, reply.GetNextPageToken())
	return nil
}

// shortagesPage lays out a page of what is short: a table for each supplier.
func shortagesPage(p *page.Page, r *lugbookv1.ListShortagesResponse, f *shortagesFlags) {
	orders := map[string]*lugbookv1.SupplierOrder{}
	for _, o := range r.GetSuppliers() {
		orders[o.GetSupplier()] = o
	}
	list := r.GetShortages()
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].GetSupplier() == list[0].GetSupplier() {
			n++
		}
		supplierTable(p, orders[list[0].GetSupplier()], list[:n], f)
		list = list[n:]
	}
	if len(r.GetShortages()) > 0 {
		p.Blank()
		p.Text(0, fmt.Sprintf("%d of %d parts", len(r.GetShortages()), r.GetTotalSize()))
	}
}

// supplierTable lays out what to buy from one supplier.
func supplierTable(p *page.Page, o *lugbookv1.SupplierOrder, list []*lugbookv1.StockShortage, f *shortagesFlags) {
	p.Heading(listed(firstOf(o.GetSupplier(), "no supplier stated"), moneyText(o.GetCost())))
	t := page.Table{Columns: []page.Column{{Title: "buy", Right: true}, {Title: "unit"}, {Title: "what", Wraps: true}, {Title: "missing", Right: true}, {Title: "on hand", Right: true}, {Title: "set aside", Right: true}}}
	if f.open {
		t.Columns = append(t.Columns, page.Column{Title: "open", Right: true})
	}
	if f.cost {
		t.Columns = append(t.Columns, page.Column{Title: "cost", Right: true})
	}
	for _, x := range list {
		buy := plain(x.GetOrderQuantity())
		if x.GetOrderUnit() == "" {
			buy = ""
		}
		row := []string{buy, x.GetOrderUnit(), firstOf(x.GetDescription(), "no longer in the catalog") + labelled(" (%)", x.GetSku()),
			plain(x.GetMissing()) + labelled(" %", x.GetUnit()), plain(x.GetOnHand()), plain(x.GetReserved())}
		if f.open {
			row = append(row, plain(x.GetOpen()))
		}
		if f.cost {
			row = append(row, x.GetCost().GetAmount())
		}
		t.Rows = append(t.Rows, row)
	}
	p.Table(t)
}

// partsAre counts parts within a sentence.
func partsAre(n int) string {
	if n == 1 {
		return "1 part is"
	}
	return fmt.Sprintf("%d parts are", n)
}
