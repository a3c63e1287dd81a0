package server_test

import (
	"math"
	"strings"
	"testing"
	"testing/fstest"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
)

// catalogOf gives the catalog's side of a counter.
func catalogOf(c *counter) pb.CatalogServiceClient { return pb.NewCatalogServiceClient(c.conn) }

// counted writes down what was counted.
func (c *counter) counted(t *testing.T, sku string, quantity float64) *pb.StockBalance {
	t.Helper()
	reply, err := catalogOf(c).AdjustStock(t.Context(), &pb.AdjustStockRequest{Sku: sku, Adjustment: pb.StockAdjustment_STOCK_ADJUSTMENT_COUNTED, Quantity: quantity, RequestId: c.id(), Staff: "ida"})
	require.NoError(t, err)
	return reply.GetBalance()
}

// lineOf gives the first line of a part.
func lineOf(q *pb.Quote, sku string) *pb.Line {
	for _, l := range q.GetLines() {
		if l.GetSku() == sku {
			return l
		}
	}
	return nil
}

func TestAQuoteKeepsWhatItSaidOfTheStock(t *testing.T) {
	c := newCounter(t)
	fuse := c.create(t, customer).GetDesign().GetCircuits()[0].GetProtection().GetSku()
	c.counted(t, fuse, 0.5)
	q := c.create(t, customer)
	require.Len(t, q.GetShortages(), 1)
	short := q.GetShortages()[0]
	assert.Equal(t, []any{fuse, 1.0, "each", 0.5, 0.0, 0.5}, []any{short.GetSku(), short.GetNeeded(), short.GetUnit(), short.GetOnHand(), short.GetReserved(), short.GetMissing()})
	require.NotEmpty(t, short.GetSubstituteSku())
	assert.Contains(t, short.GetText(), "1 each of "+short.GetDescription()+" ("+fuse+") needed, 0.5 each free (0.5 each on hand, 0 each set aside): 0.5 each missing. ")
	assert.Contains(t, short.GetText(), short.GetSubstituteDescription()+" ("+short.GetSubstituteSku()+") would take its place.")
	line := lineOf(q, fuse)
	assert.Equal(t, 0.5, line.GetOnHand())
	assert.Equal(t, short.GetSubstituteSku(), line.GetSubstituteSku())
	for _, l := range q.GetLines() {
		if l.GetSku() != fuse {
			assert.Nil(t, l.OnHand, l.GetSku())
			assert.Empty(t, l.GetSubstituteSku())
		}
	}
	way := q.GetStockedWay()
	assert.True(t, way.GetComplete())
	assert.Equal(t, "USD", way.GetTotal().GetCurrencyCode())
	assert.Contains(t, way.GetText(), "Built from what is on hand, the job comes to "+way.GetTotal().GetAmount()+" USD")

	c.counted(t, fuse, 10)
	assert.True(t, proto.Equal(q, c.get(t, q.GetNumber())), "it is shown as it was given out")
	revised, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: q.GetNumber(), RequestId: c.id()})
	require.NoError(t, err)
	assert.Empty(t, revised.GetQuote().GetShortages())
	assert.Nil(t, revised.GetQuote().GetStockedWay())
	assert.Equal(t, 10.0, lineOf(revised.GetQuote(), fuse).GetOnHand())
}

