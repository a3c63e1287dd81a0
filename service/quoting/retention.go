package quoting

import (
	"context"
	"time"
)

// RetentionCaller is who erases customers whose time is up.
const RetentionCaller = "retention"

// forgetAtOnce is how many quotes one transaction of ForgetOld erases: few enough
// that others hardly wait.
const forgetAtOnce = 100

// ForgetOld erases the customers of quotes that ended, or were accepted, longer ago
// than the shop keeps customers, and gives how many quotes that were. A shop that
// keeps them for good has nothing erased.
func (s *Service) ForgetOld(ctx context.Context) (int, error) {
	days := s.Current().catalog.Shop.RetentionDays
	if days == 0 {
		return 0, nil
	}
	at := s.clock()
	limit := at.AddDate(0, 0, -days)
	count, below := 0, int64(0)
	for {
		heads, err := s.ended(ctx, limit, below)
		if err != nil || len(heads) == 0 {
			return count, err
		}
		below = heads[len(heads)-1].Running
		n, err := s.forgetOld(ctx, heads, limit, at)
		count += n
		if err != nil {
			return count, err
		}
	}
}

// ended lists quotes that have ended or were accepted and were made before a limit,
// with running numbers below one; 0 means all.
func (s *Service) ended(ctx context.Context, limit time.Time, below int64) (heads []Head, err error) {
	f := Filter{States: []StateAt{{State: Accepted}, {State: Declined}, {State: Withdrawn}, {State: Open, ValidBefore: limit}}, Before: limit, BeforeRunning: below, Limit: forgetAtOnce}
	err = s.store.View(ctx, func(r Reader) error {
		heads, err = r.Heads(f)
		return err
	})
	return heads, err
}

// forgetOld erases the customers of those quotes that are due. What changed since
// they were listed is looked at again.
func (s *Service) forgetOld(ctx context.Context, heads []Head, limit, at time.Time) (count int, err error) {
	var numbers []string
	for _, h := range heads {
		if h.due(limit) {
			numbers = append(numbers, h.Number)
		}
	}
	if len(numbers) == 0 {
		return 0, nil
	}
	err = s.store.Update(ctx, func(w Writer) error {
		count = 0
		for _, number := range numbers {
			head, err := w.Head(number)
			if err != nil {
				return err
			}
			if !head.due(limit) {
				continue
			}
			if err := forget(w, number, Request{Caller: RetentionCaller}, at); err != nil {
				return err
			}
			count++
		}
		return nil
	})
	return count, err
}

// due tells that a quote ended, or was accepted, before a time and still holds a
// customer.
func (h Head) due(limit time.Time) bool {
	ended := h.UpdateTime
	if h.State == Open {
		ended = h.ValidUntil
	}
	return h.EraseTime.IsZero() && ended.Before(limit)
}
