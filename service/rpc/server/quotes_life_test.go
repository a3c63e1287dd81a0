package server_test

import (
	"context"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
)

var customer = &pb.Customer{Name: "Wendeline Østergård-Quill", Phone: "(555) 010-4477", Email: "wen@quill.example", Address: "9 Slipway\nNowhere Bay", Reference: "PO 31-B"}

func TestQuoteIsShownAsItWasGivenOut(t *testing.T) {
	c := newCounter(t)
	job := lampJob(customer)
	job.Notes = []string{"Call before noon."}
	made, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(job), RequestId: "a", UnitSystem: pb.UnitSystem_UNIT_SYSTEM_METRIC, IncludeCost: true})
	require.NoError(t, err)
	q := made.GetQuote()
	assert.Equal(t, "2026-00001", q.GetNumber())
	assert.EqualValues(t, 1, q.GetRevision())
	assert.Equal(t, pb.QuoteState_QUOTE_STATE_OPEN, q.GetState())
	assert.True(t, proto.Equal(customer, q.GetCustomer()))
	assert.Equal(t, job.GetNotes(), q.GetNotes())
	assert.Equal(t, now(), q.GetCreateTime().AsTime())
	assert.Equal(t, now().AddDate(0, 0, 30), q.GetValidUntil().AsTime())
	assert.Equal(t, "UTC", q.GetTimeZone())
	assert.NotEmpty(t, q.GetEtag())

	preview, err := c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofJob(job), UnitSystem: pb.UnitSystem_UNIT_SYSTEM_METRIC, IncludeCost: true})
	require.NoError(t, err)
	asPreview := proto.CloneOf(q)
	asPreview.Number, asPreview.Revision, asPreview.Etag, asPreview.CreateTime, asPreview.State = "", 0, "", nil, pb.QuoteState_QUOTE_STATE_DRAFT
	assert.True(t, proto.Equal(preview.GetQuote(), asPreview), "a preview is what a quote would be")

	c.clock.pass(time.Hour)
	for _, number := range []string{"2026-00001", "1", "00001", "2026-1"} {
		shown, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: number, IncludeCost: true})
		require.NoError(t, err, number)
		assert.True(t, proto.Equal(q, shown.GetQuote()), number)
		assert.Empty(t, shown.GetHistory())
	}
}

func TestCostIsShownOnlyWhereItIsWanted(t *testing.T) {
	c := newCounter(t)
	q := c.create(t, customer)
	hidden := func(quotes ...*pb.Quote) {
		for _, q := range quotes {
			require.NotEmpty(t, q.GetLines())
			assert.Nil(t, q.GetTotals().Cost)
			assert.Nil(t, q.GetTotals().Margin)
			for _, l := range q.GetLines() {
				assert.Nil(t, l.Cost)
				assert.Nil(t, l.Margin)
			}
		}
	}
	told := func(q *pb.Quote) {
		assert.NotNil(t, q.GetTotals().Cost)
		assert.NotNil(t, q.GetTotals().Margin)
		assert.NotNil(t, q.GetLines()[0].Cost)
	}
	hidden(q, c.get(t, q.GetNumber()))
	for _, wanted := range []bool{false, true} {
		got, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: q.GetNumber(), IncludeCost: wanted})
		require.NoError(t, err)
		revised, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: q.GetNumber(), Job: lampsJob(2), RequestId: c.id(), IncludeCost: wanted})
		require.NoError(t, err)
		requoted, err := c.RequoteQuote(t.Context(), &pb.RequoteQuoteRequest{Number: q.GetNumber(), IncludeCost: wanted})
		require.NoError(t, err)
		made, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofNumber("1"), RequestId: c.id(), IncludeCost: wanted})
		require.NoError(t, err)
		all := []*pb.Quote{got.GetQuote(), revised.GetQuote(), requoted.GetBefore(), requoted.GetToday(), made.GetQuote()}
		if !wanted {
			hidden(all...)
			for _, change := range revised.GetChanges() {
				assert.Nil(t, change.GetBefore().GetCost())
				assert.Nil(t, change.GetAfter().GetCost())
			}
			_, err = c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: q.GetNumber(), RequestId: c.id()})
			require.NoError(t, err)
			continue
		}
		for _, q := range all {
			told(q)
		}
	}
	accepted, err := c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: q.GetNumber(), RequestId: c.id()})
	require.NoError(t, err)
	hidden(accepted.GetQuote())
}