func TestAcceptedQuotesMakeThePurchaseList(t *testing.T) {
	c := newCounter(t)
	q := c.create(t, customer)
	fuse := q.GetDesign().GetCircuits()[0].GetProtection().GetSku()
	c.counted(t, fuse, 0)
	list := func(r *pb.ListShortagesRequest) *pb.ListShortagesResponse {
		reply, err := catalogOf(c).ListShortages(t.Context(), r)
		require.NoError(t, err)
		return reply
	}
	assert.Empty(t, list(&pb.ListShortagesRequest{}).GetShortages())
	open := list(&pb.ListShortagesRequest{IncludeOpen: true})
	require.Len(t, open.GetShortages(), 1)
	assert.Equal(t, []any{1.0, 0.0, 1.0}, []any{open.GetShortages()[0].GetOpen(), open.GetShortages()[0].GetReserved(), open.GetShortages()[0].GetMissing()})
	assert.Positive(t, open.GetUncountedCount())

	accepted, err := c.AcceptQuote(t.Context(), &pb.AcceptQuoteRequest{Number: q.GetNumber(), RequestId: c.id()})
	require.NoError(t, err)
	for _, r := range accepted.GetReservations() {
		c.counted(t, r.GetSku(), 0)
	}
	reply := list(&pb.ListShortagesRequest{IncludeCost: true})
	assert.Len(t, reply.GetShortages(), len(accepted.GetReservations()))
	assert.Zero(t, reply.GetUncountedCount())
	parts := 0
	for _, o := range reply.GetSuppliers() {
		parts += int(o.GetPartCount())
		assert.NotNil(t, o.GetCost())
	}
	assert.Equal(t, len(reply.GetShortages()), parts)
	for _, x := range reply.GetShortages() {
		assert.NotNil(t, x.GetCost())
		assert.Equal(t, math.Ceil(x.GetMissing()), x.GetOrderQuantity())
	}
	for _, x := range list(&pb.ListShortagesRequest{}).GetShortages() {
		assert.Nil(t, x.GetCost(), "cost is for who asks for it")
	}
	for _, o := range list(&pb.ListShortagesRequest{}).GetSuppliers() {
		assert.Nil(t, o.GetCost())
	}
	var paged []*pb.StockShortage
	for token, first := "", true; first || token != ""; first = false {
		page := list(&pb.ListShortagesRequest{IncludeCost: true, PageSize: 2, PageToken: token})
		paged, token = append(paged, page.GetShortages()...), page.GetNextPageToken()
		assert.Len(t, page.GetSuppliers(), len(reply.GetSuppliers()), "suppliers are those of all pages")
	}
	require.Len(t, paged, len(reply.GetShortages()))
	for i := range paged {
		assert.True(t, proto.Equal(reply.GetShortages()[i], paged[i]))
	}
}

func TestStockIsPaged(t *testing.T) {
	c := newCounter(t)
	for _, sku := range []string{"FU-BLD-3", "FU-BLD-1", "FU-BLD-2"} {
		c.counted(t, sku, 4)
	}
	var skus []string
	for token, first := "", true; first || token != ""; first = false {
		reply, err := catalogOf(c).ListStock(t.Context(), &pb.ListStockRequest{PageSize: 2, PageToken: token})
		require.NoError(t, err)
		assert.EqualValues(t, 3, reply.GetTotalSize())
		for _, b := range reply.GetBalances() {
			skus = append(skus, b.GetSku())
			assert.Equal(t, 4.0, b.GetFree())
		}
		token = reply.GetNextPageToken()
	}
	assert.Equal(t, []string{"FU-BLD-1", "FU-BLD-2", "FU-BLD-3"}, skus)
}

func TestPartsShowWhatIsOnHand(t *testing.T) {
	c := newCounter(t)
	c.counted(t, "FU-BLD-1", 4)
	c.counted(t, "FU-BLD-2", 0)
	require.NoError(t, c.store.Update(t.Context(), func(w quoting.Writer) error {
		return w.Move(quoting.Movement{SKU: "FU-BLD-1", Kind: quoting.Reserve, Quantity: 1000, Number: "2026-00009"})
	}))
	list := func(r *pb.ListPartsRequest) map[string]*float64 {
		reply, err := catalogOf(c).ListParts(t.Context(), r)
		require.NoError(t, err)
		assert.Len(t, reply.GetParts(), int(reply.GetTotalSize()))
		found := map[string]*float64{}
		for _, p := range reply.GetParts() {
			found[p.GetSku()] = p.OnHand
		}
		return found
	}
	all := list(&pb.ListPartsRequest{Text: "blade fuse", PageSize: 1000})
	assert.Equal(t, []*float64{proto.Float64(4), proto.Float64(0), nil}, []*float64{all["FU-BLD-1"], all["FU-BLD-2"], all["FU-BLD-3"]})
	assert.Equal(t, map[string]*float64{"FU-BLD-1": proto.Float64(4)}, list(&pb.ListPartsRequest{InStock: true}))

	c.store.Fail(quoting.ErrUnavailable)
	reply, err := catalogOf(c).ListParts(t.Context(), &pb.ListPartsRequest{})
	require.NoError(t, err)
	assert.True(t, reply.GetStockUnknown())
	assert.NotEmpty(t, reply.GetParts())
	_, err = catalogOf(c).ListParts(t.Context(), &pb.ListPartsRequest{InStock: true})
	refused(t, err, codes.Unavailable, pb.ErrorReason_ERROR_REASON_STORE_UNAVAILABLE)
	preview, err := c.PreviewQuote(t.Context(), &pb.PreviewQuoteRequest{Source: ofJob(lampJob(nil))})
	require.NoError(t, err)
	assert.True(t, preview.GetQuote().GetStockUnknown())
	assert.Contains(t, preview.GetQuote().GetAssumptions(), "What is on hand could not be looked up.")
}

