package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
	"google.golang.org/protobuf/proto"
)

// standardInput is the file name that means standard input.
const standardInput = "-"

// quoteCommand makes "lugbook quote".
func quoteCommand(s *session) *cobra.Command {
	var cost bool
	var revision string
	cmd := &cobra.Command{
		Use:   "quote FILE",
		Short: "Design and price a job",
		Long: "Quote reads a job (\"lugbook help job-files\" explains the form), designs the wiring and\n" +
			"prints the priced result with its reasons and cautions. Nothing is stored. FILE may be -\n" +
			"for standard input.",
		Example: "  lugbook quote camper-van.yaml\n" +
			"  lugbook quote open-boat.yaml --units us\n" +
			"  lugbook quote sedan-audio.yaml --cost --output json",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return misuse(fmt.Sprintf("%q shows examples; \"lugbook quotes create\" asks in place of a file", cmd.CommandPath()+" --help"), "no job file is named")
			}
			return oneFile(cmd, args)
		},
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			return quote(cmd.Context(), s, args[0], revision, cost)
		}),
	}
	cmd.Flags().BoolVar(&cost, "cost", false, "show cost and margin, for the owner's eyes")
	addRevision(s, cmd, &revision)
	return cmd
}

// quote previews the job of a file.
func quote(ctx context.Context, s *session, name, revision string, cost bool) error {
	var job lugbookv1.Job
	source, err := readFile(s, name, &job)
	if err != nil {
		return err
	}
	conn, done, err := s.connect(ctx)
	if err != nil {
		return err
	}
	defer done()
	reply, err := lugbookv1.NewQuoteServiceClient(conn).PreviewQuote(ctx, &lugbookv1.PreviewQuoteRequest{
		Source:          &lugbookv1.QuoteSource{Source: &lugbookv1.QuoteSource_Job{Job: &job}},
		IncludeCost:     cost,
		Language:        s.language,
		UnitSystem:      s.units,
		CatalogRevision: revision,
	})
	if err != nil {
		return s.callFault(err, placeInFileOrFlags(source, revisionFlagOf, "source.job", "job"))
	}
	return s.show(reply, func(p *page.Page) { quotePage(p, reply.GetQuote(), s.cli.Location, cost) })
}

// readFile reads a YAML file, or standard input, into a request message.
func readFile(s *session, name string, into proto.Message) (*jobfile.Source, error) {
	r, shown := s.input(), "stdin"
	if name != standardInput {
		file, err := os.Open(name)
		if err != nil {
			return nil, fileFault(name, err)
		}
		defer func() { _ = file.Close() }() // it was only read
		r, shown = file, name
	}
	source, err := jobfile.Read(shown, r, into)
	var faults jobfile.Faults
	if err != nil && !errors.As(err, &faults) {
		return nil, fileFault(shown, err)
	}
	return source, err
}

// fileFault words the error of a file that cannot be read. A name that leads
// nowhere is a misuse; a file that is there and refuses is a failure.
func fileFault(name string, err error) error {
	var path *fs.PathError
	if !errors.As(err, &path) {
		return &failure{code: Failed, err: err}
	}
	if errors.Is(err, fs.ErrNotExist) {
		return misuse("a job file is named by its path; - is standard input", "there is no file %s", name)
	}
	if info, bad := os.Stat(name); bad == nil && info.IsDir() {
		return misuse("name a file in it", "%s is a folder", name)
	}
	return &failure{code: Failed, err: fmt.Errorf("read %s: %w", name, path.Err)}
}

// placeInFile says where in a file a field of the request was written. The
// prefixes are the paths of the file's message within the request.
func placeInFile(source *jobfile.Source, prefixes ...string) func(string) string {
	return func(path string) string {
		within := path
		for _, prefix := range prefixes {
			if rest, ok := strings.CutPrefix(path, prefix+"."); ok {
				within = rest
				break
			}
		}
		if flag, ok := commonFlags[path]; ok {
			return flag
		}
		line, column, ok := source.Position(within)
		if !ok {
			return path
		}
		return fmt.Sprintf("%s:%d:%d: %s", source.Name(), line, column, within)
	}
}

// oneFile refuses any other number of arguments.
func oneFile(cmd *cobra.Command, args []string) error {
	hint := fmt.Sprintf("%q shows examples", cmd.CommandPath()+" --help")
	switch {
	case len(args) == 0:
		return misuse(hint, "no job file is named")
	case len(args) > 1:
		return misuse(hint, "one job file at a time: %q is too much", args[1])
	}
	return nil
}
