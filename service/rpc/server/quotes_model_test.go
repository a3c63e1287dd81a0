package server_test

import (
	"context"
	"fmt"
	"slices"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"pgregory.net/rapid"
)

// kept is a quote as a simple mind remembers it.
type kept struct {
	revision int32
	state    pb.QuoteState // never EXPIRED
	until    time.Time
	named    bool // the customer is known
	lamps    int
	etags    []string // each that was seen, the latest last
	deeds    []pb.QuoteDeed
}

// model plays calls against the service and remembers what must have come of them.
type model struct {
	c      *counter
	quotes []*kept // by running number from 1
}

func (m *model) stands(q *kept) pb.QuoteState {
	if q.state == pb.QuoteState_QUOTE_STATE_OPEN && q.until.Before(m.c.clock.Now()) {
		return pb.QuoteState_QUOTE_STATE_EXPIRED
	}
	return q.state
}

// pick gives a quote that is there, or one that is not.
func (m *model) pick(t *rapid.T) (number string, q *kept) {
	running := rapid.IntRange(1, len(m.quotes)+1).Draw(t, "number")
	if running > len(m.quotes) {
		return fmt.Sprint(running), nil
	}
	return fmt.Sprint(running), m.quotes[running-1]
}

// etag gives none, the latest, or an older one; false where it must be refused.
func (m *model) etag(t *rapid.T, q *kept) (string, bool) {
	if q == nil || rapid.Bool().Draw(t, "without etag") {
		return "", true
	}
	i := rapid.IntRange(0, len(q.etags)-1).Draw(t, "etag")
	return q.etags[i], i == len(q.etags)-1
}

// judge compares an outcome with what must come out; true where the deed is done.
func (m *model) judge(t *rapid.T, err error, q *kept, fresh bool, from ...pb.QuoteState) bool {
	want := codes.OK
	switch {
	case q == nil:
		want = codes.NotFound
	case !fresh:
		want = codes.Aborted
	case !slices.Contains(from, m.stands(q)):
		want = codes.FailedPrecondition
	}
	require.Equal(t, want, status.Code(err), "%v", err)
	return want == codes.OK
}

// done remembers a deed.
func (q *kept) done(t *rapid.T, deed pb.QuoteDeed, state pb.QuoteState, etag string) {
	require.NotContains(t, q.etags, etag, "every change has an etag of its own")
	q.state, q.etags, q.deeds = state, append(q.etags, etag), append(q.deeds, deed)
}

func (m *model) create(t *rapid.T) {
	q := &kept{revision: 1, lamps: rapid.IntRange(1, 2).Draw(t, "lamps"), named: rapid.Bool().Draw(t, "named"), until: m.c.clock.Now().AddDate(0, 0, 30)}
	job := lampsJob(q.lamps)
	if !q.named {
		job.Customer = nil
	}
	reply, err := m.c.CreateQuote(context.Background(), &pb.CreateQuoteRequest{Source: ofJob(job), RequestId: m.c.id()})
	require.NoError(t, err)
	m.quotes = append(m.quotes, q)
	require.Equal(t, fmt.Sprintf("%d-%05d", m.c.clock.Now().Year(), len(m.quotes)), reply.GetQuote().GetNumber())
	q.done(t, pb.QuoteDeed_QUOTE_DEED_CREATED, pb.QuoteState_QUOTE_STATE_OPEN, reply.GetQuote().GetEtag())
}

func (m *model) revise(t *rapid.T) {
	number, q := m.pick(t)
	etag, fresh := m.etag(t, q)
	r := &pb.ReviseQuoteRequest{Number: number, RequestId: m.c.id(), Etag: etag}
	lamps := rapid.IntRange(0, 2).Draw(t, "lamps, 0 for the same job")
	if lamps > 0 {
		r.Job = lampsJob(lamps)
	}
	reply, err := m.c.ReviseQuote(context.Background(), r)
	if !m.judge(t, err, q, fresh, pb.QuoteState_QUOTE_STATE_OPEN, pb.QuoteState_QUOTE_STATE_EXPIRED, pb.QuoteState_QUOTE_STATE_DECLINED) {
		return
	}
	require.Equal(t, lamps == 0 || lamps == q.lamps, len(reply.GetChanges()) == 0, "lines differ where the job does")
	q.revision, q.until = q.revision+1, m.c.clock.Now().AddDate(0, 0, 30)
	if lamps > 0 {
		q.lamps, q.named = lamps, true
	}
	q.done(t, pb.QuoteDeed_QUOTE_DEED_REVISED, pb.QuoteState_QUOTE_STATE_OPEN, reply.GetQuote().GetEtag())
}

func (m *model) accept(t *rapid.T) {
	number, q := m.pick(t)
	etag, fresh := m.etag(t, q)
	reply, err := m.c.AcceptQuote(context.Background(), &pb.AcceptQuoteRequest{Number: number, RequestId: m.c.id(), Etag: etag})
	if m.judge(t, err, q, fresh, pb.QuoteState_QUOTE_STATE_OPEN) {
		q.done(t, pb.QuoteDeed_QUOTE_DEED_ACCEPTED, pb.QuoteState_QUOTE_STATE_ACCEPTED, reply.GetQuote().GetEtag())
	}
}

