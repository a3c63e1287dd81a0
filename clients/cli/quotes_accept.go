package cli

import (
	"context"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// acceptCommand makes "lugbook quotes accept".
func acceptCommand(s *session) *cobra.Command {
	var (
		change   changeFlags
		revision int32
	)
	cmd := &cobra.Command{
		Use:   "accept NUMBER",
		Short: "Record that the customer agreed, and set the parts aside",
		Long: "Accept records that the customer agreed, sets the parts aside and says which of them have to\n" +
			"be ordered. With --revision it is refused unless that is still the latest, so that nobody\n" +
			"agrees to what they have not seen.",
		Example: "  lugbook quotes accept 17\n" +
			"  lugbook quotes accept 2026-00017 --revision 2 --staff \"front desk\"",
		Args:              oneNumber,
		ValidArgsFunction: completeNumbers(s, lugbookv1.QuoteState_QUOTE_STATE_OPEN),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return accept(cmd.Context(), s, &lugbookv1.AcceptQuoteRequest{
				Number: args[0], Revision: revision, RequestId: change.id(), Etag: change.etag, Reason: change.reason, Staff: s.staff(),
			})
		}),
	}
	change.add(cmd, "what to remember of it, for the record")
	cmd.Flags().Int32Var(&revision, "revision", 0, "the revision that the customer agreed to (default the latest)")
	return cmd
}

// accept records the agreement.
func accept(ctx context.Context, s *session, request *lugbookv1.AcceptQuoteRequest) error {
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.AcceptQuote, request, placeInFlags(quotesFlagOf))
	if err != nil {
		return err
	}
	return s.show(reply, func(p *page.Page) {
		receipt(p, reply.GetQuote(), s.cli.Location)
		reservations(p, reply.GetReservations())
	})
}
