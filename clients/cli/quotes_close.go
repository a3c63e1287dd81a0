package cli

import (
	"context"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
	"google.golang.org/protobuf/proto"
)

// declineCommand makes "lugbook quotes decline".
func declineCommand(s *session) *cobra.Command {
	var change changeFlags
	cmd := &cobra.Command{
		Use:   "decline NUMBER",
		Short: "Record that the customer refused",
		Long:  "Decline records that the customer refused. The quote stays, and \"revise\" opens it again.",
		Example: "  lugbook quotes decline 17\n" +
			"  lugbook quotes decline 17 --reason \"too dear\"",
		Args:              oneNumber,
		ValidArgsFunction: completeNumbers(s, lugbookv1.QuoteState_QUOTE_STATE_OPEN, lugbookv1.QuoteState_QUOTE_STATE_EXPIRED),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return settle(cmd.Context(), s, func(ctx context.Context) (closed, error) {
				return stored(ctx, s, lugbookv1.QuoteServiceClient.DeclineQuote, &lugbookv1.DeclineQuoteRequest{
					Number: args[0], RequestId: change.id(), Etag: change.etag, Reason: change.reason, Staff: s.staff(),
				}, placeInFlags(quotesFlagOf))
			})
		}),
	}
	change.add(cmd, "why the customer refused, for the record")
	return cmd
}

// withdrawCommand makes "lugbook quotes withdraw".
func withdrawCommand(s *session) *cobra.Command {
	var change changeFlags
	cmd := &cobra.Command{
		Use:   "withdraw NUMBER",
		Short: "Take a quote back",
		Long:  "Withdraw takes a quote back, an accepted one too; parts that were set aside for it are free\nagain. It cannot be opened again.",
		Example: "  lugbook quotes withdraw 17\n" +
			"  lugbook quotes withdraw 2026-00017 --reason \"wrong vehicle\"",
		Args:              oneNumber,
		ValidArgsFunction: completeNumbers(s),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return settle(cmd.Context(), s, func(ctx context.Context) (closed, error) {
				return stored(ctx, s, lugbookv1.QuoteServiceClient.WithdrawQuote, &lugbookv1.WithdrawQuoteRequest{
					Number: args[0], RequestId: change.id(), Etag: change.etag, Reason: change.reason, Staff: s.staff(),
				}, placeInFlags(quotesFlagOf))
			})
		}),
	}
	change.add(cmd, "why, for the record")
	return cmd
}

// closed is the reply of a change that leaves a quote settled.
type closed interface {
	proto.Message
	GetQuote() *lugbookv1.Quote
}

// settle makes the call and shows what became of the quote.
func settle(ctx context.Context, s *session, call func(context.Context) (closed, error)) error {
	reply, err := call(ctx)
	if err != nil {
		return err
	}
	return s.show(reply, func(p *page.Page) { receipt(p, reply.GetQuote(), s.cli.Location) })
}
