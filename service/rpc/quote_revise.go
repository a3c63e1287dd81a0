package rpc

import (
	"context"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"
)

// ReviseQuote replaces a stored quote by a new revision and tells what changed.
func (s *QuoteService) ReviseQuote(ctx context.Context, r *pb.ReviseQuoteRequest) (*pb.ReviseQuoteResponse, error) {
	p := s.prose(r.GetLanguage(), r.GetUnitSystem())
	in := newIntake(r)
	request, ref := in.request(ctx, r), in.quoteRef("number", r.GetNumber())
	var job quoting.Job
	if r.GetJob() != nil {
		job = in.job(revisedField, r.GetJob())
		job.Terms.Caller = discounter(ctx) // the discount of a job that stays was given by who might
	}
	if len(in.bad) > 0 {
		bad := in.bad
		if r.GetJob() != nil {
			bad = s.withJob(ctx, in, job, r.GetCatalogRevision(), revisedField)
		}
		return nil, p.invalid(bad, "")
	}
	before, after, err := s.quoting.Revise(ctx, ref, request, func(ctx context.Context, last quoting.Stored) (quoting.Draft, error) {
		edition, err := s.quoting.At(ctx, r.GetCatalogRevision())
		if err != nil {
			return quoting.Draft{}, err
		}
		return next(edition, r, job, &last)
	})
	if err != nil {
		return nil, p.statusOf(err, revisedField)
	}
	old, err := storedQuote(before, r.GetIncludeCost())
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	quote, err := storedQuote(after, r.GetIncludeCost())
	return &pb.ReviseQuoteResponse{Quote: quote, Changes: changes(old.GetLines(), quote.GetLines())}, p.statusOf(err, "")
}

// next gives the draft of a quote's next revision: the job that the request brings,
// else that of the last revision, in the language and units of the last revision
// unless the request names others.
func next(e *quoting.Edition, r *pb.ReviseQuoteRequest, job quoting.Job, last *quoting.Stored) (quoting.Draft, error) {
	old, err := storedQuote(*last, false)
	if err != nil {
		return quoting.Draft{}, err
	}
	p := proseOf(e, first(r.GetLanguage(), old.GetLanguage()), first(r.GetUnitSystem(), old.GetUnitSystem()))
	message := r.GetJob()
	if message == nil {
		if message, job, err = jobOf(&last.Revision); err != nil {
			return quoting.Draft{}, err
		}
	}
	return draft(e, p, message, job)
}

// first gives the first of two values that says something.
func first[T comparable](value, fallback T) T {
	fill(&value, fallback)
	return value
}

// RequoteQuote reckons the job of a stored quote at today's prices.
func (s *QuoteService) RequoteQuote(ctx context.Context, r *pb.RequoteQuoteRequest) (*pb.RequoteQuoteResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	ref := in.quoteRef("number", r.GetNumber())
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	var message *pb.Job
	was, preview, err := s.quoting.Requote(ctx, ref, func(was quoting.Stored) (job quoting.Job, err error) {
		message, job, err = jobOf(&was.Revision)
		return job, err
	})
	if err != nil {
		return nil, p.statusOf(err, "number.")
	}
	before, err := storedQuote(was, r.GetIncludeCost())
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	today := proseOf(preview.Edition, before.GetLanguage(), before.GetUnitSystem()).quote(message, preview, r.GetIncludeCost())
	return &pb.RequoteQuoteResponse{Before: before, Today: today, Changes: changes(before.GetLines(), today.GetLines()),
		Difference: difference(before.GetTotals().GetTotal(), today.GetTotals().GetTotal())}, nil
}
