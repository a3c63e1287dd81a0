package cli

import (
	"context"
	"fmt"
	"slices"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// partsFlagOf names the flag behind each field of a ListPartsRequest.
var partsFlagOf = map[string]string{
	"text": "WORD", "kind": "--kind", "size": "--size", "stud": "--stud", "rating_a": "--rating", "price_max": "--max-price", "in_stock": "--in-stock",
}

// partsFlags is what "lugbook catalog parts" was given.
type partsFlags struct {
	kind       wordFlag
	rating     quantityFlag
	size, stud string
	maxPrice   string
	cost       bool
	inStock    bool
	page       pageFlags
}

// partsCommand makes "lugbook catalog parts".
func partsCommand(s *session) *cobra.Command {
	f := &partsFlags{
		kind:   wordFlag{enum: lugbookv1.PartKind(0).Descriptor()},
		rating: quantityFlag{dimension: quantity.Current, bare: true},
	}
	cmd := &cobra.Command{
		Use:   "parts [WORD …]",
		Short: "List parts with their prices",
		Long: "Parts lists the parts that match all words and flags, the best fit first; words that are nearly\n" +
			"right are found where nothing matches better.",
		Example: "  lugbook catalog parts --kind fuse --rating 60A\n" +
			"  lugbook catalog parts lug --size 1/0 --stud M8",
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return parts(cmd.Context(), s, cmd, f, strings.Join(args, " "))
		}),
	}
	flags := cmd.Flags()
	addWord(cmd, &f.kind, "kind", "kind of part")
	flags.Var(&f.rating, "rating", "rating of fuses, least rating of holders, blocks and relays, such as 60A")
	flags.StringVar(&f.size, "size", "", "conductor size that the part is or takes, such as 8, 1/0 or 16mm2")
	flags.StringVar(&f.stud, "stud", "", "stud that the part fits, such as M8 or 5/16")
	flags.StringVar(&f.maxPrice, "max-price", "", "highest price per unit of sale, such as 12.50")
	flags.BoolVar(&f.cost, "cost", false, "show cost and supplier, for the owner's eyes")
	flags.BoolVar(&f.inStock, "in-stock", false, "only parts of which some is on hand and not set aside")
	f.page.add(cmd)
	return cmd
}

// parts lists one page of parts.
func parts(ctx context.Context, s *session, cmd *cobra.Command, f *partsFlags, words string) error {
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewCatalogServiceClient(conn).ListParts(ctx, &lugbookv1.ListPartsRequest{
		Text: words, Kind: lugbookv1.PartKind(f.kind.number), Size: f.size, Stud: f.stud, RatingA: f.rating.value,
		PageSize: f.page.size, PageToken: f.page.token, IncludeCost: f.cost, UnitSystem: s.units, PriceMax: f.maxPrice, InStock: f.inStock,
	})
	if err != nil {
		return s.callFault(err, placeInFlags(partsFlagOf))
	}
	if err := s.show(reply, func(p *page.Page) { partsPage(p, reply, f.cost) }); err != nil {
		return err
	}
	if len(reply.GetParts()) == 0 {
		s.note("no part matches")
	}
	if reply.GetStockUnknown() {
		s.note("what is on hand could not be looked up")
	}
	s.more(cmd, reply.GetNextPageToken())
	return nil
}

// partsPage lays out a page of parts.
func partsPage(p *page.Page, r *lugbookv1.ListPartsResponse, cost bool) {
	if len(r.GetParts()) == 0 {
		return
	}
	t := page.Table{Columns: []page.Column{
		{Title: "sku"}, {Title: "kind"}, {Title: "what", Wraps: true}, {Title: "price", Right: true}, {Title: "per"},
	}}
	counted := slices.ContainsFunc(r.GetParts(), func(p *lugbookv1.Part) bool { return p.OnHand != nil })
	if counted {
		t.Columns = append(t.Columns, page.Column{Title: "on hand", Right: true})
	}
	if cost {
		t.Columns = append(t.Columns, page.Column{Title: "cost", Right: true}, page.Column{Title: "supplier"})
	}
	for _, part := range r.GetParts() {
		row := []string{part.GetSku(), word(part.GetKind()), part.GetDescription(), moneyText(part.GetPrice()), soldBy(part)}
		if counted {
			row = append(row, onHand(part))
		}
		if cost {
			row = append(row, part.GetCost().GetAmount(), part.GetSupplier())
		}
		t.Rows = append(t.Rows, row)
	}
	p.Table(t)
	p.Blank()
	p.Text(0, fmt.Sprintf("%d of %d parts", len(r.GetParts()), r.GetTotalSize()))
}

// onHand gives how much of a part is there, or nothing where it is not counted.
func onHand(part *lugbookv1.Part) string {
	if part.OnHand == nil {
		return ""
	}
	return plain(part.GetOnHand())
}

// soldBy gives the unit of a part's price.
func soldBy(part *lugbookv1.Part) string {
	unit := word(part.GetSoldBy())
	if part.GetSoldBy() == lugbookv1.SoldBy_SOLD_BY_PACK {
		unit += fmt.Sprintf(" of %d", part.GetPackQty())
	}
	return unit
}
