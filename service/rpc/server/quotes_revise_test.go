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

// dearer is a shop whose labour has become dearer, with the old price and the new.
func dearer(t *testing.T) func(fstest.MapFS) {
	t.Helper()
	return func(folder fstest.MapFS) {
		edit(t, folder, "shop.yaml", `labour_rate_per_hour: "110.00"`, `labour_rate_per_hour: "131.00"`)
	}
}

func TestReviseTellsWhatChanged(t *testing.T) {
	c := newCounter(t)
	first := c.create(t, customer)
	reply, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: c.id(), Job: lampsJob(2)})
	require.NoError(t, err)
	second := reply.GetQuote()
	assert.EqualValues(t, 2, second.GetRevision())
	assert.Equal(t, first.GetNumber(), second.GetNumber())
	require.NotEmpty(t, reply.GetChanges())
	for _, change := range reply.GetChanges() {
		switch change.GetKind() {
		case pb.LineChangeKind_LINE_CHANGE_KIND_ADDED:
			assert.Nil(t, change.GetBefore())
			assert.Equal(t, change.GetAfter().GetAmount().GetAmount(), change.GetDifference().GetAmount())
		case pb.LineChangeKind_LINE_CHANGE_KIND_CHANGED:
			assert.False(t, proto.Equal(change.GetBefore(), change.GetAfter()))
		default:
			assert.Equal(t, pb.LineChangeKind_LINE_CHANGE_KIND_DROPPED, change.GetKind())
			assert.True(t, strings.HasPrefix(change.GetDifference().GetAmount(), "-"))
		}
	}

	// What was given out stays to be seen.
	old, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1", Revision: 1})
	require.NoError(t, err)
	want := proto.CloneOf(first)
	want.Etag = second.GetEtag() // of the quote, not of its revision
	assert.True(t, proto.Equal(want, old.GetQuote()))
	_, err = c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: "1", Revision: 3})
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE)
}

func TestReviseWithoutAJobTakesTodaysPrices(t *testing.T) {
	store := newStore()
	before, stop := open(t, store, "tester", nil)
	job := lampJob(customer)
	job.Notes = []string{"Call before noon."}
	made, err := before.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(job), RequestId: "a", UnitSystem: pb.UnitSystem_UNIT_SYSTEM_METRIC})
	require.NoError(t, err)
	stop()

	after, stop := open(t, store, "tester", dearer(t))
	t.Cleanup(stop)
	assert.True(t, proto.Equal(made.GetQuote(), after.get(t, "1")), "what was given out is not reckoned anew")
	compared, err := after.RequoteQuote(t.Context(), &pb.RequoteQuoteRequest{Number: "1"})
	require.NoError(t, err)
	assert.True(t, proto.Equal(made.GetQuote(), compared.GetBefore()))
	today := compared.GetToday()
	assert.Equal(t, pb.QuoteState_QUOTE_STATE_DRAFT, today.GetState())
	assert.Empty(t, today.GetNumber())
	assert.Equal(t, pb.UnitSystem_UNIT_SYSTEM_METRIC, today.GetUnitSystem(), "in the units of the old one")
	assert.True(t, proto.Equal(customer, today.GetCustomer()))
	assert.NotEqual(t, made.GetQuote().GetCatalogRevision(), today.GetCatalogRevision())
	require.NotEmpty(t, compared.GetChanges())
	for _, change := range compared.GetChanges() {
		assert.NotEqual(t, pb.LineSection_LINE_SECTION_PARTS, change.GetAfter().GetSection(), "only labour, and the supplies that follow it, cost more")
	}
	assert.False(t, strings.HasPrefix(compared.GetDifference().GetAmount(), "-"))

	revised, err := after.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: "b"})
	require.NoError(t, err)
	q := revised.GetQuote()
	assert.True(t, proto.Equal(today.GetTotals(), q.GetTotals()))
	assert.True(t, proto.Equal(customer, q.GetCustomer()), "the customer stays")
	assert.Equal(t, job.GetNotes(), q.GetNotes())
	assert.Equal(t, pb.UnitSystem_UNIT_SYSTEM_METRIC, q.GetUnitSystem())
	require.Len(t, revised.GetChanges(), len(compared.GetChanges()))
	for i := range compared.GetChanges() {
		assert.True(t, proto.Equal(compared.GetChanges()[i], revised.GetChanges()[i]))
	}
}

