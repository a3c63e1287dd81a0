package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/cli/internal/prompt"
	"github.com/spf13/cobra"
)

// eraseCommand makes "lugbook quotes erase".
func eraseCommand(s *session) *cobra.Command {
	var (
		change changeFlags
		sure   bool
	)
	cmd := &cobra.Command{
		Use:   "erase NUMBER …",
		Short: "Remove for good what quotes know of the customer",
		Long: "Erase removes from stored quotes, at the customer's wish, the name, the ways to reach them,\n" +
			"remarks, and the documents that hold them. Figures and prices stay. It cannot be undone, so\n" +
			"it asks first; where nothing can be asked it wants --yes.",
		Example: "  lugbook quotes erase 17 --yes\n" +
			"  lugbook quotes erase 2026-00017 2026-00021 --yes --staff owner",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) > 0 {
				return nil
			}
			return oneNumber(cmd, args)
		},
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			if !sure {
				if err := confirmErasing(cmd.Context(), s, args); err != nil {
					return err
				}
			}
			return erase(cmd.Context(), s, &lugbookv1.EraseCustomerRequest{Numbers: args, RequestId: change.id(), Staff: s.staff()})
		}),
	}
	change.addRequestID(cmd)
	cmd.Flags().BoolVar(&sure, "yes", false, "erase without asking")
	return cmd
}

// confirmErasing asks whether the person is sure.
func confirmErasing(ctx context.Context, s *session, numbers []string) error {
	asker, ok := s.asker()
	if !ok {
		return misuse("it cannot be undone; add --yes if you are sure", "nothing can be asked here, and not given: --yes")
	}
	const no, yes = "no", "yes"
	answer := no
	err := asker.Ask(ctx, prompt.Screen{
		Title: "Erase the customer from " + page.Clean(strings.Join(numbers, ", ")) + "?", First: true,
		Fields: []prompt.Field{{
			Label: "It cannot be undone. Erase?", Value: &answer,
			Choices: []prompt.Choice{{Value: no, Label: "No, keep everything"}, {Value: yes, Label: "Yes, erase name, ways to reach them, remarks and documents"}},
		}},
	})
	if err != nil && !errors.Is(err, prompt.ErrStopped) && ctx.Err() == nil {
		return &failure{code: Failed, err: err}
	}
	if err != nil || answer != yes {
		return &failure{code: Failed, err: errors.New("stopped: nothing was erased")}
	}
	return nil
}

// erase removes the customer.
func erase(ctx context.Context, s *session, request *lugbookv1.EraseCustomerRequest) error {
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.EraseCustomer, request, placeInNumbers(request.GetNumbers()))
	if err != nil {
		return err
	}
	return s.show(reply, func(p *page.Page) {
		p.Text(0, "Erased for good from: "+strings.Join(reply.GetNumbers(), ", "))
	})
}

// placeInNumbers says which number of the command line a fault is about.
func placeInNumbers(numbers []string) func(string) string {
	return func(path string) string {
		var n int
		if _, err := fmt.Sscanf(path, "numbers[%d]", &n); err == nil && n >= 0 && n < len(numbers) {
			return numbers[n]
		}
		return placeInFlags(quotesFlagOf)(path)
	}
}