func TestWhatCannotBeCounted(t *testing.T) {
	c := newCounter(t)
	counted := pb.StockAdjustment_STOCK_ADJUSTMENT_COUNTED
	for name, x := range map[string]struct {
		request *pb.AdjustStockRequest
		fields  []string
	}{
		"nothing":        {&pb.AdjustStockRequest{}, []string{"request_id", "adjustment", "sku"}},
		"below nothing":  {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: counted, Quantity: -1, RequestId: "a"}, []string{"quantity"}},
		"beyond measure": {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: counted, Quantity: 1e9 + 1, RequestId: "a"}, []string{"quantity"}},
		"no number":      {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: counted, Quantity: math.NaN(), RequestId: "a"}, []string{"quantity"}},
		"endless":        {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: counted, Quantity: math.Inf(1), RequestId: "a"}, []string{"quantity"}},
		"another unit":   {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: counted, Quantity: 1, Unit: "ft", RequestId: "a"}, []string{"unit"}},
		"a long note":    {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: counted, Quantity: 1, Note: strings.Repeat("x", 501), RequestId: "a"}, []string{"note"}},
		"another deed":   {&pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: 7, Quantity: 1, RequestId: "a"}, []string{"adjustment"}},
	} {
		_, err := catalogOf(c).AdjustStock(t.Context(), x.request)
		assert.Equal(t, x.fields, fields(t, err), name)
	}
	_, err := catalogOf(c).AdjustStock(t.Context(), &pb.AdjustStockRequest{Sku: "FU-BDL-1", Adjustment: counted, RequestId: "a"})
	info := detail[*errdetails.ErrorInfo](t, refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_PART))
	assert.Equal(t, "FU-BLD-1", info.GetMetadata()["nearest"])
	_, err = catalogOf(c).ListStock(t.Context(), &pb.ListStockRequest{PageSize: -1})
	assert.Equal(t, []string{"page_size"}, fields(t, err))
	_, err = catalogOf(c).ListShortages(t.Context(), &pb.ListShortagesRequest{PageToken: "x"})
	assert.Equal(t, []string{"page_token"}, fields(t, err))
	list, err := catalogOf(c).ListStock(t.Context(), &pb.ListStockRequest{})
	require.NoError(t, err)
	assert.Empty(t, list.GetBalances(), "nothing of it was written down")
}

// Packs are kept by the pack, and bought so; the pieces of broken ones are counted.
func TestPacks(t *testing.T) {
	for _, broken := range []bool{false, true} {
		c, closed := open(t, newStore(), "", func(folder fstest.MapFS) {
			columns, row := ",pack_qty,supplier,", ",each,,Larch Hill Fuse House,"
			text := string(folder["fuses.csv"].Data)
			lines := strings.SplitAfter(text, "\n")
			mark := map[bool]string{false: "no", true: "yes"}[broken]
			for i, l := range lines {
				switch {
				case i == 0:
					lines[i] = strings.Replace(l, columns, ",pack_qty,broken_packs,supplier,", 1)
				case strings.HasPrefix(l, "FU-BLD-1,"):
					lines[i] = strings.Replace(l, row, ",pack,10,"+mark+",Larch Hill Fuse House,", 1)
				case l != "":
					lines[i] = strings.Replace(l, ",each,,", ",each,,,", 1)
				}
			}
			folder["fuses.csv"].Data = []byte(strings.Join(lines, ""))
		})
		reply, err := catalogOf(c).AdjustStock(t.Context(), &pb.AdjustStockRequest{Sku: "FU-BLD-1", Adjustment: pb.StockAdjustment_STOCK_ADJUSTMENT_RECEIVED, Quantity: 35, Unit: "each", RequestId: c.id()})
		require.NoError(t, err)
		own, hand := "pack", 3.5
		if broken {
			own, hand = "each", 35
		}
		assert.Equal(t, own, reply.GetBalance().GetUnit())
		assert.Equal(t, hand, reply.GetBalance().GetOnHand())
		require.NoError(t, c.store.Update(t.Context(), func(w quoting.Writer) error {
			return w.Move(quoting.Movement{SKU: "FU-BLD-1", Kind: quoting.Reserve, Quantity: quoting.Thousandths(hand*1000) + 11_000, Number: "2026-00009"})
		}))
		short, err := catalogOf(c).ListShortages(t.Context(), &pb.ListShortagesRequest{})
		require.NoError(t, err)
		assert.Equal(t, "pack", short.GetShortages()[0].GetOrderUnit())
		assert.Equal(t, map[bool]float64{false: 11, true: 2}[broken], short.GetShortages()[0].GetOrderQuantity())
		closed()
	}
}
