package server_test

import (
	"strings"
	"testing"
	"testing/fstest"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
)

// personal is what must be gone: every text that the customer gave.
var personal = []string{"Wendeline", "Quill", "4477", "quill.example", "Slipway", "31-B", "noon", "her sister"}

// replies gives everything that the service tells of a quote, as one text.
func (c *counter) replies(t *testing.T, number string) string {
	t.Helper()
	var all []string
	ctx := t.Context()
	listed, err := c.ListQuotes(ctx, &pb.ListQuotesRequest{Text: number})
	require.NoError(t, err)
	all = append(all, sentences(listed.ProtoReflect())...)
	latest := c.get(t, number).GetRevision()
	for revision := int32(1); revision <= latest; revision++ {
		shown, err := c.GetQuote(ctx, &pb.GetQuoteRequest{Number: number, Revision: revision, IncludeCost: true, IncludeHistory: true})
		require.NoError(t, err)
		all = append(all, sentences(shown.ProtoReflect())...)
	}
	compared, err := c.RequoteQuote(ctx, &pb.RequoteQuoteRequest{Number: number})
	require.NoError(t, err)
	preview, err := c.PreviewQuote(ctx, &pb.PreviewQuoteRequest{Source: ofNumber(number)})
	require.NoError(t, err)
	return strings.Join(append(append(all, sentences(compared.ProtoReflect())...), sentences(preview.ProtoReflect())...), "\n")
}

func TestErasedCustomersAreGoneFromEveryReply(t *testing.T) {
	c := newCounter(t)
	job := lampJob(customer)
	job.Notes = []string{"Call before noon."}
	create := &pb.CreateQuoteRequest{Source: ofJob(job), RequestId: "make"}
	made, err := c.CreateQuote(t.Context(), create)
	require.NoError(t, err)
	_, err = c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: "revise", Reason: "her sister asked"})
	require.NoError(t, err)
	_, err = c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", RequestId: "accept", Staff: "Ida"})
	require.NoError(t, err)
	kept := c.create(t, customer) // another of hers, not asked for
	before := c.get(t, "1")
	told := c.replies(t, "2026-00001")
	for _, text := range personal {
		require.Contains(t, told, text, "the test looks for what was there")
	}
	require.NoError(t, c.store.Update(t.Context(), func(w quoting.Writer) error {
		return w.AddDocument(quoting.Document{Number: "2026-00001", Revision: 1, Kind: "pdf", Bytes: []byte("for Wendeline")})
	}))

	erase := &pb.EraseCustomerRequest{Numbers: []string{"1", "2026-00001"}, RequestId: "erase", Staff: "Ida"}
	c.clock.pass(time.Hour)
	erased, err := c.EraseCustomer(t.Context(), erase)
	require.NoError(t, err)
	assert.Equal(t, []string{"2026-00001"}, erased.GetNumbers())

	after := c.get(t, "1")
	want := proto.CloneOf(before)
	want.Customer, want.Notes, want.Etag = nil, nil, after.GetEtag()
	assert.True(t, proto.Equal(want, after), "figures, prices and the state stay")
	assert.NotEqual(t, before.GetEtag(), after.GetEtag())
	told = c.replies(t, "2026-00001")
	replayed, err := c.CreateQuote(t.Context(), create)
	require.NoError(t, err)
	assert.Equal(t, made.GetQuote().GetNumber(), replayed.GetQuote().GetNumber())
	told += strings.Join(sentences(replayed.ProtoReflect()), "\n")
	for _, text := range personal {
		assert.NotContains(t, told, text)
	}
	for _, word := range []string{"wendeline", "4477", "quill"} {
		assert.Equal(t, []string{"2"}, c.numbers(t, &pb.ListQuotesRequest{Text: word}), "nobody is found by it")
	}
	require.ErrorIs(t, c.store.View(t.Context(), func(r quoting.Reader) error {
		_, err := r.Document("2026-00001", 1, "pdf")
		return err
	}), quoting.ErrNotFound)

	shown, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1", IncludeHistory: true})
	require.NoError(t, err)
	require.Len(t, shown.GetHistory(), 4)
	assert.Equal(t, pb.QuoteDeed_QUOTE_DEED_ERASED, shown.GetHistory()[3].GetDeed())
	assert.Equal(t, "Ida", shown.GetHistory()[2].GetStaff(), "who did what stays")
	assert.True(t, proto.Equal(kept, c.get(t, "2")), "the other quote is untouched")

	// Once more, by the same request and by another: nothing is left to do.
	for _, id := range []string{"erase", "erase-again"} {
		erase.RequestId = id
		again, err := c.EraseCustomer(t.Context(), erase)
		require.NoError(t, err)
		assert.Equal(t, []string{"2026-00001"}, again.GetNumbers())
		assert.Equal(t, after.GetEtag(), c.get(t, "1").GetEtag())
	}
}

func TestEraseTakesAllOrNone(t *testing.T) {
	c := newCounter(t)
	q := c.create(t, customer)
	_, err := c.EraseCustomer(t.Context(), &pb.EraseCustomerRequest{Numbers: []string{"1", "2"}, RequestId: "erase"})
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE)
	assert.True(t, proto.Equal(q, c.get(t, "1")))
}

