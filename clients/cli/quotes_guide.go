package cli

import (
	"context"
	"errors"
	"fmt"
	"os"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/guide"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/cli/internal/prompt"
	"golang.org/x/term"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
)

// createFromFlags keeps the quote of a job in flags, and asks for what they leave
// open where there is a terminal to ask on.
func createFromFlags(ctx context.Context, s *session, f *createFlags) error {
	job := f.job.job()
	given := guide.Given{
		Vehicle: f.job.vehicle != "", Equipment: len(f.job.equipment.specs) > 0,
		Terms:    f.yes || f.job.layout.number != 0 || f.job.growth.set() || f.job.discount.set(),
		Customer: f.yes || f.job.customer.given(), Save: f.yes,
	}
	if given.Vehicle && given.Equipment && given.Save {
		if err := f.keepJob(s, job); err != nil {
			return err
		}
		reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.CreateQuote, f.request(s, job, f.change.id()), f.job.placeInJobFlags)
		if err != nil {
			return err
		}
		return s.created(reply, f)
	}
	asker, ok := s.asker()
	if !ok {
		return cannotAsk(given)
	}
	return createGuided(ctx, s, f, job, given, asker)
}

// cannotAsk says which flags are missing where nothing can be asked.
func cannotAsk(given guide.Given) error {
	var missing []string
	for _, flag := range []struct {
		given bool
		name  string
	}{{given.Vehicle, "--vehicle"}, {given.Equipment, "--equipment"}, {given.Save, "--yes"}} {
		if !flag.given {
			missing = append(missing, flag.name)
		}
	}
	return misuse(`name a job file, or give them; "lugbook quotes create --help" shows examples`, "nothing can be asked here, and not given: %s", strings.Join(missing, ", "))
}

// asker gives what asks people, where there is a terminal and asking is wanted.
func (s *session) asker() (prompt.Asker, bool) {
	in, canRead := s.cli.Stdin.(*os.File)
	out, canWrite := s.cli.Stderr.(*os.File)
	if !canRead || !canWrite || s.settings.GetBool(settingNoInput) || !term.IsTerminal(int(in.Fd())) || !term.IsTerminal(int(out.Fd())) {
		return nil, false
	}
	plain := s.settings.GetBool(settingAccessible) || os.Getenv("TERM") == "dumb"
	return prompt.NewTerminal(in, out, plain), true
}

// createGuided asks for what is not given, shows what it comes to and keeps it.
func createGuided(ctx context.Context, s *session, f *createFlags, job *lugbookv1.Job, given guide.Given, asker prompt.Asker) error {
	conn, done, err := s.connect(ctx) // one connection for all questions
	if err != nil {
		return err
	}
	defer done()
	k := &keeper{s: s, f: f}
	g := &guide.Guide{
		Asker: asker, Catalog: lugbookv1.NewCatalogServiceClient(conn), Save: k.save, Refused: s.refused,
		Preview: func(ctx context.Context, job *lugbookv1.Job) (guide.Preview, error) { return s.preview(ctx, f, job) },
	}
	err = g.Run(ctx, job, given)
	var (
		known *failure
		call  *callError
	)
	switch {
	case err == nil:
		return s.created(k.reply, f)
	case errors.Is(err, prompt.ErrStopped) || ctx.Err() != nil:
		return k.stopped()
	case errors.As(err, &known), errors.As(err, &call):
		return err
	}
	if st, ok := status.FromError(err); ok { // of a call to the catalog
		return &callError{status: st, units: s.units, place: placeInFlags(map[string]string{"id": "--vehicle"})}
	}
	return &failure{code: Failed, err: err}
}

// keeper stores the quote of a conversation, in as many tries as it takes.
type keeper struct {
	s     *session
	f     *createFlags
	tried *lugbookv1.Job // the job of the last try
	id    string         // of the last try
	doubt bool           // true: nobody answered a try, and it may have been done
	reply *lugbookv1.CreateQuoteResponse
}