// lampsJob feeds some lamps of one kind.
func lampsJob(n int) *pb.Job {
	job := lampJob(customer)
	for i := 1; i < n; i++ {
		lamp := proto.CloneOf(job.System.Devices[0])
		lamp.Id = lamp.GetId() + string(rune('a'+i))
		job.System.Devices = append(job.System.Devices, lamp)
	}
	return job
}

// What may be done in which state, as the contract says it.
func TestEveryDeedInEveryState(t *testing.T) {
	type deed struct {
		name string
		do   func(c *counter, number, id string) error
		to   pb.QuoteState
		from map[pb.QuoteState]bool
	}
	const (
		open      = pb.QuoteState_QUOTE_STATE_OPEN
		accepted  = pb.QuoteState_QUOTE_STATE_ACCEPTED
		declined  = pb.QuoteState_QUOTE_STATE_DECLINED
		withdrawn = pb.QuoteState_QUOTE_STATE_WITHDRAWN
		expired   = pb.QuoteState_QUOTE_STATE_EXPIRED
	)
	ctx := context.Background()
	accept := deed{"accept", func(c *counter, n, id string) error {
		_, err := c.AcceptQuote(ctx, &pb.AcceptQuoteRequest{Number: n, RequestId: id})
		return err
	}, accepted, map[pb.QuoteState]bool{open: true}}
	decline := deed{"decline", func(c *counter, n, id string) error {
		_, err := c.DeclineQuote(ctx, &pb.DeclineQuoteRequest{Number: n, RequestId: id})
		return err
	}, declined, map[pb.QuoteState]bool{open: true, expired: true}}
	withdraw := deed{"withdraw", func(c *counter, n, id string) error {
		_, err := c.WithdrawQuote(ctx, &pb.WithdrawQuoteRequest{Number: n, RequestId: id})
		return err
	}, withdrawn, map[pb.QuoteState]bool{open: true, expired: true, declined: true, accepted: true}}
	revise := deed{"revise", func(c *counter, n, id string) error {
		_, err := c.ReviseQuote(ctx, &pb.ReviseQuoteRequest{Number: n, RequestId: id})
		return err
	}, open, map[pb.QuoteState]bool{open: true, expired: true, declined: true}}

	c := newCounter(t)
	reach := map[pb.QuoteState]func(number string) error{
		open:      func(string) error { return nil },
		accepted:  func(n string) error { return accept.do(c, n, c.id()) },
		declined:  func(n string) error { return decline.do(c, n, c.id()) },
		withdrawn: func(n string) error { return withdraw.do(c, n, c.id()) },
		expired:   func(string) error { c.clock.pass(30*24*time.Hour + time.Microsecond); return nil },
	}
	for state, lead := range reach {
		for _, d := range []deed{accept, decline, withdraw, revise} {
			t.Run(state.String()+"/"+d.name, func(t *testing.T) {
				number := c.create(t, nil).GetNumber()
				require.NoError(t, lead(number))
				before := c.get(t, number)
				require.Equal(t, state, before.GetState())
				err := d.do(c, number, c.id())
				if d.from[state] {
					require.NoError(t, err)
					after := c.get(t, number)
					assert.Equal(t, d.to, after.GetState())
					assert.NotEqual(t, before.GetEtag(), after.GetEtag())
					return
				}
				details := refused(t, err, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_QUOTE_STATE)
				why := detail[*errdetails.PreconditionFailure](t, details).GetViolations()
				require.Len(t, why, 1)
				assert.Equal(t, number, why[0].GetSubject())
				assert.NotContains(t, why[0].GetDescription(), "instead.", "wording is missing")
				assert.True(t, proto.Equal(before, c.get(t, number)), "a refusal changes nothing")
			})
		}
	}
}

