package server_test

import (
	"context"
	"errors"
	"sync"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
)

func TestARequestIsDoneOnceAndAnsweredAlike(t *testing.T) {
	c := newCounter(t)
	ctx := t.Context()
	create := &pb.CreateQuoteRequest{Source: ofJob(lampJob(customer)), RequestId: "make"}
	made, err := c.CreateQuote(ctx, create)
	require.NoError(t, err)
	revise := &pb.ReviseQuoteRequest{Number: "1", RequestId: "again", Job: lampsJob(2), Etag: made.GetQuote().GetEtag()}
	revised, err := c.ReviseQuote(ctx, revise)
	require.NoError(t, err)
	accept := &pb.AcceptQuoteRequest{Number: "1", RequestId: "yes", Etag: revised.GetQuote().GetEtag()}
	accepted, err := c.AcceptQuote(ctx, accept)
	require.NoError(t, err)
	withdraw := &pb.WithdrawQuoteRequest{Number: "1", RequestId: "no", Etag: accepted.GetQuote().GetEtag()}
	withdrawn, err := c.WithdrawQuote(ctx, withdraw)
	require.NoError(t, err)
	second := c.create(t, nil)
	decline := &pb.DeclineQuoteRequest{Number: second.GetNumber(), RequestId: "dear", Etag: second.GetEtag()}
	declined, err := c.DeclineQuote(ctx, decline)
	require.NoError(t, err)

	c.clock.pass(90 * 24 * time.Hour) // whatever has become of them since
	for name, same := range map[string]func() (proto.Message, proto.Message, error){
		"create": func() (proto.Message, proto.Message, error) {
			m, err := c.CreateQuote(ctx, create)
			return made, m, err
		},
		"revise": func() (proto.Message, proto.Message, error) {
			m, err := c.ReviseQuote(ctx, revise)
			return revised, m, err
		},
		"accept": func() (proto.Message, proto.Message, error) {
			m, err := c.AcceptQuote(ctx, accept)
			return accepted, m, err
		},
		"withdraw": func() (proto.Message, proto.Message, error) {
			m, err := c.WithdrawQuote(ctx, withdraw)
			return withdrawn, m, err
		},
		"decline": func() (proto.Message, proto.Message, error) {
			m, err := c.DeclineQuote(ctx, decline)
			return declined, m, err
		},
	} {
		first, again, err := same()
		require.NoError(t, err, name)
		assert.True(t, proto.Equal(first, again), name)
	}
	shown, err := c.GetQuote(ctx, &pb.GetQuoteRequest{Number: "1", IncludeHistory: true})
	require.NoError(t, err)
	assert.Len(t, shown.GetHistory(), 4, "nothing was done twice")
}

func TestARequestIDBelongsToOneContent(t *testing.T) {
	c := newCounter(t)
	c.create(t, nil) // request-1
	other := lampJob(nil)
	other.System.Devices[0].Label = "Another lamp"
	_, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(other), RequestId: "request-1"})
	details := refused(t, err, codes.InvalidArgument, pb.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED)
	assert.Equal(t, "request_id", detail[*errdetails.BadRequest](t, details).GetFieldViolations()[0].GetField())
	_, err = c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: "1", RequestId: "request-1"})
	refused(t, err, codes.InvalidArgument, pb.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED)

	// Another method with fields of the same numbers is another request.
	_, err = c.DeclineQuote(t.Context(), &pb.DeclineQuoteRequest{Number: "1", RequestId: "x"})
	require.NoError(t, err)
	_, err = c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: "1", RequestId: "x"})
	refused(t, err, codes.InvalidArgument, pb.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED)
	_, err = c.EraseCustomer(t.Context(), &pb.EraseCustomerRequest{Numbers: []string{"1"}, RequestId: "x"})
	refused(t, err, codes.InvalidArgument, pb.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED)
}

func TestCallersHaveRequestIDsOfTheirOwn(t *testing.T) {
	store := newStore()
	ida, stopIda := open(t, store, "ida", nil)
	t.Cleanup(stopIda)
	ole, stopOle := open(t, store, "ole", nil)
	t.Cleanup(stopOle)
	first, second := ida.create(t, nil), ole.create(t, nil) // both as request-1
	assert.Equal(t, "2026-00001", first.GetNumber())
	assert.Equal(t, "2026-00002", second.GetNumber())
}

func TestTheSameRequestManyTimesAtOnce(t *testing.T) {
	c := newCounter(t)
	const callers = 16
	request := &pb.CreateQuoteRequest{Source: ofJob(lampJob(customer)), RequestId: "impatient"}
	replies := make([]*pb.CreateQuoteResponse, callers)
	var group sync.WaitGroup
	for i := range replies {
		group.Go(func() {
			reply, err := c.CreateQuote(context.Background(), request)
			assert.NoError(t, err)
			replies[i] = reply
		})
	}
	group.Wait()
	for _, r := range replies {
		assert.True(t, proto.Equal(replies[0], r))
	}
	list, err := c.ListQuotes(t.Context(), &pb.ListQuotesRequest{})
	require.NoError(t, err)
	assert.Len(t, list.GetQuotes(), 1)
}

