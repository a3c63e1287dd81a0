package storetest

import (
	"fmt"
	"math"
	"testing"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// move is a movement of stock with no more than it needs.
func move(sku string, kind quoting.MovementKind, quantity quoting.Thousandths, number string) quoting.Movement {
	return quoting.Movement{SKU: sku, Kind: kind, Quantity: quantity, Number: number, Time: noon, Caller: "counter-1"}
}

// The balance follows from the movements.
func stock(t *testing.T, s quoting.Store) {
	for _, step := range []struct {
		movement quoting.Movement
		want     quoting.Stock
	}{
		{move("C-8", quoting.Reserve, 4000, number(1)), quoting.Stock{Reserved: 4000}}, // never counted
		{move("C-8", quoting.Received, 1500, ""), quoting.Stock{Counted: true, OnHand: 1500, Reserved: 4000}},
		{move("C-8", quoting.Received, 500, ""), quoting.Stock{Counted: true, OnHand: 2000, Reserved: 4000}},
		{move("C-8", quoting.Counted, 12345, ""), quoting.Stock{Counted: true, OnHand: 12345, Reserved: 4000}},
		{move("C-8", quoting.Release, 1000, number(1)), quoting.Stock{Counted: true, OnHand: 12345, Reserved: 3000}},
		{move("C-8", quoting.Reserve, 0, number(2)), quoting.Stock{Counted: true, OnHand: 12345, Reserved: 3000}},
		{move("C-8", quoting.Counted, 0, ""), quoting.Stock{Counted: true, Reserved: 3000}},
		{move("C-8", quoting.Counted, math.MaxInt64, ""), quoting.Stock{Counted: true, OnHand: math.MaxInt64, Reserved: 3000}},
	} {
		update(t, s, func(w quoting.Writer) error {
			require.NoError(t, w.Move(move("other", quoting.Counted, 7, "")))
			return w.Move(step.movement)
		})
		assertStock(t, s, "C-8", step.want)
		assertStock(t, s, "other", quoting.Stock{Counted: true, OnHand: 7})
	}
	for name, wrong := range map[string]quoting.Movement{
		"below nothing":   move("C-8", quoting.Received, -1, ""),
		"no such kind":    move("C-8", "lent", 1, ""),
		"more than it is": move("C-8", quoting.Received, 1, ""), // the greatest number and one
	} {
		require.Error(t, try(t, s, func(w quoting.Writer) error { return w.Move(wrong) }), name)
	}
	assertStock(t, s, "C-8", quoting.Stock{Counted: true, OnHand: math.MaxInt64, Reserved: 3000})
}

func assertStock(t *testing.T, s quoting.Store, sku string, want quoting.Stock) {
	t.Helper()
	view(t, s, func(r quoting.Reader) {
		got, err := r.Stock(sku)
		require.NoError(t, err)
		assert.Equal(t, want, got, sku)
	})
}

// What is reserved for a quote is what was set aside and not freed again, by SKU.
func reserved(t *testing.T, s quoting.Store) {
	update(t, s, func(w quoting.Writer) error {
		for _, m := range []quoting.Movement{
			move("T-2", quoting.Reserve, 2000, number(1)),
			move("C-8", quoting.Reserve, 3000, number(1)),
			move("C-8", quoting.Reserve, 500, number(1)),
			move("C-8", quoting.Reserve, 9000, number(2)),
			move("F-60", quoting.Reserve, 1000, number(1)),
			move("F-60", quoting.Release, 1000, number(1)),
			move("C-8", quoting.Release, 1250, number(1)),
			move("C-8", quoting.Received, 7000, number(1)), // names the quote and sets nothing aside
			move("C-8", quoting.Received, 7000, ""),
		} {
			require.NoError(t, w.Move(m))
		}
		return nil
	})
	view(t, s, func(r quoting.Reader) {
		got, err := r.Reserved(number(1))
		require.NoError(t, err)
		assert.Equal(t, []quoting.Movement{
			{SKU: "C-8", Kind: quoting.Reserve, Quantity: 2250, Number: number(1)},
			{SKU: "T-2", Kind: quoting.Reserve, Quantity: 2000, Number: number(1)},
		}, got)
		for _, of := range []string{"", number(3)} {
			got, err = r.Reserved(of)
			require.NoError(t, err)
			assert.Empty(t, got)
		}
	})
	assertStock(t, s, "C-8", quoting.Stock{Counted: true, OnHand: 14000, Reserved: 11250})
}

// The stock of many parts comes by SKU, each once, however many are named; parts that
// never moved and texts that no store keeps are left out.
func manyStocks(t *testing.T, s quoting.Store) {
	const parts = 1200
	var all []quoting.Balance
	var named []string
	update(t, s, func(w quoting.Writer) error {
		all, named = nil, []string{"none", "\x00", "\xff"}
		for n := range parts {
			sku := fmt.Sprintf("P-%04d", n)
			if err := w.Move(move(sku, quoting.Counted, quoting.Thousandths(n), "")); err != nil {
				return err
			}
			all = append(all, quoting.Balance{SKU: sku, Stock: quoting.Stock{Counted: true, OnHand: quoting.Thousandths(n)}})
			named = append(named, sku, sku)
		}
		reserved := quoting.Balance{SKU: "Z", Stock: quoting.Stock{Reserved: 4}}
		all = append(all, reserved)
		return w.Move(move(reserved.SKU, quoting.Reserve, 4, number(1)))
	})
	view(t, s, func(r quoting.Reader) {
		for _, c := range []struct {
			skus []string
			want []quoting.Balance
		}{
			{nil, all}, {[]string{}, nil}, {[]string{"none"}, nil}, {[]string{"Z", "P-0007", "P-0007", "none"}, []quoting.Balance{all[7], all[parts]}}, {named, all[:parts]},
		} {
			got, err := r.Stocks(c.skus)
			require.NoError(t, err)
			assert.Equal(t, c.want, got)
		}
	})
}
