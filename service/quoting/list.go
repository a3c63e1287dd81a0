package quoting

import (
	"context"
	"time"
)

// Query is which quotes to list, in the words of those who ask.
type Query struct {
	States        []State // any of these, Expired among them; empty means every state
	Customer      string  // words to find of the customer
	Vehicle       string  // of the vehicle
	Text          string  // of anything
	From, Before  time.Time
	BeforeRunning int64 // only quotes with a lower running number; 0 means all
	Limit         int   // at most so many, 1 and up
}

// Listed is a quote in a list.
type Listed struct {
	Head  Head
	State State // Head.State, or Expired
}

// List gives the quotes that match, the newest first, and whether there are more.
func (s *Service) List(ctx context.Context, q Query) (list []Listed, more bool, err error) {
	at := s.clock()
	f := Filter{Customer: Words(q.Customer), Vehicle: Words(q.Vehicle), Text: Words(q.Text), From: q.From, Before: q.Before, BeforeRunning: q.BeforeRunning, Limit: q.Limit + 1}
	for _, state := range q.States {
		f.States = append(f.States, state.in(at))
	}
	var heads []Head
	err = s.store.View(ctx, func(r Reader) error {
		heads, err = r.Heads(f)
		return err
	})
	if err != nil {
		return nil, false, err
	}
	if more = len(heads) > q.Limit; more {
		heads = heads[:q.Limit]
	}
	for _, h := range heads {
		list = append(list, Listed{h, h.Standing(at)})
	}
	return list, more, nil
}
