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
	change   changeFlags
	customer customerFlags
	cost     bool
	catalog  string // its revision
}

// reviseCommand makes "lugbook quotes revise".
func reviseCommand(s *session) *cobra.Command {
	f := &reviseFlags{}
	cmd := &cobra.Command{
		Use:   "revise NUMBER [FILE]",
		Short: "Replace a quote by a new revision of it",
		Long: "Revise makes a new revision at today's prices and shows line by line what is different. FILE\n" +
			"is the job as it is now wanted (\"lugbook help job-files\" explains the form); without it the\n" +
			"job stays the same. Where neither file nor flag names a customer, the quote keeps the one it\n" +
			"has. The old revision can still be shown.",
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
	f.customer.add(cmd)
	cmd.Flags().StringVar(&f.catalog, "catalog-revision", "", "revision of the catalog to reckon it by, at least its first 8 digits (default the one in force)")
	completeRevisions(s, cmd, "catalog-revision")
	cmd.Flags().BoolVar(&f.cost, "cost", false, "show cost and margin in the JSON reply, for the owner's eyes")
	return cmd
}

// revise makes a new revision.
func revise(ctx context.Context, s *session, args []string, f *reviseFlags) error {
	request := &lugbookv1.ReviseQuoteRequest{
		Number: args[0], RequestId: f.change.id(), Etag: f.change.etag, Reason: f.change.reason, Staff: s.staff(),
		IncludeCost: f.cost, Language: s.language, UnitSystem: s.units, CatalogRevision: f.catalog,
	}
	source := &jobfile.Source{}
	switch {
	case len(args) == 2:
		request.Job = &lugbookv1.Job{}
		var err error
		if source, err = readFile(s, args[1], request.Job); err != nil {
			return err
		}
	case f.customer.given():
		return misuse("name the job file too", "the customer is part of the job, and no job file is named")
	}
	_, done, err := s.connect(ctx) // one connection for both calls
	if err != nil {
		return err
	}
	defer done()
	if request.Job != nil {
		if request.GetJob().GetCustomer() == nil && f.customer.name == "" {
			if err := keepCustomer(ctx, s, request); err != nil {
				return err
			}
		}
		f.customer.set(request.Job)
	}
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.ReviseQuote, request, f.customer.place("job", placeInFileOrFlags(source, quotesFlagOf, "job")))
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

// keepCustomer gives the job the customer that the quote has. The quote must be the
// same still when it is revised.
func keepCustomer(ctx context.Context, s *session, request *lugbookv1.ReviseQuoteRequest) error {
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.GetQuote, &lugbookv1.GetQuoteRequest{Number: request.GetNumber()}, placeInFlags(quotesFlagOf))
	if err != nil {
		return err
	}
	request.Job.Customer = reply.GetQuote().GetCustomer()
	if request.GetEtag() == "" {
		request.Etag = reply.GetQuote().GetEtag()
	}
	return nil
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
