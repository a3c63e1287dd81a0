package rpc

import (
	"context"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/types/known/timestamppb"
)

// GetQuote shows a stored quote.
func (s *QuoteService) GetQuote(ctx context.Context, r *pb.GetQuoteRequest) (*pb.GetQuoteResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	ref, revision := in.quoteRef("number", r.GetNumber()), in.revision("revision", r.GetRevision())
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	stored, events, err := s.quoting.Get(ctx, ref, revision, r.GetIncludeHistory())
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	quote, err := storedQuote(stored, r.GetIncludeCost())
	return &pb.GetQuoteResponse{Quote: quote, History: history(events)}, p.statusOf(err, "")
}

func history(events []quoting.Event) []*pb.QuoteEvent {
	var out []*pb.QuoteEvent
	for _, e := range events {
		out = append(out, &pb.QuoteEvent{Time: timestamppb.New(e.Time), Deed: quoteDeeds.number(string(e.Deed)), Revision: int32(e.Revision), Caller: e.Caller, Staff: e.Staff, Reason: e.Reason})
	}
	return out
}

// ListQuotes lists stored quotes.
func (s *QuoteService) ListQuotes(ctx context.Context, r *pb.ListQuotesRequest) (*pb.ListQuotesResponse, error) {
	p := s.prose("", 0)
	in := newIntake(r)
	query := in.query(r)
	page := in.page(r.GetPageSize(), r.GetPageToken(), "", r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	query.BeforeRunning, query.Limit = int64(page.from), page.size
	list, more, err := s.quoting.List(ctx, query)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	out := &pb.ListQuotesResponse{}
	for i := range list {
		out.Quotes = append(out.Quotes, summary(&list[i]))
	}
	if more {
		out.NextPageToken = page.token(int(list[len(list)-1].Head.Running))
	}
	return out, nil
}

func summary(l *quoting.Listed) *pb.QuoteSummary {
	h := &l.Head
	return &pb.QuoteSummary{Number: h.Number, Revision: int32(h.Revision), State: quoteStates.number(string(l.State)), CustomerName: h.Customer.Name, VehicleLabel: vehicleName(h),
		Total: &pb.Money{CurrencyCode: h.Currency, Amount: h.Total}, CreateTime: timestamppb.New(h.CreateTime), ValidUntil: timestamppb.New(h.ValidUntil), Etag: h.ETag()}
}

// vehicleName gives what a quote calls its vehicle.
func vehicleName(h *quoting.Head) string {
	if h.VehicleLabel == "" {
		return h.VehicleID
	}
	return h.VehicleLabel
}

// query reads which quotes to list.
func (in *intake) query(r *pb.ListQuotesRequest) quoting.Query {
	in.text("customer", r.GetCustomer(), maxFilter)
	in.text("vehicle", r.GetVehicle(), maxFilter)
	in.text("text", r.GetText(), maxFilter)
	q := quoting.Query{Customer: r.GetCustomer(), Vehicle: r.GetVehicle(), Text: r.GetText(), From: in.time("created_from", r.GetCreatedFrom()), Before: in.time("created_before", r.GetCreatedBefore())}
	for i, state := range r.GetStates() {
		word := quoteStates.word(state)
		if _, ok := quoteStates.words[state]; !ok || state == pb.QuoteState_QUOTE_STATE_UNSPECIFIED || state == pb.QuoteState_QUOTE_STATE_DRAFT {
			in.fault(indexed("states", i), "unknown_word", electrical.Name("given", state.String()), electrical.Name("allowed", listWords(quoting.States())))
			continue
		}
		q.States = append(q.States, quoting.State(word))
	}
	return q
}

// time reads a moment; the zero time where there is none.
func (in *intake) time(field string, t *timestamppb.Timestamp) time.Time {
	if t == nil {
		return time.Time{}
	}
	if !t.IsValid() {
		in.fault(field, "timestamp")
		return time.Time{}
	}
	return t.AsTime()
}
