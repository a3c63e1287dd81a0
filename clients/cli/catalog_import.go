package cli

import (
	"context"
	"fmt"
	"os"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/spf13/cobra"
)

// importFlags is what "lugbook catalog import" was given.
type importFlags struct {
	dryRun, all  bool
	note, expect string
}

// importFlagOf names the flag behind each field of an import.
var importFlagOf = map[string]string{"options.note": "--note", "options.expected_revision": "--expect", "options.size_bytes": "PATH", "piece.data": "PATH", "piece.file_name": "PATH"}

// importCatalogCommand makes "lugbook catalog import".
func importCatalogCommand(s *session) *cobra.Command {
	f := &importFlags{}
	cmd := &cobra.Command{
		Use:   "import FOLDER|FILE.xlsx",
		Short: "Put a catalog in force, and tell what it changes",
		Long: "Import reads a catalog, tells what it changes against the one in force, and puts it in force:\n" +
			"all of it or, where anything is wrong, nothing. With --dry-run it only tells. Quotes that were\n" +
			"given out stay as they are. A workbook takes the YAML files beside it along.",
		Example: "  lugbook catalog import my-prices --dry-run\n" +
			"  lugbook catalog import my-prices --note \"Spring prices\"",
		Args: oneCatalog,
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return importCatalog(cmd.Context(), s, args[0], f)
		}),
	}
	flags := cmd.Flags()
	flags.BoolVar(&f.dryRun, "dry-run", false, "tell what would change, and change nothing")
	flags.StringVar(&f.note, "note", "", "why, for \"lugbook catalog revisions\"")
	flags.StringVar(&f.expect, "expect", "", "revision that is to be replaced; refused where another is in force")
	flags.BoolVar(&f.all, "all", false, "name everything that changes, however much")
	return cmd
}

// oneCatalog refuses any other number of arguments.
func oneCatalog(cmd *cobra.Command, args []string) error {
	hint := fmt.Sprintf("%q shows examples", cmd.CommandPath()+" --help")
	switch {
	case len(args) == 0:
		return misuse(hint, "not given: the folder of the catalog")
	case len(args) > 1:
		return misuse(hint, "one catalog at a time: %q is too much", args[1])
	}
	return nil
}

func importCatalog(ctx context.Context, s *session, path string, f *importFlags) error {
	files, err := catalogFiles(path)
	if err != nil {
		return err
	}
	size, err := sizeOf(files)
	if err != nil {
		return err
	}
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := s.upload(ctx, lugbookv1.NewCatalogServiceClient(conn), files, &lugbookv1.ImportCatalogOptions{
		SizeBytes: size, DryRun: f.dryRun, Note: f.note, ExpectedRevision: f.expect, UnitSystem: s.units, Language: s.language,
	})
	if err != nil {
		return err
	}
	if len(reply.GetFaults()) > 0 {
		return s.faulty(reply)
	}
	if err := s.show(reply, func(p *page.Page) { importPage(p, reply, f.all) }); err != nil {
		return err
	}
	if f.dryRun && !reply.GetUnchanged() {
		s.note("hint: nothing was changed; without --dry-run the catalog is put in force")
	}
	return nil
}

// upload sends a catalog to be imported.
func (s *session) upload(ctx context.Context, client lugbookv1.CatalogServiceClient, files []string, options *lugbookv1.ImportCatalogOptions) (*lugbookv1.ImportCatalogResponse, error) {
	ctx, cancel := context.WithCancel(ctx) // a file that cannot be read breaks the stream off
	defer cancel()
	stream, err := client.ImportCatalog(ctx)
	if err != nil {
		return nil, s.callFault(err, placeInFlags(importFlagOf))
	}
	progress := s.progress(options.GetSizeBytes(), "sending the catalog")
	defer progress.end()
	// Where sending fails, the reply says why.
	_ = stream.Send(&lugbookv1.ImportCatalogRequest{Content: &lugbookv1.ImportCatalogRequest_Options{Options: options}})
	err = sendFiles(files, func(piece *lugbookv1.CatalogPiece) error {
		progress.add(len(piece.GetData()))
		return stream.Send(&lugbookv1.ImportCatalogRequest{Content: &lugbookv1.ImportCatalogRequest_Piece{Piece: piece}})
	})
	if err != nil {
		return nil, err
	}
	progress.end()
	reply, err := stream.CloseAndRecv()
	if err != nil {
		return nil, s.callFault(err, placeInFlags(importFlagOf))
	}
	return reply, nil
}

// sizeOf gives the bytes of files together.
func sizeOf(files []string) (int64, error) {
	var size int64
	for _, path := range files {
		info, err := os.Stat(path)
		if err != nil {
			return 0, &failure{code: Failed, err: fmt.Errorf("read the catalog: %w", err)}
		}
		size += info.Size()
	}
	return size, nil
}

// faulty is the failure of a catalog with faults: malformed input. As JSON the reply has
// them, as text they stand in the error.
func (s *session) faulty(reply *lugbookv1.ImportCatalogResponse) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s; nothing was imported", counted(len(reply.GetFaults()), "fault", "the catalog"))
	if s.json {
		if err := s.show(reply, nil); err != nil {
			return err
		}
	} else {
		for _, f := range reply.GetFaults() {
			b.WriteString("\n" + faultLine(f))
		}
	}
	return misuse(`mend the files and import them again; "lugbook catalog check" says what is missing besides`, "%s", b.String())
}