// The price holds up to and including the moment that the quote names.
func TestExpiryFollowsTheClock(t *testing.T) {
	c := newCounter(t)
	q := c.create(t, nil)
	stands := func() pb.QuoteState { return c.get(t, "1").GetState() }
	c.clock.set(q.GetValidUntil().AsTime())
	assert.Equal(t, pb.QuoteState_QUOTE_STATE_OPEN, stands())
	c.clock.pass(time.Microsecond)
	assert.Equal(t, pb.QuoteState_QUOTE_STATE_EXPIRED, stands())
	assert.Equal(t, q.GetEtag(), c.get(t, "1").GetEtag(), "time alone is no change")
	c.clock.set(now().Add(-24 * time.Hour))
	assert.Equal(t, pb.QuoteState_QUOTE_STATE_OPEN, stands(), "the clock was set back")

	// Numbers and the order of lists do not follow the clock.
	second := c.create(t, nil)
	assert.Equal(t, "2026-00002", second.GetNumber())
	assert.True(t, second.GetCreateTime().AsTime().Before(q.GetCreateTime().AsTime()))
	list, err := c.ListQuotes(t.Context(), &pb.ListQuotesRequest{})
	require.NoError(t, err)
	require.Len(t, list.GetQuotes(), 2)
	assert.Equal(t, "2026-00002", list.GetQuotes()[0].GetNumber())

	// A change at an earlier time than the last is a change all the same.
	_, err = c.DeclineQuote(t.Context(), &pb.DeclineQuoteRequest{Number: "1", RequestId: c.id(), Etag: q.GetEtag()})
	require.NoError(t, err)
	assert.NotEqual(t, q.GetEtag(), c.get(t, "1").GetEtag())
	shown, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1", IncludeHistory: true})
	require.NoError(t, err)
	require.Len(t, shown.GetHistory(), 2)
	assert.Equal(t, pb.QuoteDeed_QUOTE_DEED_DECLINED, shown.GetHistory()[1].GetDeed(), "in the order of the deeds")
}

func TestNumbersCarryTheYearOfTheShop(t *testing.T) {
	c, stop := open(t, newStore(), "", shopIn(t, "Pacific/Auckland"))
	t.Cleanup(stop)
	c.clock.set(time.Date(2026, 12, 31, 12, 0, 0, 0, time.UTC)) // New Year there
	q := c.create(t, nil)
	assert.Equal(t, "2027-00001", q.GetNumber())
	assert.Equal(t, "Pacific/Auckland", q.GetTimeZone())
	c.clock.set(time.Date(2028, 7, 1, 0, 0, 0, 0, time.UTC))
	assert.Equal(t, "2028-00002", c.create(t, nil).GetNumber(), "the running number never starts anew")
}

func TestHistoryTellsWhoDidWhat(t *testing.T) {
	c := newCounter(t)
	n := c.create(t, customer).GetNumber()
	_, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: n, RequestId: c.id(), Staff: "Ida", Reason: "two lamps", Job: lampsJob(2)})
	require.NoError(t, err)
	_, err = c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: n, Revision: 2, RequestId: c.id(), Staff: "Ida", Reason: "by telephone"})
	require.NoError(t, err)
	_, err = c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: n, RequestId: c.id()})
	require.NoError(t, err)
	shown, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: n, IncludeHistory: true})
	require.NoError(t, err)
	var told [][4]any
	for _, e := range shown.GetHistory() {
		assert.Equal(t, "tester", e.GetCaller())
		assert.Equal(t, now(), e.GetTime().AsTime())
		told = append(told, [4]any{e.GetDeed(), e.GetRevision(), e.GetStaff(), e.GetReason()})
	}
	assert.Equal(t, [][4]any{
		{pb.QuoteDeed_QUOTE_DEED_CREATED, int32(1), "", ""}, {pb.QuoteDeed_QUOTE_DEED_REVISED, int32(2), "Ida", "two lamps"},
		{pb.QuoteDeed_QUOTE_DEED_ACCEPTED, int32(2), "Ida", "by telephone"}, {pb.QuoteDeed_QUOTE_DEED_WITHDRAWN, int32(2), "", ""},
	}, told)
}
