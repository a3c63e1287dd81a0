package relational

import (
	"fmt"

	"example.com/lugbook/service/quoting"
)

// Events lists what was done to a quote, the oldest first.
func (t *Transaction) Events(number string) ([]quoting.Event, error) {
	var events []quoting.Event
	err := t.query(func(scan Scan) error {
		var e quoting.Event
		if err := scan(&e.Number, &e.Revision, instant{&e.Time}, &e.Deed, &e.Caller, &e.Staff, &e.Reason); err != nil {
			return err
		}
		events = append(events, e)
		return nil
	}, `SELECT e.number, e.revision, e.time, e.deed, e.caller, e.staff, e.reason
		FROM events e WHERE e.number = $1 ORDER BY e.place`, number)
	if err != nil {
		return nil, fmt.Errorf("read the events of quote %q: %w", number, err)
	}
	return events, nil
}

// AddEvent appends to what was done to a quote.
func (t *Transaction) AddEvent(e quoting.Event) error {
	_, err := t.exec(`INSERT INTO events (number, place, revision, time, deed, caller, staff, reason)
		VALUES ($1, 1 + COALESCE((SELECT max(e.place) FROM events e WHERE e.number = $1), 0), $2, $3, $4, $5, $6, $7)`,
		e.Number, e.Revision, e.Time, string(e.Deed), e.Caller, e.Staff, e.Reason)
	if err != nil {
		return fmt.Errorf("add an event to quote %q: %w", e.Number, err)
	}
	return nil
}

// Deed gives what was done for a request id of a caller.
func (t *Transaction) Deed(caller, requestID string) (quoting.Done, error) {
	var d quoting.Done
	found, err := t.one([]any{&d.Caller, &d.RequestID, content{&d.Sum}, &d.Number, &d.Revision, &d.State, &d.Version, instant{&d.Time}},
		`SELECT d.caller, d.request_id, d.sum, d.number, d.revision, d.state, d.version, d.time
		FROM deeds d WHERE d.caller = $1 AND d.request_id = $2`, caller, requestID)
	if err == nil && !found {
		err = quoting.ErrNotFound
	}
	if err != nil {
		return quoting.Done{}, fmt.Errorf("read the deed of request %q: %w", requestID, err)
	}
	return d, nil
}

// AddDeed remembers what was done for a request id.
func (t *Transaction) AddDeed(d quoting.Done) error {
	err := t.add(quoting.ErrExists, `INSERT INTO deeds (caller, request_id, sum, number, revision, state, version, time)
		VALUES ($1, $2, $3, $4, $5, $6, $7, $8) ON CONFLICT DO NOTHING`,
		d.Caller, d.RequestID, d.Sum, d.Number, d.Revision, string(d.State), d.Version, d.Time)
	if err != nil {
		return fmt.Errorf("remember the deed of request %q: %w", d.RequestID, err)
	}
	return nil
}
