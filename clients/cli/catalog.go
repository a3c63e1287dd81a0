package cli

import (
	"github.com/spf13/cobra"
)

// catalogCommand makes "lugbook catalog" and what is below it.
func catalogCommand(s *session) *cobra.Command {
	cmd := &cobra.Command{
		Use:   "catalog",
		Short: "Look into the shop's catalog, check it, replace it, and keep its stock",
		Long: "Catalog shows the parts and vehicles that quotes are made from, checks what is missing, puts\n" +
			"the shop's own catalog in force, and keeps count of what is on the shelf.",
		Example: "  lugbook catalog parts fuse holder\n" +
			"  lugbook catalog vehicles camper-van\n" +
			"  lugbook catalog check\n" +
			"  lugbook catalog import my-prices --dry-run",
		Args: noSuchCommand,
		RunE: func(*cobra.Command, []string) error {
			return misuse(`"lugbook catalog --help" lists what there is`, "not given: what of the catalog to show")
		},
	}
	cmd.AddCommand(partsCommand(s), vehiclesCommand(s), checkCatalogCommand(s), importCatalogCommand(s), exportCatalogCommand(s), revisionsCommand(s),
		stockCommand(s), shortagesCommand(s))
	return cmd
}

// pageFlags is which page of a list to show.
type pageFlags struct {
	size  int32
	token string
}

// add adds the flags to a command.
func (f *pageFlags) add(cmd *cobra.Command) {
	cmd.Flags().Int32Var(&f.size, "page-size", 0, "how many at most, up to 1000 (default 50)")
	cmd.Flags().StringVar(&f.token, "page-token", "", "where to go on, as the last page said")
}

// more tells how to see the next page.
func (s *session) more(cmd *cobra.Command, token string) {
	if token != "" {
		s.note("hint: there is more; repeat %q with --page-token %s", cmd.CommandPath(), token)
	}
}
