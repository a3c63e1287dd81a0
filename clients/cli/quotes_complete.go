package cli

import (
	"context"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"github.com/spf13/cobra"
)

const (
	// completionLimit is how long the shell may be kept waiting for completions
	// (own choice); after it there are none.
	completionLimit = 800 * time.Millisecond
	// completed is how many quotes are offered, the newest first.
	completed = 30
)

// completeNumbers offers the numbers of quotes in the given states, or in any.
func completeNumbers(s *session, states ...lugbookv1.QuoteState) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) > 0 {
			return nil, cobra.ShellCompDirectiveNoFileComp
		}
		return s.numbers(cmd, states), cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
	}
}

// completeNumberThenFile offers the number of a quote, and then files.
func completeNumberThenFile(s *session) cobra.CompletionFunc {
	return func(cmd *cobra.Command, args []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		if len(args) == 1 {
			return []cobra.Completion{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt
		}
		return completeNumbers(s)(cmd, args, "")
	}
}

// numbers gives the newest quotes, each with what it is for.
func (s *session) numbers(cmd *cobra.Command, states []lugbookv1.QuoteState) []cobra.Completion {
	var list []cobra.Completion
	s.ask(cmd, func(ctx context.Context) {
		client := lugbookv1.NewQuoteServiceClient(s.conn)
		reply, err := client.ListQuotes(ctx, &lugbookv1.ListQuotesRequest{States: states, PageSize: completed})
		if err != nil {
			return // nothing to offer is all that the shell can be told
		}
		for _, q := range reply.GetQuotes() {
			list = append(list, cobra.CompletionWithDesc(q.GetNumber(), listedBy("; ", word(q.GetState()), q.GetCustomerName(), q.GetVehicleLabel())))
		}
	})
	return list
}

// completeVehicles offers the ids of the catalog's vehicles for a flag.
func completeVehicles(s *session, cmd *cobra.Command, flag string) {
	offer := func(cmd *cobra.Command, _ []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		var list []cobra.Completion
		s.ask(cmd, func(ctx context.Context) {
			reply, err := lugbookv1.NewCatalogServiceClient(s.conn).ListVehicles(ctx, &lugbookv1.ListVehiclesRequest{PageSize: longestPage})
			if err != nil {
				return // as above
			}
			for _, v := range reply.GetVehicles() {
				list = append(list, cobra.CompletionWithDesc(v.GetId(), v.GetLabel()))
			}
		})
		return list, cobra.ShellCompDirectiveNoFileComp
	}
	// It fails only for a flag that does not exist, and a test runs them all.
	if err := cmd.RegisterFlagCompletionFunc(flag, offer); err != nil {
		panic(err)
	}
}

// ask has a connection made for a completion and gives it back, within the time
// that the shell may be kept waiting.
func (s *session) ask(cmd *cobra.Command, do func(ctx context.Context)) {
	ctx, cancel := context.WithTimeout(cmd.Context(), completionLimit)
	defer cancel()
	if s.check(cmd) != nil {
		return
	}
	_, done, err := s.connect(ctx)
	if err != nil {
		return
	}
	defer done()
	do(ctx)
}