func TestAChangeDecidedOnAnOldStateIsRefused(t *testing.T) {
	c := newCounter(t)
	q := c.create(t, nil)
	_, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: c.id(), Etag: q.GetEtag()})
	require.NoError(t, err)
	latest := c.get(t, "1").GetEtag()
	for name, do := range map[string]func() error{
		"revise": func() error {
			_, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: c.id(), Etag: q.GetEtag()})
			return err
		},
		"accept": func() error {
			_, err := c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", RequestId: c.id(), Etag: q.GetEtag()})
			return err
		},
		"decline": func() error {
			_, err := c.DeclineQuote(t.Context(), &pb.DeclineQuoteRequest{Number: "1", RequestId: c.id(), Etag: "none of ours"})
			return err
		},
		"withdraw": func() error {
			_, err := c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: "1", RequestId: c.id(), Etag: q.GetEtag()})
			return err
		},
	} {
		details := refused(t, do(), codes.Aborted, pb.ErrorReason_ERROR_REASON_QUOTE_CHANGED)
		assert.Equal(t, latest, detail[*errdetails.ErrorInfo](t, details).GetMetadata()["etag"], name)
	}
	_, err = c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", Revision: 1, RequestId: c.id(), Etag: latest})
	details := refused(t, err, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_NOT_LATEST_REVISION)
	assert.Contains(t, detail[*errdetails.PreconditionFailure](t, details).GetViolations()[0].GetDescription(), "revision 2")
	_, err = c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", Revision: 2, RequestId: c.id(), Etag: latest})
	require.NoError(t, err)
}

// Many revise one quote at once without an etag: every revision is there, none is lost.
func TestRevisionsAtOnceFollowEachOther(t *testing.T) {
	c := newCounter(t)
	c.create(t, nil)
	const callers = 4
	var group sync.WaitGroup
	for i := range callers {
		group.Go(func() {
			for try := 0; ; try++ {
				_, err := c.ReviseQuote(context.Background(), &pb.ReviseQuoteRequest{Number: "1", RequestId: string(rune('a' + i)), Job: lampsJob(i + 1)})
				if err == nil || try > 20 {
					assert.NoError(t, err)
					return
				}
			}
		})
	}
	group.Wait()
	shown, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1", IncludeHistory: true})
	require.NoError(t, err)
	assert.EqualValues(t, callers+1, shown.GetQuote().GetRevision())
	require.Len(t, shown.GetHistory(), callers+1)
	for i, e := range shown.GetHistory() {
		assert.EqualValues(t, i+1, e.GetRevision())
	}
}

func TestAStoreThatFailsIsToldWithWhatHelps(t *testing.T) {
	c := newCounter(t)
	c.create(t, nil)
	for _, tt := range []struct {
		fault  error
		code   codes.Code
		reason pb.ErrorReason
	}{
		{quoting.ErrUnavailable, codes.Unavailable, pb.ErrorReason_ERROR_REASON_STORE_UNAVAILABLE},
		{quoting.ErrFull, codes.ResourceExhausted, pb.ErrorReason_ERROR_REASON_STORE_FULL},
		{quoting.ErrReadOnly, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_STORE_READ_ONLY},
		{quoting.ErrUnusable, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_STORE_UNUSABLE},
		{quoting.ErrNewer, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_STORE_NEWER},
	} {
		c.store.Fail(tt.fault)
		_, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1"})
		refused(t, err, tt.code, tt.reason)
		_, err = c.ListQuotes(t.Context(), &pb.ListQuotesRequest{})
		refused(t, err, tt.code, tt.reason)
		_, err = c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: c.id()})
		details := refused(t, err, tt.code, tt.reason)
		if tt.code == codes.Unavailable {
			assert.Positive(t, detail[*errdetails.RetryInfo](t, details).GetRetryDelay().AsDuration())
		}
		_, err = c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofJob(lampJob(nil))})
		require.NoError(t, err, "a preview needs no store")
	}
	c.store.Fail(errors.New("disk on fire at /var/quotes"))
	_, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1"})
	require.Error(t, err)
	assert.NotContains(t, err.Error(), "fire", "what the store says is not for callers")
	c.store.Fail(nil)
	assert.Equal(t, "2026-00001", c.get(t, "1").GetNumber())
}

func TestWithoutAStoreNothingIsStored(t *testing.T) {
	conn, _ := start(t)
	c := pb.NewQuoteServiceClient(conn)
	_, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: "a"})
	refused(t, err, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_NO_STORE)
	_, err = c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1"})
	refused(t, err, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_NO_STORE)
}
