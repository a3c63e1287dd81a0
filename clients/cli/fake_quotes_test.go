package cli_test

import (
	"context"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"google.golang.org/protobuf/types/known/timestamppb"
)

// number is what the fake shop calls every stored quote.
const number = "2026-00017"

// kept makes the canned quote one that is stored.
func kept(q *lugbookv1.Quote, state lugbookv1.QuoteState) *lugbookv1.Quote {
	q.Number, q.Revision, q.State, q.Etag = number, 2, state, "e2"
	q.CreateTime = timestamppb.New(time.Date(2026, 11, 24, 23, 30, 0, 0, time.UTC))
	return q
}

// quote gives the canned quote, stored.
func (f *fakeShop) quote(state lugbookv1.QuoteState) *lugbookv1.Quote {
	reply := &lugbookv1.PreviewQuoteResponse{}
	shop := &fakeShop{folder: f.folder}
	if err := shop.answer(nil, "quote.json", reply); err != nil {
		panic(err) // the file is there, or no test would pass
	}
	return kept(reply.GetQuote(), state)
}

func (f *fakeShop) CreateQuote(_ context.Context, r *lugbookv1.CreateQuoteRequest) (*lugbookv1.CreateQuoteResponse, error) {
	if f.unstored != nil {
		f.calls = append(f.calls, r)
		return nil, f.unstored
	}
	reply := &lugbookv1.CreateQuoteResponse{}
	err := f.answer(r, "empty.json", reply)
	reply.Quote = f.quote(lugbookv1.QuoteState_QUOTE_STATE_OPEN)
	reply.Quote.Revision = 1
	return reply, err
}

func (f *fakeShop) GetQuote(_ context.Context, r *lugbookv1.GetQuoteRequest) (*lugbookv1.GetQuoteResponse, error) {
	reply := &lugbookv1.GetQuoteResponse{}
	err := f.answer(r, "history.json", reply)
	reply.Quote = f.quote(lugbookv1.QuoteState_QUOTE_STATE_ACCEPTED)
	if !r.GetIncludeHistory() {
		reply.History = nil
	}
	return reply, err
}

func (f *fakeShop) ListQuotes(_ context.Context, r *lugbookv1.ListQuotesRequest) (*lugbookv1.ListQuotesResponse, error) {
	reply := &lugbookv1.ListQuotesResponse{}
	if r.GetText() == "nothing" {
		f.got = r
		return reply, nil
	}
	if err := f.answer(r, "quotes.json", reply); err != nil {
		return nil, err
	}
	from := 0
	if r.GetPageToken() != "" {
		from = int(r.GetPageToken()[0] - '0')
	}
	to := min(from+int(r.GetPageSize()), len(reply.GetQuotes()))
	if r.GetPageSize() == 1000 {
		to = min(from+2, len(reply.GetQuotes())) // as if a page were that short
	}
	if to < len(reply.GetQuotes()) {
		reply.NextPageToken = string(rune('0' + to))
	}
	reply.Quotes = reply.GetQuotes()[from:to]
	return reply, nil
}

func (f *fakeShop) ReviseQuote(_ context.Context, r *lugbookv1.ReviseQuoteRequest) (*lugbookv1.ReviseQuoteResponse, error) {
	reply := &lugbookv1.ReviseQuoteResponse{}
	err := f.answer(r, "changes.json", reply)
	reply.Quote = f.quote(lugbookv1.QuoteState_QUOTE_STATE_OPEN)
	return reply, err
}

func (f *fakeShop) AcceptQuote(_ context.Context, r *lugbookv1.AcceptQuoteRequest) (*lugbookv1.AcceptQuoteResponse, error) {
	reply := &lugbookv1.AcceptQuoteResponse{}
	err := f.answer(r, "reservations.json", reply)
	reply.Quote = f.quote(lugbookv1.QuoteState_QUOTE_STATE_ACCEPTED)
	return reply, err
}

func (f *fakeShop) DeclineQuote(_ context.Context, r *lugbookv1.DeclineQuoteRequest) (*lugbookv1.DeclineQuoteResponse, error) {
	reply := &lugbookv1.DeclineQuoteResponse{}
	err := f.answer(r, "empty.json", reply)
	reply.Quote = f.quote(lugbookv1.QuoteState_QUOTE_STATE_DECLINED)
	return reply, err
}

func (f *fakeShop) WithdrawQuote(_ context.Context, r *lugbookv1.WithdrawQuoteRequest) (*lugbookv1.WithdrawQuoteResponse, error) {
	reply := &lugbookv1.WithdrawQuoteResponse{}
	err := f.answer(r, "empty.json", reply)
	reply.Quote = f.quote(lugbookv1.QuoteState_QUOTE_STATE_WITHDRAWN)
	return reply, err
}

func (f *fakeShop) RequoteQuote(_ context.Context, r *lugbookv1.RequoteQuoteRequest) (*lugbookv1.RequoteQuoteResponse, error) {
	reply := &lugbookv1.RequoteQuoteResponse{}
	err := f.answer(r, "changes.json", &lugbookv1.ReviseQuoteResponse{})
	if err == nil {
		err = (&fakeShop{folder: f.folder}).answer(r, "requote.json", reply)
	}
	reply.Before = f.quote(lugbookv1.QuoteState_QUOTE_STATE_EXPIRED)
	return reply, err
}

func (f *fakeShop) EraseCustomer(_ context.Context, r *lugbookv1.EraseCustomerRequest) (*lugbookv1.EraseCustomerResponse, error) {
	reply := &lugbookv1.EraseCustomerResponse{}
	err := f.answer(r, "empty.json", reply)
	for range r.GetNumbers() {
		reply.Numbers = append(reply.Numbers, number)
	}
	return reply, err
}
