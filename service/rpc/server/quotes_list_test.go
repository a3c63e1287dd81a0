package server_test

import (
	"fmt"
	"strings"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/types/known/timestamppb"
)

// numbers lists the running parts of what a request finds.
func (c *counter) numbers(t *testing.T, r *pb.ListQuotesRequest) []string {
	t.Helper()
	reply, err := c.ListQuotes(t.Context(), r)
	require.NoError(t, err)
	found := []string{}
	for _, q := range reply.GetQuotes() {
		found = append(found, strings.TrimLeft(strings.SplitN(q.GetNumber(), "-", 2)[1], "0"))
	}
	return found
}

func TestListFindsByWords(t *testing.T) {
	c := newCounter(t)
	c.create(t, customer)                                                           // 1
	c.create(t, &pb.Customer{Name: "ＷＥＮＤＥＬＩＮＥ O'Fallow", Phone: "+1 555.010.9921"}) // 2
	job := lampJob(&pb.Customer{Name: "Straße, Åse"})                               // 3
	job.System.Devices[0].Label = "Réading lamp"
	_, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(job), RequestId: c.id()})
	require.NoError(t, err)
	for name, tt := range map[string]struct {
		request *pb.ListQuotesRequest
		want    []string
	}{
		"everything, newest first":     {&pb.ListQuotesRequest{}, []string{"3", "2", "1"}},
		"name in any case and width":   {&pb.ListQuotesRequest{Customer: "wende"}, []string{"2", "1"}},
		"all words":                    {&pb.ListQuotesRequest{Customer: "WENDELINE quill"}, []string{"1"}},
		"words in any order":           {&pb.ListQuotesRequest{Customer: "fal wen"}, []string{"2"}},
		"a word within is not begun":   {&pb.ListQuotesRequest{Customer: "deline"}, []string{}},
		"without accents":              {&pb.ListQuotesRequest{Customer: "ase"}, []string{"3"}},
		"with an accent it lacks":      {&pb.ListQuotesRequest{Customer: "strässe"}, []string{"3"}},
		"sharp s":                      {&pb.ListQuotesRequest{Customer: "STRASSE"}, []string{"3"}},
		"telephone as it was written":  {&pb.ListQuotesRequest{Customer: "(555) 010-4477"}, []string{"1"}},
		"telephone in one":             {&pb.ListQuotesRequest{Customer: "5550104477"}, []string{"1"}},
		"telephone without country":    {&pb.ListQuotesRequest{Customer: "5550109921"}, []string{"2"}},
		"last digits":                  {&pb.ListQuotesRequest{Customer: "9921"}, []string{"2"}},
		"last digits, more of them":    {&pb.ListQuotesRequest{Customer: "04477"}, []string{"1"}},
		"e-mail":                       {&pb.ListQuotesRequest{Customer: "wen@quill.example"}, []string{"1"}},
		"reference":                    {&pb.ListQuotesRequest{Customer: "po 31"}, []string{"1"}},
		"customer is not the vehicle":  {&pb.ListQuotesRequest{Customer: "sedan"}, []string{}},
		"vehicle":                      {&pb.ListQuotesRequest{Vehicle: "Sed"}, []string{"3", "2", "1"}},
		"vehicle is not the customer":  {&pb.ListQuotesRequest{Vehicle: "wendeline"}, []string{}},
		"text finds the number":        {&pb.ListQuotesRequest{Text: "2026-00002"}, []string{"2"}},
		"text finds the running part":  {&pb.ListQuotesRequest{Text: "2"}, []string{"3", "2", "1"}}, // 2026 begins with it too
		"text finds equipment":         {&pb.ListQuotesRequest{Text: "reading"}, []string{"3"}},
		"text finds across everything": {&pb.ListQuotesRequest{Text: "sedan lamp wendeline 00001"}, []string{"1"}},
		"nothing to look for":          {&pb.ListQuotesRequest{Text: " -- "}, []string{"3", "2", "1"}},
		"what nobody has":              {&pb.ListQuotesRequest{Text: "zeppelin"}, []string{}},
	} {
		assert.Equal(t, tt.want, c.numbers(t, tt.request), name)
	}
}

