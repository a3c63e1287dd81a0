package cli_test

import (
	"math"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

func TestQuantitiesOfStock(t *testing.T) {
	t.Parallel()
	for typed, want := range map[string]struct {
		quantity float64
		unit     string
	}{
		"40": {40, ""}, "0": {0, ""}, "2.5": {2.5, ""}, "3 packs": {3, "pack"}, "1 pack": {1, "pack"}, "12 pieces": {12, "each"}, "12pcs": {12, "each"}, "7 EACH": {7, "each"},
		"7.5m": {7.5, "m"}, "7.5 m": {7.5, "m"}, "25 ft": {7.62, "m"}, "25ft": {7.62, "m"}, "750 cm": {7.5, "m"},
	} {
		var shop fakeShop
		got := shop.run(t, "", append([]string{"catalog", "stock", "count", "X-1"}, strings.Fields(typed)...)...)
		require.Equal(t, cli.Done, got.code, "%s: %s", typed, got.errors)
		request, ok := shop.got.(*lugbookv1.AdjustStockRequest)
		require.True(t, ok)
		assert.InDelta(t, want.quantity, request.GetQuantity(), 1e-9, typed)
		assert.Equal(t, want.unit, request.GetUnit(), typed)
		assert.Equal(t, "X-1", request.GetSku())
		assert.Equal(t, lugbookv1.StockAdjustment_STOCK_ADJUSTMENT_COUNTED, request.GetAdjustment())
		assert.NotEmpty(t, request.GetRequestId())
	}
	for _, typed := range []string{"", "plenty", "25 A", "1,5", "1e9", "4 boxes", "NaN", "-4"} {
		var shop fakeShop
		got := shop.run(t, "", "catalog", "stock", "receive", "X-1", "--", typed)
		assert.Equal(t, cli.Misused, got.code, typed)
		assert.Nil(t, shop.got, typed)
	}
}

// A count that nobody answered is tried again, and is then the same request.
func TestACountIsTriedAgain(t *testing.T) {
	t.Parallel()
	shop := fakeShop{err: status.Error(codes.Unavailable, "gone"), fails: 1}
	got := shop.run(t, "", "catalog", "stock", "receive", "X-1", "40", "--staff", "ida", "--note", "slip 7")
	require.Equal(t, cli.Done, got.code, got.errors)
	require.Len(t, shop.calls, 2)
	first, _ := shop.calls[0].(*lugbookv1.AdjustStockRequest)
	second, _ := shop.calls[1].(*lugbookv1.AdjustStockRequest)
	assert.Equal(t, first.GetRequestId(), second.GetRequestId())
	assert.Equal(t, []string{"ida", "slip 7"}, []string{second.GetStaff(), second.GetNote()})
}

func TestShortagesAskForWhatIsWanted(t *testing.T) {
	t.Parallel()
	var shop fakeShop
	got := shop.run(t, "", "catalog", "shortages", "--open", "--page-size", "7")
	require.Equal(t, cli.Done, got.code)
	assert.Equal(t, "1 part is wanted whose stock is not counted: see for yourself what is there\n", got.errors)
	request, ok := shop.got.(*lugbookv1.ListShortagesRequest)
	require.True(t, ok)
	assert.True(t, request.GetIncludeOpen())
	assert.False(t, request.GetIncludeCost())
	assert.EqualValues(t, 7, request.GetPageSize())
}

// What is short stands before everything else on a quote.
func TestAQuoteSaysWhatIsShort(t *testing.T) {
	t.Parallel()
	shop := &fakeShop{short: true}
	got := shop.run(t, tinyJob, "quote", "-")
	require.Equal(t, cli.Done, got.code, got.errors)
	_, after, found := strings.Cut(got.out, "\nSHORT OF STOCK\n")
	require.True(t, found, got.out)
	assert.True(t, strings.HasPrefix(after, "-  14 ft of cable are missing.\n-  Built otherwise it costs more.\n\nCIRCUITS\n"), after)
}

// Whatever is typed as a quantity is refused, or is a finite number of a unit that the
// contract knows.
func FuzzStockQuantity(f *testing.F) {
	for _, seed := range []string{"40", "25ft", "7.5 m", "3 packs", "7' 6\"", "-4", "1e400", "NaN m", "\x00", "9999999999 ft"} {
		f.Add(seed)
	}
	f.Fuzz(func(t *testing.T, text string) {
		var shop fakeShop
		got := shop.run(t, "", "catalog", "stock", "count", "X-1", "--", text)
		request, sent := shop.got.(*lugbookv1.AdjustStockRequest)
		require.Equal(t, got.code == cli.Done, sent, got.errors)
		if !sent {
			assert.Equal(t, cli.Misused, got.code)
			return
		}
		assert.False(t, math.IsInf(request.GetQuantity(), 0) || math.IsNaN(request.GetQuantity()), text)
		assert.Contains(t, []string{"", "each", "pack", "m"}, request.GetUnit())
	})
}
