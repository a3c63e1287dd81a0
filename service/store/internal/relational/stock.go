package relational

import (
	"fmt"
	"slices"
	"strings"
	"unicode/utf8"

	"example.com/lugbook/service/quoting"
)

// Stock gives the stock of a part.
func (t *Transaction) Stock(sku string) (quoting.Stock, error) {
	var s quoting.Stock
	if _, err := t.one([]any{&s.Counted, &s.OnHand, &s.Reserved},
		`SELECT s.counted, s.on_hand, s.reserved FROM stock s WHERE s.sku = $1`, sku); err != nil {
		return quoting.Stock{}, fmt.Errorf("read the stock of %q: %w", sku, err)
	}
	return s, nil
}

// named is how many parts one statement names: far below what either database takes
// as arguments.
const named = 500

// Stocks lists the stock of parts that were ever counted or reserved.
func (t *Transaction) Stocks(skus []string) ([]quoting.Balance, error) {
	if skus == nil {
		return t.stocks(``)
	}
	sought := slices.DeleteFunc(slices.Clone(skus), func(sku string) bool { return !utf8.ValidString(sku) || strings.ContainsRune(sku, 0) })
	slices.Sort(sought)
	var all []quoting.Balance
	for some := range slices.Chunk(slices.Compact(sought), named) {
		places, arguments := make([]string, len(some)), make([]any, len(some))
		for i, sku := range some {
			places[i], arguments[i] = fmt.Sprintf("$%d", i+1), sku
		}
		found, err := t.stocks(`WHERE s.sku IN (`+strings.Join(places, `, `)+`)`, arguments...)
		if err != nil {
			return nil, err
		}
		all = append(all, found...)
	}
	return all, nil
}

func (t *Transaction) stocks(which string, arguments ...any) ([]quoting.Balance, error) {
	var all []quoting.Balance
	err := t.query(func(scan Scan) error {
		var b quoting.Balance
		if err := scan(&b.SKU, &b.Counted, &b.OnHand, &b.Reserved); err != nil {
			return err
		}
		all = append(all, b)
		return nil
	}, `SELECT s.sku, s.counted, s.on_hand, s.reserved FROM stock s `+which+` ORDER BY s.sku`, arguments...)
	if err != nil {
		return nil, fmt.Errorf("read the stock of parts: %w", err)
	}
	return all, nil
}

// Reserved lists what is set aside for a quote.
func (t *Transaction) Reserved(number string) ([]quoting.Movement, error) {
	if number == "" {
		return nil, nil
	}
	var reserved []quoting.Movement
	err := t.query(func(scan Scan) error {
		m := quoting.Movement{Kind: quoting.Reserve, Number: number}
		if err := scan(&m.SKU, &m.Quantity); err != nil {
			return err
		}
		reserved = append(reserved, m)
		return nil
	}, `SELECT m.sku, CAST(sum(CASE WHEN m.kind = $2 THEN m.quantity ELSE -m.quantity END) AS bigint)
		FROM movements m WHERE m.number = $1 AND m.number <> '' AND m.kind IN ($2, $3)
		GROUP BY m.sku
		HAVING sum(CASE WHEN m.kind = $2 THEN m.quantity ELSE -m.quantity END) > 0
		ORDER BY m.sku`, number, string(quoting.Reserve), string(quoting.Release))
	if err != nil {
		return nil, fmt.Errorf("read what is reserved for quote %q: %w", number, err)
	}
	return reserved, nil
}

// Move appends to the ledger of a part's stock and keeps its balance.
func (t *Transaction) Move(m quoting.Movement) error {
	balance, quantity, err := balancing(m)
	if err == nil {
		_, err = t.exec(`INSERT INTO movements (sku, kind, quantity, number, time, caller, staff, note)
			VALUES ($1, $2, $3, $4, $5, $6, $7, $8)`,
			m.SKU, string(m.Kind), int64(m.Quantity), m.Number, m.Time, m.Caller, m.Staff, m.Note)
	}
	if err == nil {
		_, err = t.exec(balance, m.SKU, quantity)
	}
	if err != nil {
		return fmt.Errorf("move stock of %q: %w", m.SKU, err)
	}
	return nil
}

// The statements that keep a part's balance.
const (
	setOnHand = `INSERT INTO stock (sku, counted, on_hand, reserved) VALUES ($1, TRUE, $2, 0)
		ON CONFLICT (sku) DO UPDATE SET counted = TRUE, on_hand = excluded.on_hand`
	addOnHand = `INSERT INTO stock (sku, counted, on_hand, reserved) VALUES ($1, TRUE, $2, 0)
		ON CONFLICT (sku) DO UPDATE SET counted = TRUE, on_hand = stock.on_hand + excluded.on_hand`
	addReserved = `INSERT INTO stock (sku, counted, on_hand, reserved) VALUES ($1, FALSE, 0, $2)
		ON CONFLICT (sku) DO UPDATE SET reserved = stock.reserved + excluded.reserved`
)

// balancing gives the statement that brings a movement into the balance, and the
// quantity to give it.
func balancing(m quoting.Movement) (string, int64, error) {
	quantity := int64(m.Quantity)
	if quantity < 0 {
		return "", 0, fmt.Errorf("a quantity of %d thousandths is below 0", quantity)
	}
	switch m.Kind {
	case quoting.Counted:
		return setOnHand, quantity, nil
	case quoting.Received:
		return addOnHand, quantity, nil
	case quoting.Reserve:
		return addReserved, quantity, nil
	case quoting.Release:
		return addReserved, -quantity, nil
	}
	return "", 0, fmt.Errorf("there is no movement %q", m.Kind)
}
