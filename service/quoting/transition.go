package quoting

import (
	"context"
	"time"
)

// Decline records that the customer refused. *MissingError, *StateError,
// *ChangedError.
func (s *Service) Decline(ctx context.Context, ref Ref, q Request) (Stored, error) {
	at := s.clock()
	return s.once(ctx, q, func(w Writer) (Stored, error) { return move(w, ref, q, DeedDeclined, at, nil) }, nil)
}

// Withdraw takes a quote back and frees what was set aside for it. *MissingError,
// *StateError, *ChangedError.
func (s *Service) Withdraw(ctx context.Context, ref Ref, q Request) (Stored, error) {
	at := s.clock()
	free := func(w Writer, was Stored) error { return release(w, q, was.Head.Number, at) }
	return s.once(ctx, q, func(w Writer) (Stored, error) { return move(w, ref, q, DeedWithdrawn, at, free) }, nil)
}

// Accept records that the customer agreed to a revision, the latest for 0, and sets
// its parts aside; partsOf reads them from what the revision keeps. It tells what was
// set aside and how much of it is missing. *MissingError, *NotLatestError,
// *StateError, *ChangedError.
func (s *Service) Accept(ctx context.Context, ref Ref, revision int, q Request, partsOf func(Revision) ([]Part, error)) (Stored, []Reserved, error) {
	at := s.clock()
	setAside := func(w Writer, was Stored) error {
		if revision != 0 && revision != was.Head.Revision {
			return &NotLatestError{was.Head.Number, revision, was.Head.Revision}
		}
		parts, err := summed(partsOf, was.Revision)
		if err != nil {
			return err
		}
		return reserve(w, q, was.Head.Number, parts, at)
	}
	var reserved []Reserved
	stored, err := s.once(ctx, q, func(w Writer) (Stored, error) { return move(w, ref, q, DeedAccepted, at, setAside) }, func(r Reader, now Stored) error {
		parts, err := summed(partsOf, now.Revision)
		if err != nil {
			return err
		}
		reserved, err = shortages(r, parts)
		return err
	})
	return stored, reserved, err
}

// move takes a quote one step through its life; act does what goes with it and may
// be nil.
func move(w Writer, ref Ref, q Request, deed Deed, at time.Time, act func(Writer, Stored) error) (Stored, error) {
	was, err := get(w, ref, 0, at)
	if err != nil {
		return Stored{}, err
	}
	if err := was.Head.admit(deed, q.ETag, at); err != nil {
		return Stored{}, err
	}
	if act != nil {
		if err := act(w, was); err != nil {
			return Stored{}, err
		}
	}
	head := was.Head
	head.State, head.Version, head.UpdateTime = steps[deed].to, head.Version+1, at
	if err := w.SetQuote(head); err != nil {
		return Stored{}, err
	}
	return Stored{head, was.Revision, head.State}, remember(w, q, deed, head)
}
