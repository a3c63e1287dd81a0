package cli

import (
	"context"
	"fmt"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
)

// reviseFlags is what "lugbook quotes revise" was given.
type reviseFlags struct {
	change changeFlags
	cost   bool
}

// reviseCommand makes "lugbook quotes revise".
func reviseCommand(s *session) *cobra.Command {
	f := &reviseFlags{}
	cmd := &cobra.Command{
		Use:   "revise NUMBER [FILE]",
		Short: "Replace a quote by a new revision of it",
		Long: "Revise makes a new revision at today's prices and shows line by line what is different. FILE\n" +
			"is the job as it is now wanted (\"lugbook help job-files\" explains the form), with the\n" +
			"customer; without it the job stays the same. The old revision can still be shown.",
		Example: "  lugbook quotes revise 17 camper-van.yaml --reason \"six lights in place of four\"\n" +
			"  lugbook quotes revise 17 --reason \"new prices agreed on\"",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 2 {
				return nil
			}
			return oneNumber(cmd, args)
		},
		ValidArgsFunction: completeNumberThenFile(s),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return revise(cmd.Context(), s, args, f)
		}),
	}
	f.change.add(cmd, "why, for the record")
	cmd.Flags().BoolVar(&f.cost, "cost", false, "show cost and margin in the JSON reply, for the owner's eyes")
	return cmd
}

// revise makes a new revision.
func revise(ctx context.Context, s *session, args []string, f *reviseFlags) error {
	request := &lugbookv1.ReviseQuoteRequest{
		Number: args[0], RequestId: f.change.id(), Etag: f.change.etag, Reason: f.change.reason, Staff: s.staff(),
		IncludeCost: f.cost, Language: s.language, UnitSystem: s.units,
	}
	source := &jobfile.Source{}
	if len(args) == 2 {
		request.Job = &lugbookv1.Job{}
		var err error
		if source, err = readFile(s, args[1], request.Job); err != nil {
			return err
		}
	}
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.ReviseQuote, request, placeInFileOrFlags(source, quotesFlagOf, "job"))
	if err != nil {
		return err
	}
	err = s.show(reply, func(p *page.Page) {
		receipt(p, reply.GetQuote(), s.cli.Location)
		changes(p, reply.GetChanges(), reply.GetQuote().GetCurrencyCode())
	})
	if err == nil {
		s.note("hint: %q prints it", fmt.Sprintf("lugbook quotes show %s --out quote.txt", reply.GetQuote().GetNumber()))
	}
	return err
}

// placeInFileOrFlags says where a field of the request was written: behind a flag,
// or in a file. The prefixes are the paths of the file's message in the request.
func placeInFileOrFlags(source *jobfile.Source, flagOf map[string]string, prefixes ...string) func(string) string {
	inFile := placeInFile(source, prefixes...)
	return func(path string) string {
		if flag, ok := flagOf[path]; ok {
			return flag
		}
		return inFile(path)
	}
}