func TestListFindsByStateAndTime(t *testing.T) {
	c := newCounter(t)
	moments := make([]time.Time, 6)
	for i := range moments {
		moments[i] = c.clock.Now()
		c.create(t, nil)
		c.clock.pass(24 * time.Hour)
	}
	_, err := c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", RequestId: c.id()})
	require.NoError(t, err)
	_, err = c.DeclineQuote(t.Context(), &pb.DeclineQuoteRequest{Number: "2", RequestId: c.id()})
	require.NoError(t, err)
	_, err = c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: "3", RequestId: c.id()})
	require.NoError(t, err)
	c.clock.set(moments[3].AddDate(0, 0, 30).Add(time.Microsecond)) // 4 has just expired
	in := func(states ...pb.QuoteState) []string {
		return c.numbers(t, &pb.ListQuotesRequest{States: states})
	}
	assert.Equal(t, []string{"1"}, in(pb.QuoteState_QUOTE_STATE_ACCEPTED))
	assert.Equal(t, []string{"2"}, in(pb.QuoteState_QUOTE_STATE_DECLINED))
	assert.Equal(t, []string{"3"}, in(pb.QuoteState_QUOTE_STATE_WITHDRAWN))
	assert.Equal(t, []string{"4"}, in(pb.QuoteState_QUOTE_STATE_EXPIRED))
	assert.Equal(t, []string{"6", "5"}, in(pb.QuoteState_QUOTE_STATE_OPEN))
	assert.Equal(t, []string{"6", "5", "4"}, in(pb.QuoteState_QUOTE_STATE_OPEN, pb.QuoteState_QUOTE_STATE_EXPIRED))
	assert.Equal(t, []string{"4", "1"}, in(pb.QuoteState_QUOTE_STATE_EXPIRED, pb.QuoteState_QUOTE_STATE_ACCEPTED))

	between := &pb.ListQuotesRequest{CreatedFrom: timestamppb.New(moments[1]), CreatedBefore: timestamppb.New(moments[4])}
	assert.Equal(t, []string{"4", "3", "2"}, c.numbers(t, between), "the beginning included, the end not")

	list, err := c.ListQuotes(t.Context(), &pb.ListQuotesRequest{Text: "00004"})
	require.NoError(t, err)
	q := c.get(t, "4")
	assert.True(t, proto.Equal(&pb.QuoteSummary{Number: q.GetNumber(), Revision: 1, State: pb.QuoteState_QUOTE_STATE_EXPIRED, VehicleLabel: q.GetVehicle().GetLabel(),
		Total: q.GetTotals().GetTotal(), CreateTime: q.GetCreateTime(), ValidUntil: q.GetValidUntil(), Etag: q.GetEtag()}, list.GetQuotes()[0]))
}

// Pages show each quote that was there at the beginning once, whatever is written
// meanwhile.
func TestPagesUnderWrites(t *testing.T) {
	c := newCounter(t)
	const there = 23
	for range there {
		c.create(t, nil)
	}
	request := &pb.ListQuotesRequest{PageSize: 5}
	var seen []string
	for {
		reply, err := c.ListQuotes(t.Context(), request)
		require.NoError(t, err)
		require.LessOrEqual(t, len(reply.GetQuotes()), 5)
		for _, q := range reply.GetQuotes() {
			seen = append(seen, q.GetNumber())
		}
		if request.PageToken = reply.GetNextPageToken(); request.PageToken == "" {
			break
		}
		c.create(t, nil)
		_, err = c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "7", RequestId: c.id()})
		require.NoError(t, err)
	}
	want := make([]string, there)
	for i := range want {
		want[i] = fmt.Sprintf("2026-%05d", there-i)
	}
	assert.Equal(t, want, seen)
}

func TestPageTokensBelongToTheirFilters(t *testing.T) {
	c := newCounter(t)
	for range 3 {
		c.create(t, nil)
	}
	reply, err := c.ListQuotes(t.Context(), &pb.ListQuotesRequest{PageSize: 1, Vehicle: "sedan"})
	require.NoError(t, err)
	token := reply.GetNextPageToken()
	require.NotEmpty(t, token)
	_, err = c.ListQuotes(t.Context(), &pb.ListQuotesRequest{PageSize: 2, Vehicle: "sedan", PageToken: token})
	require.NoError(t, err, "the size of the page may change")
	for name, other := range map[string]*pb.ListQuotesRequest{
		"another filter": {Vehicle: "sed", PageToken: token},
		"one more state": {Vehicle: "sedan", States: []pb.QuoteState{pb.QuoteState_QUOTE_STATE_OPEN}, PageToken: token},
		"cut":            {Vehicle: "sedan", PageToken: token[1:]},
		"garbage":        {Vehicle: "sedan", PageToken: "!"},
	} {
		_, err = c.ListQuotes(t.Context(), other)
		assert.Equal(t, []string{"page_token"}, fields(t, err), name)
	}
}