func (m *model) decline(t *rapid.T) {
	number, q := m.pick(t)
	etag, fresh := m.etag(t, q)
	reply, err := m.c.DeclineQuote(context.Background(), &pb.DeclineQuoteRequest{Number: number, RequestId: m.c.id(), Etag: etag})
	if m.judge(t, err, q, fresh, pb.QuoteState_QUOTE_STATE_OPEN, pb.QuoteState_QUOTE_STATE_EXPIRED) {
		q.done(t, pb.QuoteDeed_QUOTE_DEED_DECLINED, pb.QuoteState_QUOTE_STATE_DECLINED, reply.GetQuote().GetEtag())
	}
}

func (m *model) withdraw(t *rapid.T) {
	number, q := m.pick(t)
	etag, fresh := m.etag(t, q)
	reply, err := m.c.WithdrawQuote(context.Background(), &pb.WithdrawQuoteRequest{Number: number, RequestId: m.c.id(), Etag: etag})
	if m.judge(t, err, q, fresh, pb.QuoteState_QUOTE_STATE_OPEN, pb.QuoteState_QUOTE_STATE_EXPIRED, pb.QuoteState_QUOTE_STATE_DECLINED, pb.QuoteState_QUOTE_STATE_ACCEPTED) {
		q.done(t, pb.QuoteDeed_QUOTE_DEED_WITHDRAWN, pb.QuoteState_QUOTE_STATE_WITHDRAWN, reply.GetQuote().GetEtag())
	}
}

func (m *model) erase(t *rapid.T) {
	number, q := m.pick(t)
	_, err := m.c.EraseCustomer(context.Background(), &pb.EraseCustomerRequest{Numbers: []string{number}, RequestId: m.c.id()})
	if q == nil {
		require.Equal(t, codes.NotFound, status.Code(err))
		return
	}
	require.NoError(t, err)
	q.named = false
	if q.deeds[len(q.deeds)-1] != pb.QuoteDeed_QUOTE_DEED_ERASED {
		reply, err := m.c.GetQuote(context.Background(), &pb.GetQuoteRequest{Number: number})
		require.NoError(t, err)
		q.done(t, pb.QuoteDeed_QUOTE_DEED_ERASED, q.state, reply.GetQuote().GetEtag())
	}
}

// wait lets time pass, or sets the clock back.
func (m *model) wait(t *rapid.T) {
	m.c.clock.pass(time.Duration(rapid.IntRange(-5, 20).Draw(t, "days")) * 24 * time.Hour)
}

// check compares everything that the service tells with what is remembered.
func (m *model) check(t *rapid.T) {
	list, err := m.c.ListQuotes(context.Background(), &pb.ListQuotesRequest{PageSize: 1000})
	require.NoError(t, err)
	require.Len(t, list.GetQuotes(), len(m.quotes))
	open := 0
	for i, s := range list.GetQuotes() {
		q := m.quotes[len(m.quotes)-1-i]
		reply, err := m.c.GetQuote(context.Background(), &pb.GetQuoteRequest{Number: s.GetNumber(), IncludeHistory: true})
		require.NoError(t, err)
		got := reply.GetQuote()
		latest := q.etags[len(q.etags)-1]
		require.Equal(t, [4]any{q.revision, m.stands(q), q.until, latest}, [4]any{got.GetRevision(), got.GetState(), got.GetValidUntil().AsTime(), got.GetEtag()})
		require.Equal(t, [4]any{q.revision, m.stands(q), q.until, latest}, [4]any{s.GetRevision(), s.GetState(), s.GetValidUntil().AsTime(), s.GetEtag()})
		require.Equal(t, q.named, got.GetCustomer().GetName() != "")
		require.Equal(t, got.GetCustomer().GetName(), s.GetCustomerName())
		require.Equal(t, got.GetTotals().GetTotal().GetAmount(), s.GetTotal().GetAmount())
		require.Len(t, got.GetSystem().GetDevices(), q.lamps)
		var deeds []pb.QuoteDeed
		for _, e := range reply.GetHistory() {
			deeds = append(deeds, e.GetDeed())
		}
		require.Equal(t, q.deeds, deeds)
		if m.stands(q) == pb.QuoteState_QUOTE_STATE_OPEN {
			open++
		}
	}
	list, err = m.c.ListQuotes(context.Background(), &pb.ListQuotesRequest{States: []pb.QuoteState{pb.QuoteState_QUOTE_STATE_OPEN}})
	require.NoError(t, err)
	require.Len(t, list.GetQuotes(), open)
}

// longestLife is how many calls one run makes: enough for every path through the life
// of a quote, and few enough for a hundred runs in seconds.
const longestLife = 12

// Whatever is called in whatever order, the service and a simple memory agree.
func TestQuotesAgreeWithASimpleMemory(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		c, stop := open(t, newStore(), "", nil)
		defer stop()
		m := &model{c: c}
		deeds := []func(*rapid.T){m.create, m.revise, m.accept, m.decline, m.withdraw, m.erase, m.wait}
		for range rapid.IntRange(1, longestLife).Draw(t, "calls") {
			rapid.SampledFrom(deeds).Draw(t, "deed")(t)
		}
		m.check(t)
	})
}
