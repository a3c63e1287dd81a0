package relational

import (
	"fmt"
	"slices"

	"example.com/lugbook/service/quoting"
)

// headColumns are the columns of a quote q and its customer c, as scanHead reads them.
const headColumns = `q.number, q.running, q.revision, q.state, q.version,
	c.name, c.phone, c.email, c.reference, c.words,
	q.vehicle_id, q.vehicle_label, q.vehicle_words, q.total, q.currency,
	q.create_time, q.update_time, q.valid_until, q.erase_time, q.words`

// scanHead reads a row of headColumns.
func scanHead(scan Scan) (quoting.Head, error) {
	var h quoting.Head
	err := scan(&h.Number, &h.Running, &h.Revision, &h.State, &h.Version,
		orEmpty{&h.Customer.Name}, orEmpty{&h.Customer.Phone}, orEmpty{&h.Customer.Email}, orEmpty{&h.Customer.Reference}, list{&h.Customer.Words},
		&h.VehicleID, &h.VehicleLabel, list{&h.VehicleWords}, &h.Total, &h.Currency,
		instant{&h.CreateTime}, instant{&h.UpdateTime}, instant{&h.ValidUntil}, instant{&h.EraseTime}, list{&h.Words})
	return h, err
}

// orEmpty reads a text that may be missing.
type orEmpty struct{ to *string }

// Scan implements sql.Scanner.
func (o orEmpty) Scan(from any) error {
	switch v := from.(type) {
	case nil:
		*o.to = ""
	case string:
		*o.to = v
	default:
		return fmt.Errorf("a text is stored as %T", from)
	}
	return nil
}

// Head gives a quote as it stands.
func (t *Transaction) Head(number string) (quoting.Head, error) {
	var h quoting.Head
	found := false
	err := t.query(func(scan Scan) (err error) {
		found = true
		h, err = scanHead(scan)
		return err
	}, `SELECT `+headColumns+` FROM quotes q LEFT JOIN customers c ON c.running = q.running WHERE q.number = $1`, number)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return quoting.Head{}, fmt.Errorf("read quote %q: %w", number, err)
	}
	return h, nil
}

// Numbered gives the number that belongs to a running number.
func (t *Transaction) Numbered(running int64) (string, error) {
	var number string
	found, err := t.one([]any{&number}, `SELECT q.number FROM quotes q WHERE q.running = $1`, running)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return "", fmt.Errorf("read the quote with running number %d: %w", running, err)
	}
	return number, nil
}

// NextRunning gives the next running number of quotes.
func (t *Transaction) NextRunning() (int64, error) {
	var running int64
	found, err := t.one([]any{&running}, `UPDATE counter SET last = last + 1 WHERE one = 1 RETURNING last`)
	if err == nil && !found {
		err = quoting.ErrNotFound // somebody emptied the table by hand
	}
	if err != nil {
		return 0, fmt.Errorf("take the next running number: %w", err)
	}
	return running, nil
}

// AddQuote stores the head of a new quote.
func (t *Transaction) AddQuote(h quoting.Head) error {
	err := t.add(quoting.ErrExists, `INSERT INTO quotes (running, number, revision, state, version,
			vehicle_id, vehicle_label, vehicle_words, total, currency,
			create_time, update_time, valid_until, erase_time, words)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15)
		ON CONFLICT DO NOTHING`,
		h.Running, h.Number, h.Revision, string(h.State), h.Version,
		h.VehicleID, h.VehicleLabel, asList(h.VehicleWords), h.Total, h.Currency,
		h.CreateTime, h.UpdateTime, h.ValidUntil, orNone(h.EraseTime), asList(h.Words))
	if err == nil {
		err = t.addCustomer(h.Running, h.Customer)
	}
	if err == nil {
		err = t.index(h)
	}
	if err != nil {
		return fmt.Errorf("add quote %q: %w", h.Number, err)
	}
	return nil
}

// SetQuote replaces the head of a quote.
func (t *Transaction) SetQuote(h quoting.Head) error {
	old, err := t.Head(h.Number)
	if err != nil {
		return fmt.Errorf("set quote: %w", err)
	}
	if err := t.replace(old, h); err != nil {
		return fmt.Errorf("set quote %q: %w", h.Number, err)
	}
	return nil
}

func (t *Transaction) replace(old, h quoting.Head) error {
	if old.Version != h.Version-1 {
		return quoting.ErrStale
	}
	if old.Running != h.Running {
		return fmt.Errorf("running number %d became %d", old.Running, h.Running)
	}
	if _, err := t.exec(`UPDATE quotes SET revision = $2, state = $3, version = $4,
			vehicle_id = $5, vehicle_label = $6, vehicle_words = $7, total = $8, currency = $9,
			create_time = $10, update_time = $11, valid_until = $12, erase_time = $13, words = $14
		WHERE running = $1`,
		h.Running, h.Revision, string(h.State), h.Version,
		h.VehicleID, h.VehicleLabel, asList(h.VehicleWords), h.Total, h.Currency,
		h.CreateTime, h.UpdateTime, h.ValidUntil, orNone(h.EraseTime), asList(h.Words)); err != nil {
		return err
	}
	if !sameCustomer(old.Customer, h.Customer) {
		if _, err := t.exec(`DELETE FROM customers WHERE running = $1`, h.Running); err != nil {
			return err
		}
		if err := t.addCustomer(h.Running, h.Customer); err != nil {
			return err
		}
	}
	if slices.Equal(old.Customer.Words, h.Customer.Words) && slices.Equal(old.VehicleWords, h.VehicleWords) && slices.Equal(old.Words, h.Words) {
		return nil
	}
	if _, err := t.exec(`DELETE FROM words WHERE running = $1`, h.Running); err != nil {
		return err
	}
	return t.index(h)
}

// addCustomer stores who a quote is for, where it is for anybody.
func (t *Transaction) addCustomer(running int64, c quoting.Contact) error {
	if sameCustomer(c, quoting.Contact{}) {
		return nil
	}
	_, err := t.exec(`INSERT INTO customers (running, name, phone, email, reference, words) VALUES ($1, $2, $3, $4, $5, $6)`,
		running, c.Name, c.Phone, c.Email, c.Reference, asList(c.Words))
	return err
}

func sameCustomer(a, b quoting.Contact) bool {
	return a.Name == b.Name && a.Phone == b.Phone && a.Email == b.Email && a.Reference == b.Reference && slices.Equal(a.Words, b.Words)
}