// A customer who comes back after having been erased can be erased again; so can what
// was said of one meanwhile.
func TestEraseOfWhatCameLater(t *testing.T) {
	c := newCounter(t)
	c.create(t, customer)
	erase := func(id string) {
		_, err := c.EraseCustomer(t.Context(), &pb.EraseCustomerRequest{Numbers: []string{"1"}, RequestId: id})
		require.NoError(t, err)
	}
	erase("first")
	_, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: "a"})
	require.NoError(t, err)
	assert.Nil(t, c.get(t, "1").GetCustomer(), "who is gone stays gone")
	_, err = c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: "b", Job: lampJob(customer)})
	require.NoError(t, err)
	assert.True(t, proto.Equal(customer, c.get(t, "1").GetCustomer()))
	erase("second")
	assert.Nil(t, c.get(t, "1").GetCustomer())
	_, err = c.DeclineQuote(t.Context(), &pb.DeclineQuoteRequest{Number: "1", RequestId: "c", Reason: "her sister does it"})
	require.NoError(t, err)
	erase("third")
	assert.NotContains(t, c.replies(t, "2026-00001"), "her sister")
}

func TestCustomersAreForgottenWhenTheirTimeIsUp(t *testing.T) {
	c, stop := open(t, newStore(), "tester", func(folder fstest.MapFS) {
		edit(t, folder, "shop.yaml", "validity_days: 30", "validity_days: 30\ncustomer_retention_days: 100")
	})
	t.Cleanup(stop)
	for range 6 {
		c.create(t, customer)
	}
	_, err := c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", RequestId: c.id()})
	require.NoError(t, err)
	_, err = c.DeclineQuote(t.Context(), &pb.DeclineQuoteRequest{Number: "2", RequestId: c.id()})
	require.NoError(t, err)
	c.clock.pass(24 * time.Hour)
	_, err = c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: "3", RequestId: c.id()})
	require.NoError(t, err)
	_, err = c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "4", RequestId: c.id()})
	require.NoError(t, err)
	known := func() (all string) {
		for _, n := range []string{"1", "2", "3", "4", "5", "6"} {
			if c.get(t, n).GetCustomer() != nil {
				all += n
			}
		}
		return all
	}
	for _, tt := range []struct {
		name string
		at   time.Time
		want string
	}{
		{"to the day", now().AddDate(0, 0, 100), "123456"},
		{"accepted and declined", now().AddDate(0, 0, 100).Add(time.Microsecond), "3456"},
		{"withdrawn a day later", now().AddDate(0, 0, 101).Add(time.Microsecond), "456"},
		{"expired after a month", now().AddDate(0, 0, 130).Add(time.Microsecond), "4"},
		{"revised a day later", now().AddDate(0, 0, 131).Add(time.Microsecond), ""},
		{"nobody left", now().AddDate(9, 0, 0), ""},
	} {
		c.clock.set(tt.at)
		before := len(known())
		n, err := c.server.ForgetOld(t.Context())
		require.NoError(t, err)
		assert.Equal(t, tt.want, known(), tt.name)
		assert.Equal(t, before-len(tt.want), n, tt.name)
	}
	shown, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "5", IncludeHistory: true})
	require.NoError(t, err)
	assert.Equal(t, quoting.RetentionCaller, shown.GetHistory()[1].GetCaller())
}

func TestCustomersAreKeptForGoodByDefault(t *testing.T) {
	c := newCounter(t)
	c.create(t, customer)
	c.clock.pass(50 * 365 * 24 * time.Hour)
	n, err := c.server.ForgetOld(t.Context())
	require.NoError(t, err)
	assert.Zero(t, n)
	assert.NotNil(t, c.get(t, "1").GetCustomer())
}

// More quotes than one transaction takes.
func TestManyCustomersAreForgotten(t *testing.T) {
	store := newStore()
	require.NoError(t, store.Update(t.Context(), func(w quoting.Writer) error {
		for running := range int64(250) {
			h := quoting.Head{Number: "2020-" + time.Unix(running, 0).UTC().Format("150405"), Running: running + 1, Revision: 1, Version: 1, State: quoting.Declined,
				Customer: quoting.Contact{Name: "Somebody"}, CreateTime: now().AddDate(-6, 0, 0), UpdateTime: now().AddDate(-6, 0, 0)}
			if err := w.AddQuote(h); err != nil {
				return err
			}
		}
		return nil
	}))
	c, stop := open(t, store, "tester", func(folder fstest.MapFS) {
		edit(t, folder, "shop.yaml", "validity_days: 30", "validity_days: 30\ncustomer_retention_days: 365")
	})
	t.Cleanup(stop)
	n, err := c.server.ForgetOld(t.Context())
	require.NoError(t, err)
	assert.Equal(t, 250, n)
	n, err = c.server.ForgetOld(t.Context())
	require.NoError(t, err)
	assert.Zero(t, n)
}
