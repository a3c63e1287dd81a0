package cli

import (
	"context"
	"errors"
	"fmt"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// checkCatalogCommand makes "lugbook catalog check".
func checkCatalogCommand(s *session) *cobra.Command {
	var all bool
	cmd := &cobra.Command{
		Use:   "check [FOLDER|FILE.xlsx]",
		Short: "Check a catalog: faults, slips, and what is missing",
		Long: "Check reads a catalog and says everything that is wrong in it, with file, row and column, and\n" +
			"what is missing: conductors without a terminal, sleeve, tool, holder or labour, and where\n" +
			"work would stop. Without an argument it checks the catalog in force. It ends with 3 where\n" +
			"there are faults; advice alone ends with 0.",
		Example: "  lugbook catalog check .\n" +
			"  lugbook catalog check --all",
		Args: cobra.MaximumNArgs(1),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return checkCatalog(cmd.Context(), s, args, all)
		}),
	}
	cmd.Flags().BoolVar(&all, "all", false, "show what goes with every conductor too")
	return cmd
}

// errFaulty is the failure of a check that found faults, all of them shown already.
var errFaulty = errors.New("the catalog has faults")

func checkCatalog(ctx context.Context, s *session, args []string, all bool) error {
	var files []string
	if len(args) > 0 {
		var err error
		if files, err = catalogFiles(args[0]); err != nil {
			return err
		}
	}
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	ctx, cancel := context.WithCancel(ctx) // a file that cannot be read breaks the stream off
	defer cancel()
	stream, err := lugbookv1.NewCatalogServiceClient(conn).CheckCatalog(ctx)
	if err != nil {
		return s.callFault(err, placeInFlags(nil))
	}
	options := &lugbookv1.CheckCatalogOptions{UnitSystem: s.units, Language: s.language}
	// Where sending fails, the reply says why.
	_ = stream.Send(&lugbookv1.CheckCatalogRequest{Content: &lugbookv1.CheckCatalogRequest_Options{Options: options}})
	err = sendFiles(files, func(piece *lugbookv1.CatalogPiece) error {
		return stream.Send(&lugbookv1.CheckCatalogRequest{Content: &lugbookv1.CheckCatalogRequest_Piece{Piece: piece}})
	})
	if err != nil {
		return err
	}
	reply, err := stream.CloseAndRecv()
	if err != nil {
		return s.callFault(err, placeInFlags(nil))
	}
	if err := s.show(reply, func(p *page.Page) { checkPage(p, reply, all) }); err != nil {
		return err
	}
	if n := faultsOf(reply); n > 0 {
		return &failure{code: FaultsFound, err: fmt.Errorf("%w: %d", errFaulty, n)}
	}
	return nil
}

// faultsOf counts what keeps the catalog from being used, or stops work.
func faultsOf(r *lugbookv1.CheckCatalogResponse) int {
	n := len(r.GetFaults())
	for _, f := range r.GetFindings() {
		if f.GetSeverity() != lugbookv1.Severity_SEVERITY_ADVICE {
			n++
		}
	}
	return n
}

// checkPage lays out what the check found.
func checkPage(p *page.Page, r *lugbookv1.CheckCatalogResponse, all bool) {
	for _, f := range r.GetFaults() {
		p.Text(0, "fault: "+faultLine(f))
	}
	for _, f := range r.GetFindings() {
		p.Text(0, word(f.GetSeverity())+": "+f.GetText())
		p.Text(2, "parts: "+few(f.GetSkus()))
		if len(f.GetStops()) > 0 {
			p.Text(2, "stops work at: "+few(f.GetStops()))
		}
	}
	for _, f := range r.GetSlips() {
		p.Text(0, "advice: "+faultLine(f))
	}
	if r.GetCatalogRevision() == "" {
		return
	}
	if all {
		p.Table(coverageTable(r))
		p.Blank()
	}
	p.Text(0, fmt.Sprintf("%d parts, %d conductors; revision %s", r.GetPartCount(), len(r.GetConductors()), r.GetCatalogRevision()[:12]))
}

func faultLine(f *lugbookv1.CatalogFault) string {
	at := f.GetFile()
	if f.GetLine() > 0 {
		at += fmt.Sprintf(":%d", f.GetLine())
		if f.GetColumn() > 0 {
			at += fmt.Sprintf(":%d", f.GetColumn())
		}
	}
	text := at + ": " + f.GetProblem()
	if f.GetAllowed() != "" {
		text += "; allowed: " + f.GetAllowed()
	}
	return text
}

// few lists names, of many the first and how many more.
func few(names []string) string {
	const most = 8
	if len(names) <= most {
		return strings.Join(names, ", ")
	}
	return fmt.Sprintf("%s and %d more", strings.Join(names[:most], ", "), len(names)-most)
}

func coverageTable(r *lugbookv1.CheckCatalogResponse) page.Table {
	count := func(title string) page.Column { return page.Column{Title: title, Right: true} }
	t := page.Table{Columns: []page.Column{{Title: "conductor"}, {Title: "size"}, {Title: "rings for", Wraps: true}, count("ferr"), count("push"), count("butt"), count("sleeve"), count("hold"), count("block"), count("tool")}}
	for _, c := range r.GetConductors() {
		row := []string{c.GetSku(), c.GetSize(), strings.Join(c.GetStuds(), " ")}
		for _, n := range []int32{c.GetFerruleCount(), c.GetPushOnCount(), c.GetButtCount(), c.GetSleeveCount(), c.GetHolderCount(), c.GetBlockCount(), int32(len(c.GetToolSkus()))} {
			row = append(row, fmt.Sprint(n))
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
