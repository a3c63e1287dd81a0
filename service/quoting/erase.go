package quoting

import (
	"context"
	"slices"
	"time"
)

// Erase removes for good what is known of the customers of some quotes, all of them
// or none, and gives their numbers, each once. A quote whose customer was erased
// before counts as done. *MissingError.
func (s *Service) Erase(ctx context.Context, refs []Ref, q Request) ([]string, error) {
	at := s.clock()
	var numbers []string
	err := s.store.Update(ctx, func(w Writer) error {
		var err error
		if numbers, err = findAll(w, refs); err != nil {
			return err
		}
		if _, known, err := lookUp(w, q); known || err != nil {
			return err
		}
		for _, number := range numbers {
			if err := forget(w, number, q, at); err != nil {
				return err
			}
		}
		head, err := w.Head(numbers[0]) // an answer belongs to a quote; the first stands for all
		if err != nil {
			return err
		}
		return w.AddDeed(Done{Caller: q.Caller, RequestID: q.ID, Sum: q.Sum, Number: head.Number, Revision: head.Revision, State: head.State, Version: head.Version, Time: head.UpdateTime})
	})
	return numbers, err
}

// findAll gives the numbers of quotes that are all there, each once.
func findAll(r Reader, refs []Ref) ([]string, error) {
	var numbers []string
	for _, ref := range refs {
		number, err := ref.find(r)
		if err != nil {
			return nil, err
		}
		if _, err := r.Head(number); err != nil {
			return nil, missing(err, number, 0)
		}
		if !slices.Contains(numbers, number) {
			numbers = append(numbers, number)
		}
	}
	return numbers, nil
}

// forget erases the customer of one quote, unless nothing has been done to it since
// that was done last.
func forget(w Writer, number string, q Request, at time.Time) error {
	head, err := w.Head(number)
	if err != nil {
		return missing(err, number, 0)
	}
	events, err := w.Events(number)
	if err != nil {
		return err
	}
	if n := len(events); !head.EraseTime.IsZero() && n > 0 && events[n-1].Deed == DeedErased {
		return nil
	}
	if err := w.Forget(number, at); err != nil {
		return err
	}
	if head, err = w.Head(number); err != nil {
		return err
	}
	head.Customer, head.EraseTime, head.UpdateTime = Contact{}, at, at
	head.Version++
	if err := w.SetQuote(head); err != nil {
		return err
	}
	return w.AddEvent(Event{Number: number, Revision: head.Revision, Time: at, Deed: DeedErased, Caller: q.Caller, Staff: q.Staff})
}