// The catalog that a quote was made from can be read as long as the quote is kept.
func TestCatalogsAreKeptWithTheQuotes(t *testing.T) {
	store := newStore()
	before, stop := open(t, store, "tester", nil)
	first := before.create(t, nil)
	stop()
	after, stop := open(t, store, "tester", dearer(t))
	t.Cleanup(stop)
	after.ids = 100
	second := after.create(t, nil)
	use := quoting.New(quoting.Config{Catalog: after.catalog, Store: store, Now: now})
	for _, q := range []*pb.Quote{first, second} {
		edition, err := use.At(t.Context(), q.GetCatalogRevision())
		require.NoError(t, err)
		assert.Equal(t, q.GetCatalogRevision(), edition.Revision())
	}
	old, err := use.At(t.Context(), first.GetCatalogRevision())
	require.NoError(t, err)
	assert.Equal(t, before.catalog.Shop, old.Catalog().Shop)
	_, err = use.At(t.Context(), "0123")
	require.ErrorIs(t, err, quoting.ErrNotFound)
	require.NoError(t, store.View(t.Context(), func(r quoting.Reader) error {
		_, err := r.CatalogInForce()
		assert.ErrorIs(t, err, quoting.ErrNotFound, "what is quoted from is not imported by that")
		return nil
	}))
}

func TestAQuoteIsMadeFromAnother(t *testing.T) {
	c := newCounter(t)
	first := c.create(t, customer)
	c.clock.pass(time.Hour)
	reply, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofNumber("1"), RequestId: "copy"})
	require.NoError(t, err)
	copied := reply.GetQuote()
	assert.Equal(t, "2026-00002", copied.GetNumber())
	assert.True(t, proto.Equal(customer, copied.GetCustomer()))
	assert.True(t, proto.Equal(first.GetTotals(), copied.GetTotals()))
	preview, err := c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofNumber("2026-00002")})
	require.NoError(t, err)
	assert.True(t, proto.Equal(first.GetDesign(), preview.GetQuote().GetDesign()))
	assert.True(t, proto.Equal(customer, preview.GetQuote().GetCustomer()))
}

// A vehicle may leave the catalog; what was quoted for it stays.
func TestAJobThatTheCatalogNoLongerKnows(t *testing.T) {
	store := newStore()
	before, stop := open(t, store, "tester", nil)
	made := before.create(t, nil)
	stop()
	after, stop := open(t, store, "tester", func(folder fstest.MapFS) { edit(t, folder, "vehicles.yaml", "id: sedan", "id: saloon") })
	t.Cleanup(stop)
	assert.True(t, proto.Equal(made, after.get(t, "1")))
	_, err := after.RequoteQuote(t.Context(), &pb.RequoteQuoteRequest{Number: "1"})
	assert.Equal(t, []string{"number.vehicle_id"}, fields(t, err))
	_, err = after.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: "b"})
	assert.Equal(t, []string{"job.vehicle_id"}, fields(t, err))
	_, err = after.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofNumber("1"), RequestId: "c"})
	assert.Equal(t, []string{"source.number.vehicle_id"}, fields(t, err))
	// The answer to what was done before does not depend on today's catalog.
	again, err := after.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: "request-1"})
	require.NoError(t, err)
	assert.True(t, proto.Equal(made, again.GetQuote()))
}

func TestAcceptSetsPartsAside(t *testing.T) {
	c := newCounter(t)
	q := c.create(t, nil)
	want := map[string]float64{}
	for _, l := range q.GetLines() {
		if l.GetSku() != "" {
			want[l.GetSku()] += l.GetQuantity()
		}
	}
	require.NotEmpty(t, want)
	sku := q.GetLines()[0].GetSku()
	require.NoError(t, c.store.Update(t.Context(), func(w quoting.Writer) error {
		return w.Move(quoting.Movement{SKU: sku, Kind: quoting.Counted, Quantity: 1, Time: now()}) // a thousandth
	}))
	reply, err := c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: "1", RequestId: "yes", Staff: "Ida"})
	require.NoError(t, err)
	got := map[string]float64{}
	for _, r := range reply.GetReservations() {
		got[r.GetSku()] = r.GetQuantity()
		assert.NotEmpty(t, r.GetDescription())
		assert.NotEmpty(t, r.GetUnit())
		if r.GetSku() == sku {
			require.NotNil(t, r.Missing)
			assert.InDelta(t, want[sku]-0.001, r.GetMissing(), 1e-9)
		} else {
			assert.Nil(t, r.Missing, "nobody counted it")
		}
	}
	assert.InDeltaMapValues(t, want, got, 1e-9)
	assert.InDelta(t, want[sku], reserved(t, c, sku), 1e-9)
	_, err = c.WithdrawQuote(t.Context(), &pb.WithdrawQuoteRequest{Number: "1", RequestId: "no"})
	require.NoError(t, err)
	assert.Zero(t, reserved(t, c, sku), "free again")
}

func reserved(t *testing.T, c *counter, sku string) float64 {
	t.Helper()
	var stock quoting.Stock
	require.NoError(t, c.store.View(t.Context(), func(r quoting.Reader) (err error) {
		stock, err = r.Stock(sku)
		return err
	}))
	return stock.Reserved.Units()
}
