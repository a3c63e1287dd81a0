package cli

import (
	"context"
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// stockFlagOf names the argument or flag behind each field of a request about stock.
var stockFlagOf = map[string]string{
	"sku": "SKU", "quantity": "QUANTITY", "unit": "QUANTITY", "request_id": "--request-id", "staff": "--staff", "note": "--note",
}

// stockCommand makes "lugbook catalog stock" and what is below it.
func stockCommand(s *session) *cobra.Command {
	f := &pageFlags{}
	cmd := &cobra.Command{
		Use:   "stock",
		Short: "Show what is on the shelf, and write down what was counted or received",
		Long: "Stock lists every part that was ever counted, received or set aside: how much is on hand, how\n" +
			"much of it is set aside for accepted quotes, and how much is free.",
		Example: "  lugbook catalog stock\n" +
			"  lugbook catalog stock count CB-08-CU-RD 25ft",
		Args: noSuchCommand,
		RunE: s.run(func(cmd *cobra.Command, _ []string) error { return listStock(cmd.Context(), s, cmd, f) }),
	}
	f.add(cmd)
	cmd.AddCommand(
		adjustCommand(s, lugbookv1.StockAdjustment_STOCK_ADJUSTMENT_COUNTED, &cobra.Command{
			Use:   "count SKU QUANTITY",
			Short: "Write down how much of a part there is",
			Long: "Count sets what is on hand to what was counted, parts that are set aside included. QUANTITY is\n" +
				"in the part's own unit, or with one: 40, 25ft, 7.5m, 3 packs, 12 pieces.",
			Example: "  lugbook catalog stock count CB-08-CU-RD 25ft\n" +
				"  lugbook catalog stock count FU-BLD-20 40 --staff \"front desk\"",
		}),
		adjustCommand(s, lugbookv1.StockAdjustment_STOCK_ADJUSTMENT_RECEIVED, &cobra.Command{
			Use:   "receive SKU QUANTITY",
			Short: "Add what was delivered of a part",
			Long: "Receive adds what came to what is on hand. QUANTITY is in the part's own unit, or with one:\n" +
				"40, 25ft, 7.5m, 3 packs, 12 pieces.",
			Example: "  lugbook catalog stock receive CB-08-CU-RD 30m --note \"delivery 4471\"\n" +
				"  lugbook catalog stock receive FU-BLD-20 50",
		}),
	)
	return cmd
}

// listStock lists one page of the stock.
func listStock(ctx context.Context, s *session, cmd *cobra.Command, f *pageFlags) error {
	reply, err := patiently(ctx, s, lugbookv1.NewCatalogServiceClient, lugbookv1.CatalogServiceClient.ListStock,
		&lugbookv1.ListStockRequest{PageSize: f.size, PageToken: f.token}, placeInFlags(stockFlagOf))
	if err != nil {
		return err
	}
	if err := s.show(reply, func(p *page.Page) { stockPage(p, reply) }); err != nil {
		return err
	}
	if len(reply.GetBalances()) == 0 {
		s.note("no part was counted yet")
	}
	s.more(cmd, reply.GetNextPageToken())
	return nil
}

// stockPage lays out a page of the stock.
func stockPage(p *page.Page, r *lugbookv1.ListStockResponse) {
	if len(r.GetBalances()) == 0 {
		return
	}
	balanceTable(p, r.GetBalances())
	p.Blank()
	p.Text(0, fmt.Sprintf("%d of %d parts", len(r.GetBalances()), r.GetTotalSize()))
}

// balanceTable lays out what there is of parts.
func balanceTable(p *page.Page, list []*lugbookv1.StockBalance) {
	t := page.Table{Columns: []page.Column{
		{Title: "sku"}, {Title: "what", Wraps: true}, {Title: "on hand", Right: true}, {Title: "set aside", Right: true}, {Title: "free", Right: true}, {Title: "unit"},
	}}
	for _, b := range list {
		hand, free := "not counted", ""
		if b.OnHand != nil {
			hand, free = plain(b.GetOnHand()), plain(b.GetFree())
		}
		t.Rows = append(t.Rows, []string{b.GetSku(), firstOf(b.GetDescription(), "no longer in the catalog"), hand, plain(b.GetReserved()), free, b.GetUnit()})
	}
	p.Table(t)
}

// adjustCommand completes a command that writes down stock.
func adjustCommand(s *session, adjustment lugbookv1.StockAdjustment, cmd *cobra.Command) *cobra.Command {
	var (
		change      changeFlags
		staff, note string
	)
	cmd.Args = func(cmd *cobra.Command, args []string) error {
		if len(args) < 2 {
			return misuse(fmt.Sprintf("%q shows examples, \"lugbook catalog parts\" the part numbers", cmd.CommandPath()+" --help"), "not given: the part and how much of it there is")
		}
		return nil
	}
	cmd.RunE = s.run(func(cmd *cobra.Command, args []string) error {
		quantity, unit, err := stockQuantity(strings.Join(args[1:], " "))
		if err != nil {
			return misuse("", "QUANTITY: %w", err)
		}
		return adjust(cmd.Context(), s, &lugbookv1.AdjustStockRequest{
			Sku: args[0], Adjustment: adjustment, Quantity: quantity, Unit: unit, RequestId: change.id(), Staff: firstOf(strings.TrimSpace(staff), s.staff()), Note: note,
		})
	})
	change.addRequestID(cmd)
	cmd.Flags().StringVar(&staff, settingStaff, "", "who at the shop does this, for the record")
	cmd.Flags().StringVar(&note, "note", "", "what to remember of it, such as the delivery note's number")
	return cmd
}

// adjust writes down stock and shows what there is now.
func adjust(ctx context.Context, s *session, request *lugbookv1.AdjustStockRequest) error {
	reply, err := patiently(ctx, s, lugbookv1.NewCatalogServiceClient, lugbookv1.CatalogServiceClient.AdjustStock, request, placeInFlags(stockFlagOf))
	if err != nil {
		return err
	}
	return s.show(reply, func(p *page.Page) { balanceTable(p, []*lugbookv1.StockBalance{reply.GetBalance()}) })
}
