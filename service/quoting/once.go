package quoting

import (
	"context"
	"errors"
	"slices"
)

// Request is who asks for a change of what is stored, and which request it is.
type Request struct {
	Caller string // as the service knows it
	Staff  string // as the caller says
	// ID is the same for every try of one change, and Sum the same for the same
	// content: the same ID with another Sum is a *ReusedError.
	ID     string
	Sum    []byte
	ETag   string // of the quote as the caller read it; empty means whichever it is
	Reason string
}

// once does what a request asks for in one transaction, or gives what was answered
// to it before. In the same transaction then is told what the answer is; it may be
// nil.
func (s *Service) once(ctx context.Context, q Request, do func(Writer) (Stored, error), then func(Reader, Stored) error) (Stored, error) {
	var stored Stored
	err := s.store.Update(ctx, func(w Writer) error {
		var known bool
		var err error
		if stored, known, err = answered(w, q); err == nil && !known {
			stored, err = do(w)
		}
		if err != nil || then == nil {
			return err
		}
		return then(w, stored)
	})
	return stored, err
}

// answered gives what was answered to a request before; false where it is new.
func answered(r Reader, q Request) (Stored, bool, error) {
	done, ok, err := lookUp(r, q)
	if err != nil || !ok {
		return Stored{}, false, err
	}
	head, err := r.Head(done.Number)
	if err != nil {
		return Stored{}, false, missing(err, done.Number, 0)
	}
	head.Revision, head.State, head.Version, head.UpdateTime = done.Revision, done.State, done.Version, done.Time
	kept, err := r.Revision(done.Number, done.Revision)
	return Stored{head, kept, done.State}, err == nil, missing(err, done.Number, done.Revision)
}

// lookUp gives what was done for a request; false where it is new.
func lookUp(r Reader, q Request) (Done, bool, error) {
	done, err := r.Deed(q.Caller, q.ID)
	switch {
	case errors.Is(err, ErrNotFound):
		return Done{}, false, nil
	case err != nil:
		return Done{}, false, err
	case !slices.Equal(done.Sum, q.Sum):
		return Done{}, false, &ReusedError{q.ID}
	}
	return done, true, nil
}

// remember writes down what was done to a quote, and the answer to the request.
func remember(w Writer, q Request, deed Deed, head Head) error {
	event := Event{Number: head.Number, Revision: head.Revision, Time: head.UpdateTime, Deed: deed, Caller: q.Caller, Staff: q.Staff, Reason: q.Reason}
	if err := w.AddEvent(event); err != nil {
		return err
	}
	return w.AddDeed(Done{Caller: q.Caller, RequestID: q.ID, Sum: q.Sum, Number: head.Number, Revision: head.Revision, State: head.State, Version: head.Version, Time: head.UpdateTime})
}
