package cli

import (
	"context"
	"os"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
	"google.golang.org/protobuf/proto"
)

// showFlags is what "lugbook quotes show" was given.
type showFlags struct {
	revision      int32
	history, cost bool
	out           string
}

// showCommand makes "lugbook quotes show".
func showCommand(s *session) *cobra.Command {
	f := &showFlags{}
	cmd := &cobra.Command{
		Use:   "show NUMBER",
		Short: "Show a quote as it was given out",
		Long: "Show prints a stored quote: what was quoted on that day, never reckoned anew, with the state\n" +
			"that it has now. Without --revision it is the latest.",
		Example: "  lugbook quotes show 17\n" +
			"  lugbook quotes show 2026-00017 --revision 1 --history",
		Args:              oneNumber,
		ValidArgsFunction: completeNumbers(s),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return showQuote(cmd.Context(), s, args[0], f)
		}),
	}
	flags := cmd.Flags()
	flags.Int32Var(&f.revision, "revision", 0, "which revision, from 1 (default the latest)")
	flags.BoolVar(&f.history, "history", false, "show who did what to it, and when")
	flags.BoolVar(&f.cost, "cost", false, "show cost and margin, for the owner's eyes")
	flags.StringVar(&f.out, "out", "", "file to write it to, to print or send, in place of the screen")
	return cmd
}

// showQuote shows one quote.
func showQuote(ctx context.Context, s *session, number string, f *showFlags) error {
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.GetQuote, &lugbookv1.GetQuoteRequest{
		Number: number, Revision: f.revision, IncludeCost: f.cost, IncludeHistory: f.history,
	}, placeInFlags(quotesFlagOf))
	if err != nil {
		return err
	}
	return s.showTo(f.out, reply, func(p *page.Page) {
		zone := zoneOf(reply.GetQuote(), s.cli.Location)
		quoteHead(p, reply.GetQuote(), zone)
		history(p, reply.GetHistory(), zone)
		quoteBody(p, reply.GetQuote(), f.cost)
	})
}

// showTo shows a reply, or writes it to a file where one is named. A page in a
// file is as wide as paper, whatever the terminal is.
func (s *session) showTo(name string, reply proto.Message, lay func(*page.Page)) error {
	if name == "" {
		return s.show(reply, lay)
	}
	text, err := s.lay(defaultWidth, reply, lay)
	if err != nil {
		return err
	}
	if err := os.WriteFile(name, text, 0o600); err != nil { // it holds a customer's name
		return writeFault("--out", name, err)
	}
	s.note("written to %s", page.Clean(name))
	return nil
}
