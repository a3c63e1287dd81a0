package rpc

import (
	"context"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/quoting"
)

// QuoteService serves lugbook.v1.QuoteService.
type QuoteService struct {
	pb.UnimplementedQuoteServiceServer
	quoting *quoting.Service
}

// NewQuoteService gives the handlers over the use cases.
func NewQuoteService(q *quoting.Service) *QuoteService { return &QuoteService{quoting: q} }

// Where a job stands in a request, and where one from the store is asked for.
const (
	sourceField  = "source"
	jobField     = "source.job."
	numberField  = "source.number"
	revisedField = "job."
)

// prose gives the prose of a request.
func (s *QuoteService) prose(language string, units pb.UnitSystem) prose {
	return proseOf(s.quoting.Current(), language, units)
}

// proseOf gives the prose of a request that is answered from an edition.
func proseOf(e *quoting.Edition, language string, units pb.UnitSystem) prose {
	return proseFor(&e.Catalog().Shop, language, units)
}

// source is what a quote is made of, as far as the request tells: a job, or the
// number of a stored quote.
type source struct {
	message *pb.Job
	job     quoting.Job
	stored  quoting.Ref
}

// source reads what a quote is to be made of.
func (in *intake) source(m *pb.QuoteSource) source {
	switch m.GetSource().(type) {
	case *pb.QuoteSource_Job:
		return source{message: m.GetJob(), job: in.job(jobField, m.GetJob())}
	case *pb.QuoteSource_Number:
		return source{stored: in.quoteRef(numberField, m.GetNumber())}
	}
	in.fault(sourceField, "no_source")
	return source{}
}

// at is where the job's faults are in the request.
func (f source) at() string {
	if f.message == nil {
		return numberField + "."
	}
	return jobField
}

// faults gives the faults of a request, together with those of its job.
func (s *QuoteService) faults(ctx context.Context, in *intake, f source, revision string) design.Violations {
	if f.message == nil {
		return in.bad
	}
	return s.withJob(ctx, in, f.job, revision, jobField)
}

// withJob adds the faults of a job on a revision of the catalog; one that is not there
// has none to add.
func (s *QuoteService) withJob(ctx context.Context, in *intake, job quoting.Job, revision, prefix string) design.Violations {
	edition, err := s.quoting.At(ctx, revision)
	if err != nil {
		return in.bad
	}
	return in.merge(edition.Check(job), prefix)
}

// find reads the job of a stored quote where the source names one.
func (s *QuoteService) find(ctx context.Context, f source) (source, error) {
	if f.message != nil {
		return f, nil
	}
	stored, _, err := s.quoting.Get(ctx, f.stored, 0, false)
	if err != nil {
		return f, err
	}
	f.message, f.job, err = jobOf(&stored.Revision)
	return f, err
}

// jobOf gives the job of a stored quote, as it was asked and as it is reckoned. One
// that a later version of the rules of the contract refuses gives design.Violations.
func jobOf(r *quoting.Revision) (*pb.Job, quoting.Job, error) {
	message, err := storedJob(r)
	if err != nil {
		return nil, quoting.Job{}, err
	}
	in := newIntake(message)
	job := in.job("", message)
	if len(in.bad) > 0 {
		return nil, quoting.Job{}, in.bad
	}
	return message, job, nil
}

// draft gives a job as what is stored of it.
func draft(e *quoting.Edition, p prose, message *pb.Job, job quoting.Job) (quoting.Draft, error) {
	asked, personal, err := split(message)
	return quoting.Draft{
		Edition: e, Job: job, Customer: contact(message.GetCustomer()), Language: p.Language(), Format: snapshotFormat, Asked: asked, Personal: personal,
		Encode: func(v *quoting.Preview) ([]byte, error) {
			return snapshot(p.quote(message, v, true))
		},
	}, err
}

// PreviewQuote designs and prices a job without storing it.
func (s *QuoteService) PreviewQuote(ctx context.Context, r *pb.PreviewQuoteRequest) (*pb.PreviewQuoteResponse, error) {
	p := s.prose(r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	from := in.source(r.GetSource())
	at := from.at()
	if len(in.bad) > 0 {
		return nil, p.invalid(s.faults(ctx, in, from, r.GetCatalogRevision()), "")
	}
	edition, err := s.quoting.At(ctx, r.GetCatalogRevision())
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	p = proseOf(edition, r.GetLanguage(), r.GetUnitSystem())
	from, err = s.find(ctx, from)
	if err != nil {
		return nil, p.statusOf(err, at)
	}
	from.job.Terms.Caller = discounter(ctx)
	preview, err := s.quoting.Preview(ctx, edition, from.job)
	if err != nil {
		return nil, p.statusOf(err, at)
	}
	return &pb.PreviewQuoteResponse{Quote: p.quote(from.message, preview, r.GetIncludeCost())}, nil
}

// CreateQuote designs and prices a job and stores it.
func (s *QuoteService) CreateQuote(ctx context.Context, r *pb.CreateQuoteRequest) (*pb.CreateQuoteResponse, error) {
	p := s.prose(r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	request, from := in.request(ctx, r), in.source(r.GetSource())
	if len(in.bad) > 0 {
		return nil, p.invalid(s.faults(ctx, in, from, r.GetCatalogRevision()), "")
	}
	stored, err := s.quoting.Create(ctx, request, func(ctx context.Context) (quoting.Draft, error) {
		edition, err := s.quoting.At(ctx, r.GetCatalogRevision())
		if err != nil {
			return quoting.Draft{}, err
		}
		found, err := s.find(ctx, from)
		if err != nil {
			return quoting.Draft{}, err
		}
		found.job.Terms.Caller = discounter(ctx)
		return draft(edition, proseOf(edition, r.GetLanguage(), r.GetUnitSystem()), found.message, found.job)
	})
	if err != nil {
		return nil, p.statusOf(err, from.at())
	}
	quote, err := storedQuote(stored, r.GetIncludeCost())
	return &pb.CreateQuoteResponse{Quote: quote}, p.statusOf(err, "")
}
