package cli

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
)

// createFlags is what "lugbook quotes create" was given.
type createFlags struct {
	job          jobFlags
	change       changeFlags
	yes, cost    bool
	like         string
	revision     string // of the catalog
	out, saveJob string
}

// createCommand makes "lugbook quotes create".
func createCommand(s *session) *cobra.Command {
	f := &createFlags{job: newJobFlags()}
	cmd := &cobra.Command{
		Use:   "create [FILE]",
		Short: "Make a quote and keep it",
		Long: "Create designs and prices a job, gives it a number and keeps it. The job comes from FILE\n" +
			"(\"lugbook help job-files\" explains the form, - is standard input). Without FILE it is asked\n" +
			"for on a terminal, step by step; whatever a flag says is not asked. With --vehicle,\n" +
			"--equipment and --yes nothing is asked at all. Equipment is a part number or a kind and\n" +
			"what it draws, then @ and its zone, as in EQ-FRG-45@galley or light:6W@roof,quantity=6.",
		Example: "  lugbook quotes create camper-van.yaml\n" +
			"  lugbook quotes create sedan-audio.yaml --customer-name \"A. Example\" --out quote.txt\n" +
			"  lugbook quotes create --vehicle camper-van --equipment EQ-FRG-45@galley,battery=house --equipment light:6W@roof,quantity=6,battery=house --customer-name \"A. Example\" --yes",
		Args: func(cmd *cobra.Command, args []string) error {
			if len(args) == 0 {
				return nil
			}
			return oneFile(cmd, args)
		},
		ValidArgsFunction: cobra.FixedCompletions([]cobra.Completion{"yaml", "yml"}, cobra.ShellCompDirectiveFilterFileExt),
		RunE: s.run(func(cmd *cobra.Command, args []string) error {
			if f.saveJob != "" {
				if err := mustNotExist(f.saveJob); err != nil {
					return err
				}
			}
			if f.like != "" {
				return createLike(cmd.Context(), s, args, f)
			}
			if len(args) == 1 {
				return createFromFile(cmd.Context(), s, args[0], f)
			}
			return createFromFlags(cmd.Context(), s, f)
		}),
	}
	f.job.add(s, cmd)
	f.change.addRequestID(cmd)
	addRevision(s, cmd, &f.revision)
	flags := cmd.Flags()
	flags.BoolVar(&f.yes, "yes", false, "keep the quote without asking")
	flags.BoolVar(&f.cost, "cost", false, "show cost and margin, for the owner's eyes")
	flags.StringVar(&f.like, "like", "", "number of a stored quote whose job and customer it is made of")
	flags.StringVar(&f.out, "out", "", "file to write the whole quote to, to print or send")
	flags.StringVar(&f.saveJob, "save-job", "", "new file to keep the job in, to start others from")
	return cmd
}

// createFromFile keeps the quote of a job file.
func createFromFile(ctx context.Context, s *session, name string, f *createFlags) error {
	if given := f.job.givenBesideFile(); given != "" {
		return misuse("the customer's flags may stand beside a file", "%s does not go with a job file, which says it", given)
	}
	job := &lugbookv1.Job{}
	source, err := readFile(s, name, job)
	if err != nil {
		return err
	}
	f.job.customer.set(job)
	if err := f.keepJob(s, job); err != nil {
		return err
	}
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.CreateQuote, f.request(s, job, f.change.id()), f.job.customer.place("source.job", placeInFileOrFlags(source, quotesFlagOf, "source.job")))
	if err != nil {
		return err
	}
	return s.created(reply, f)
}

// createLike keeps a new quote of the job of a stored one.
func createLike(ctx context.Context, s *session, args []string, f *createFlags) error {
	given := f.job.givenBesideFile()
	switch {
	case len(args) > 0:
		given = args[0]
	case given == "" && f.job.customer.given():
		given = "the customer"
	case given == "" && f.saveJob != "":
		return misuse("a job file is kept of a job that was given", "--save-job does not go with --like: the job stays with the server")
	}
	if given != "" {
		return misuse("\"lugbook quotes revise\" changes a quote", "%s does not go with --like, which says it", given)
	}
	request := f.request(s, nil, f.change.id())
	request.Source = &lugbookv1.QuoteSource{Source: &lugbookv1.QuoteSource_Number{Number: f.like}}
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.CreateQuote, request, placeInFlags(map[string]string{
		"source": "--like", "request_id": "--request-id", "staff": "--staff",
	}))
	if err != nil {
		return err
	}
	return s.created(reply, f)
}

// request makes the request for a job.
func (f *createFlags) request(s *session, job *lugbookv1.Job, id string) *lugbookv1.CreateQuoteRequest {
	return &lugbookv1.CreateQuoteRequest{
		Source:    &lugbookv1.QuoteSource{Source: &lugbookv1.QuoteSource_Job{Job: job}},
		RequestId: id, Staff: s.staff(), IncludeCost: f.cost, Language: s.language, UnitSystem: s.units, CatalogRevision: f.revision,
	}
}

// created shows what was kept and how to print it.
func (s *session) created(reply *lugbookv1.CreateQuoteResponse, f *createFlags) error {
	q := reply.GetQuote()
	if f.out != "" {
		err := s.showTo(f.out, reply, func(p *page.Page) { quotePage(p, q, s.cli.Location, f.cost) })
		if err != nil {
			return err
		}
	}
	if err := s.show(reply, func(p *page.Page) { receipt(p, q, s.cli.Location) }); err != nil {
		return err
	}
	if f.out == "" {
		s.note("hint: %q prints it", fmt.Sprintf("lugbook quotes show %s --out quote.txt", q.GetNumber()))
	}
	return nil
}

// keepJob writes the job to the file that was named for it, if one was.
func (f *createFlags) keepJob(s *session, job *lugbookv1.Job) error {
	if f.saveJob == "" {
		return nil
	}
	text, err := jobfile.Write(job)
	if err != nil {
		return &failure{code: Failed, err: fmt.Errorf("write the job: %w", err)}
	}
	file, err := os.OpenFile(f.saveJob, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600) // it holds a customer's name
	if err != nil {
		return writeFault("--save-job", f.saveJob, err)
	}
	_, err = file.Write(text)
	if err := errors.Join(err, file.Close()); err != nil {
		return writeFault("--save-job", f.saveJob, err)
	}
	s.note("the job is kept in %s", page.Clean(f.saveJob))
	f.saveJob = "" // once is enough where the quote is tried again
	return nil
}

// mustNotExist refuses the name of a file that is there: somebody's job would be
// lost.
func mustNotExist(name string) error {
	if _, err := os.Stat(name); err == nil {
		return misuse("name a new one", "--save-job: there is a file %s already", name)
	}
	return nil
}

// writeFault words the error of a file that cannot be written.
func writeFault(flag, name string, err error) error {
	var path *fs.PathError
	if errors.As(err, &path) {
		err = path.Err
	}
	return &failure{code: Failed, err: fmt.Errorf("%s: write %s: %w", flag, name, err), hint: "name a file in a folder that can be written to"}
}
