package cli

import (
	"context"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// requoteCommand makes "lugbook quotes requote".
func requoteCommand(s *session) *cobra.Command {
	var cost bool
	cmd := &cobra.Command{
		Use:   "requote NUMBER",
		Short: "Compare a quote with what it would come to today",
		Long: "Requote reckons the job of a stored quote at today's prices and by today's rules, beside what\n" +
			"was quoted, and stores nothing. \"revise\" makes a new revision of it.",
		Example: "  lugbook quotes requote 17\n" +
			"  lugbook quotes requote 2026-00017 --output json",
		Args:              oneNumber,
		ValidArgsFunction: completeNumbers(s),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return requote(cmd.Context(), s, &lugbookv1.RequoteQuoteRequest{Number: args[0], IncludeCost: cost})
		}),
	}
	cmd.Flags().BoolVar(&cost, "cost", false, "compare cost and margin too, for the owner's eyes")
	return cmd
}

// requote compares a quote with today's.
func requote(ctx context.Context, s *session, request *lugbookv1.RequoteQuoteRequest) error {
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.RequoteQuote, request, placeInFlags(quotesFlagOf))
	if err != nil {
		return err
	}
	err = s.show(reply, func(p *page.Page) {
		receipt(p, reply.GetBefore(), s.cli.Location)
		compared(p, reply, request.GetIncludeCost())
		changes(p, reply.GetChanges(), reply.GetToday().GetCurrencyCode())
	})
	if err == nil && len(reply.GetChanges()) > 0 {
		s.note("hint: %q makes a new revision at today's prices", "lugbook quotes revise "+reply.GetBefore().GetNumber())
	}
	return err
}

// compared lays out the sums of then beside those of today.
func compared(p *page.Page, r *lugbookv1.RequoteQuoteResponse, cost bool) {
	before, today := r.GetBefore().GetTotals(), r.GetToday().GetTotals()
	p.Heading(listed("Then and today", r.GetToday().GetCurrencyCode()))
	t := page.Table{Full: true, Columns: []page.Column{{Wraps: true}, {Title: "then", Right: true}, {Title: "today", Right: true}, {Title: "more", Right: true}}}
	row := func(label string, then, now *lugbookv1.Money) {
		if !isZero(then) || !isZero(now) {
			t.Rows = append(t.Rows, []string{label, then.GetAmount(), now.GetAmount()})
		}
	}
	row("parts", before.GetParts(), today.GetParts())
	row("labour", before.GetLabour(), today.GetLabour())
	row("supplies", before.GetSupplies(), today.GetSupplies())
	row("charges", before.GetCharges(), today.GetCharges())
	row("discount, taken off", before.GetDiscount(), today.GetDiscount())
	t.Rows = append(t.Rows, taxRows(before.GetTaxes(), today.GetTaxes())...)
	t.Rows = append(t.Rows, []string{"TOTAL", before.GetTotal().GetAmount(), today.GetTotal().GetAmount(), r.GetDifference().GetAmount()})
	if cost {
		row("cost", before.GetCost(), today.GetCost())
		row("margin", before.GetMargin(), today.GetMargin())
	}
	p.Table(t)
}

// taxRows sets taxes of one name and rate beside each other.
func taxRows(before, today []*lugbookv1.TaxLine) [][]string {
	name := func(t *lugbookv1.TaxLine) string { return fmt.Sprintf("%s %s%%", t.GetLabel(), t.GetRatePercent()) }
	var rows [][]string
	at := map[string]int{}
	for _, t := range before {
		at[name(t)] = len(rows)
		rows = append(rows, []string{name(t), t.GetAmount().GetAmount(), ""})
	}
	for _, t := range today {
		i, both := at[name(t)]
		delete(at, name(t)) // two of one name would stand in one row
		if !both {
			i = len(rows)
			rows = append(rows, []string{name(t), "", ""})
		}
		rows[i][2] = t.GetAmount().GetAmount()
	}
	return rows
}
