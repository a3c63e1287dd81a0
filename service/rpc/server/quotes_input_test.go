package server_test

import (
	"strings"
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/types/known/timestamppb"
)

func TestBadInputOfStoredQuotes(t *testing.T) {
	c := newCounter(t)
	c.create(t, nil)
	ctx := t.Context()
	long := func(n int) string { return strings.Repeat("é", n) }
	badJob := lampJob(&pb.Customer{Name: long(201), Phone: long(51), Email: long(255), Address: long(501), Reference: long(101)})
	badJob.Notes = append(make([]string, 50), long(1001))
	badJob.Terms = &pb.JobTerms{DiscountReason: long(201)}
	badJob.System.Devices[0].Zone = "attic"
	create := func(r *pb.CreateQuoteRequest) error { _, err := c.CreateQuote(ctx, r); return err }
	get := func(r *pb.GetQuoteRequest) error { _, err := c.GetQuote(ctx, r); return err }
	list := func(r *pb.ListQuotesRequest) error { _, err := c.ListQuotes(ctx, r); return err }
	revise := func(r *pb.ReviseQuoteRequest) error { _, err := c.ReviseQuote(ctx, r); return err }
	accept := func(r *pb.AcceptQuoteRequest) error { _, err := c.AcceptQuote(ctx, r); return err }
	erase := func(r *pb.EraseCustomerRequest) error { _, err := c.EraseCustomer(ctx, r); return err }
	for name, tt := range map[string]struct {
		err    error
		fields []string
	}{
		"nothing given":         {create(&pb.CreateQuoteRequest{}), []string{"request_id", "source"}},
		"everything too long":   {create(&pb.CreateQuoteRequest{Source: ofJob(badJob), RequestId: long(65), Staff: long(101)}), []string{"request_id", "staff", "source.job.customer.name", "source.job.customer.phone", "source.job.customer.email", "source.job.customer.address", "source.job.customer.reference", "source.job.notes", "source.job.notes[50]", "source.job.terms.discount_reason", "source.job.system.devices[0].zone"}},
		"request id with space": {create(&pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: "a b"}), []string{"request_id"}},
		"request id of 65":      {create(&pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: strings.Repeat("x", 65)}), []string{"request_id"}},
		"job's fault":           {create(&pb.CreateQuoteRequest{Source: ofJob(&pb.Job{VehicleId: "hovercraft"}), RequestId: "a"}), []string{"source.job.vehicle_id"}},
		"job's discount":        {create(&pb.CreateQuoteRequest{Source: ofJob(&pb.Job{VehicleId: "sedan", System: lampJob(nil).GetSystem(), Terms: &pb.JobTerms{DiscountPercent: new(5.0)}}), RequestId: "a"}), []string{"source.job.terms.discount_reason"}},
		"empty number":          {create(&pb.CreateQuoteRequest{Source: ofNumber(""), RequestId: "a"}), []string{"source.number"}},
		"control characters":    {create(&pb.CreateQuoteRequest{Source: ofJob(lampJob(&pb.Customer{Name: "a\x00b\x1b[2J"})), RequestId: "a"}), []string{"source.job.customer.name"}},
		"no number":             {get(&pb.GetQuoteRequest{}), []string{"number"}},
		"a word":                {get(&pb.GetQuoteRequest{Number: "seventeen"}), []string{"number"}},
		"zero":                  {get(&pb.GetQuoteRequest{Number: "0"}), []string{"number"}},
		"below zero":            {get(&pb.GetQuoteRequest{Number: "-7", Revision: -1}), []string{"number", "revision"}},
		"year alone":            {get(&pb.GetQuoteRequest{Number: "2026-"}), []string{"number"}},
		"too long to be one":    {get(&pb.GetQuoteRequest{Number: "99999999999999999999"}), []string{"number"}},
		"draft":                 {list(&pb.ListQuotesRequest{States: []pb.QuoteState{2, 1, 0, 99}}), []string{"states[1]", "states[2]", "states[3]"}},
		"filters too long":      {list(&pb.ListQuotesRequest{Customer: long(201), Vehicle: long(201), Text: long(201), PageSize: -1}), []string{"customer", "vehicle", "text", "page_size"}},
		"times that are none":   {list(&pb.ListQuotesRequest{CreatedFrom: &timestamppb.Timestamp{Seconds: -1 << 50}, CreatedBefore: &timestamppb.Timestamp{Nanos: -1}}), []string{"created_from", "created_before"}},
		"revise":                {revise(&pb.ReviseQuoteRequest{Number: "1", Reason: long(501), Job: &pb.Job{VehicleId: "hovercraft"}}), []string{"request_id", "reason", "job.vehicle_id"}},
		"revise to a bad job":   {revise(&pb.ReviseQuoteRequest{Number: "1", RequestId: "a", Job: &pb.Job{}}), []string{"job.vehicle_id"}},
		"accept":                {accept(&pb.AcceptQuoteRequest{Number: "x", Revision: -1, Staff: long(101)}), []string{"request_id", "staff", "number", "revision"}},
		"erase nobody":          {erase(&pb.EraseCustomerRequest{RequestId: "a"}), []string{"numbers"}},
		"erase too many":        {erase(&pb.EraseCustomerRequest{RequestId: "a", Numbers: strings.Split(strings.Repeat("1,", 1000)+"1", ",")}), []string{"numbers"}},
		"erase what is none":    {erase(&pb.EraseCustomerRequest{RequestId: "a", Numbers: []string{"1", "x", ""}}), []string{"numbers[1]", "numbers[2]"}},
	} {
		assert.Equal(t, tt.fields, fields(t, tt.err), name)
	}
	for name, err := range map[string]error{
		"get": get(&pb.GetQuoteRequest{Number: "2026-00009"}), "by the running part": get(&pb.GetQuoteRequest{Number: "9"}), "of another year": get(&pb.GetQuoteRequest{Number: "2025-00001"}),
		"revision": get(&pb.GetQuoteRequest{Number: "1", Revision: 2}), "revise": revise(&pb.ReviseQuoteRequest{Number: "9", RequestId: "a"}), "accept": accept(&pb.AcceptQuoteRequest{Number: "9", RequestId: "a"}),
		"create": create(&pb.CreateQuoteRequest{Source: ofNumber("9"), RequestId: "a"}), "erase": erase(&pb.EraseCustomerRequest{Numbers: []string{"1", "9"}, RequestId: "a"}),
	} {
		refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE)
		assert.NotContains(t, err.Error(), "error.", name)
	}
	// Nothing of all this was done or written down.
	reply, err := c.GetQuote(ctx, &pb.GetQuoteRequest{Number: "1", IncludeHistory: true})
	require.NoError(t, err)
	assert.Len(t, reply.GetHistory(), 1)
	_, err = c.ReviseQuote(ctx, &pb.ReviseQuoteRequest{Number: "1", RequestId: "a"})
	require.NoError(t, err, "an id of a refused request is free")
}

func TestBadPreviewsAreRefusedAsQuotesAre(t *testing.T) {
	c := newCounter(t)
	_, err := c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofNumber("7")})
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE)
	_, err = c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofNumber("x")})
	assert.Equal(t, []string{"source.number"}, fields(t, err))
	job := lampJob(&pb.Customer{Name: strings.Repeat("a", 201)})
	_, err = c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofJob(job)})
	assert.Equal(t, []string{"source.job.customer.name"}, fields(t, err))
	unmet := lampJob(nil)
	unmet.System.Devices[0].Maker = &pb.MakerInstructions{TerminalMax: &pb.Conductor{Size: &pb.Conductor_Awg{Awg: "22"}}}
	_, err = c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(unmet), RequestId: "a"})
	details := refused(t, err, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_JOB_UNMET)
	assert.Equal(t, "lamp", detail[*pb.Unmet](t, details).GetAt())
}