// save stores the quote of a job. The same job keeps its id from one try to the
// next, so that it is stored once.
func (k *keeper) save(ctx context.Context, job *lugbookv1.Job) error {
	if k.tried == nil || !proto.Equal(k.tried, job) {
		k.tried, k.id = proto.CloneOf(job), k.f.change.id()
	}
	if err := k.f.keepJob(k.s, job); err != nil {
		return err
	}
	var err error
	k.reply, err = stored(ctx, k.s, lugbookv1.QuoteServiceClient.CreateQuote, k.f.request(k.s, job, k.id), placeInAnswers(job))
	var call *callError
	if errors.As(err, &call) {
		code := call.status.Code()
		k.doubt = k.doubt || noAnswer(code) || code == codes.Canceled
	}
	return err
}

// stopped tells how it stands after the person left.
func (k *keeper) stopped() error {
	if k.doubt {
		return &failure{code: Failed, err: errors.New("stopped: whether the quote was stored is not known"), hint: `"lugbook quotes list" shows the newest first`}
	}
	return &failure{code: Failed, err: errors.New("stopped: nothing was stored")}
}

// preview reckons the job and lays out what it comes to.
func (s *session) preview(ctx context.Context, f *createFlags, job *lugbookv1.Job) (guide.Preview, error) {
	reply, err := stored(ctx, s, lugbookv1.QuoteServiceClient.PreviewQuote, &lugbookv1.PreviewQuoteRequest{
		Source:      &lugbookv1.QuoteSource{Source: &lugbookv1.QuoteSource_Job{Job: job}},
		IncludeCost: f.cost, Language: s.language, UnitSystem: s.units, CatalogRevision: f.revision,
	}, placeInAnswers(job))
	if err != nil {
		return guide.Preview{}, err
	}
	q := reply.GetQuote()
	short, whole := page.New(s.cli.Width), page.New(s.cli.Width)
	quoteRows(short, q, zoneOf(q, s.cli.Location))
	totals(short, q, f.cost)
	bullets(short, "Conflicts with the makers' figures", newOutline(q).conflictTexts())
	quotePage(whole, q, s.cli.Location, f.cost)
	return guide.Preview{Total: moneyText(q.GetTotals().GetTotal()), Short: short.String(), Whole: whole.String()}, nil
}

// refused gives the words for what the service refused, or did not answer; nothing
// for what no change of an answer mends.
func (s *session) refused(err error) string {
	var call *callError
	if !errors.As(err, &call) {
		return ""
	}
	var b strings.Builder
	t := teller{&b}
	t.line("%s", call.headline())
	t.particulars(call)
	p := page.New(s.cli.Width)
	for line := range strings.Lines(b.String()) {
		p.Text(0, line)
	}
	return p.String()
}

// answerOf names the question behind each field of a job.
var answerOf = map[string]string{
	"vehicle_id": "vehicle", "system.layout": "layout", "system.growth_percent": "room for later additions",
	"terms.discount_percent": "discount", "terms.discount_reason": "reason of the discount",
	"customer.name": "name", "customer.phone": "telephone", "customer.email": "e-mail", "customer.reference": "reference",
}

// placeInAnswers says which answer a field of the request came from; of equipment,
// of which piece.
func placeInAnswers(job *lugbookv1.Job) func(string) string {
	return func(path string) string {
		within, ofJob := strings.CutPrefix(path, "source.job.")
		if !ofJob {
			return placeInFlags(quotesFlagOf)(path)
		}
		var n int
		devices := job.GetSystem().GetDevices()
		if _, err := fmt.Sscanf(within, "system.devices[%d]", &n); err == nil && n >= 0 && n < len(devices) {
			return listed(firstOf(devices[n].GetLabel(), devices[n].GetId()), within[strings.LastIndexByte(within, '.')+1:])
		}
		if place := placeInFlags(answerOf)(within); place != within {
			return place
		}
		return path
	}
}
