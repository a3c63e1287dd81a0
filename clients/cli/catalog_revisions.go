package cli

import (
	"context"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// revisionFlagOf names the flag behind the field that names a catalog's revision.
var revisionFlagOf = map[string]string{"catalog_revision": "--revision"}

// revisionsCommand makes "lugbook catalog revisions".
func revisionsCommand(s *session) *cobra.Command {
	f := &pageFlags{}
	cmd := &cobra.Command{
		Use:   "revisions",
		Short: "List the catalogs that are kept, the newest first",
		Long: "Revisions lists the catalogs that were imported or that quotes were made from. --revision of\n" +
			"\"lugbook quote\" and \"lugbook quotes create\" quotes on an old one.",
		Example: "  lugbook catalog revisions\n" +
			"  lugbook catalog revisions --output json",
		Args: cobra.NoArgs,
		RunE: s.run(func(cmd *cobra.Command, _ []string) error {
			return revisions(cmd.Context(), s, cmd, f)
		}),
	}
	f.add(cmd)
	return cmd
}

func revisions(ctx context.Context, s *session, cmd *cobra.Command, f *pageFlags) error {
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewCatalogServiceClient(conn).ListRevisions(ctx, &lugbookv1.ListRevisionsRequest{PageSize: f.size, PageToken: f.token})
	if err != nil {
		return s.callFault(err, placeInFlags(map[string]string{"page_size": "--page-size", "page_token": "--page-token"}))
	}
	if err := s.show(reply, func(p *page.Page) { revisionsPage(p, reply, s.cli.Location) }); err != nil {
		return err
	}
	s.more(cmd, reply.GetNextPageToken())
	return nil
}

// revisionsPage lays out a page of revisions.
func revisionsPage(p *page.Page, r *lugbookv1.ListRevisionsResponse, zone *time.Location) {
	t := page.Table{Columns: []page.Column{{Title: "revision"}, {Title: "kept", Right: true}, {Title: "by"}, {Title: "in force"}, {Title: "note", Wraps: true}}}
	for _, c := range r.GetRevisions() {
		inForce := ""
		if c.GetCurrent() {
			inForce = "now"
		}
		t.Rows = append(t.Rows, []string{shortRevision(c.GetCatalogRevision()), dateText(c.GetCreateTime(), zone), c.GetCaller(), inForce, c.GetNote()})
	}
	if len(t.Rows) > 0 {
		p.Table(t)
		p.Blank()
	}
	from := "in force: "
	if r.GetFixed() {
		from = "in force, as the service was started on it: "
	}
	p.Text(0, from+shortRevision(r.GetCurrentRevision()))
}

// addRevision adds the flag that names a revision of the catalog.
func addRevision(s *session, cmd *cobra.Command, value *string) {
	cmd.Flags().StringVar(value, "revision", "", "revision of the catalog, at least its first 8 digits (default the one in force)")
	completeRevisions(s, cmd, "revision")
}

// completeRevisions offers the revisions of the catalog for a flag.
func completeRevisions(s *session, cmd *cobra.Command, flag string) {
	offer := func(cmd *cobra.Command, _ []string, _ string) ([]cobra.Completion, cobra.ShellCompDirective) {
		var list []cobra.Completion
		s.ask(cmd, func(ctx context.Context) {
			reply, err := lugbookv1.NewCatalogServiceClient(s.conn).ListRevisions(ctx, &lugbookv1.ListRevisionsRequest{PageSize: completed})
			if err != nil {
				return // nothing to offer is all that the shell can be told
			}
			for _, c := range reply.GetRevisions() {
				list = append(list, cobra.CompletionWithDesc(shortRevision(c.GetCatalogRevision()), listedBy("; ", dateText(c.GetCreateTime(), s.cli.Location), c.GetNote())))
			}
		})
		return list, cobra.ShellCompDirectiveNoFileComp | cobra.ShellCompDirectiveKeepOrder
	}
	// It fails only for a flag that does not exist, and a test runs them all.
	if err := cmd.RegisterFlagCompletionFunc(flag, offer); err != nil {
		panic(err)
	}
}
