package quoting

import (
	"context"
	"errors"
	"time"
)

// reviseTries is how often a revision is begun anew because the quote was changed
// while it was reckoned: often enough for a busy counter, and an end for a caller
// whom others always outrun.
const reviseTries = 5

// Revise replaces a quote by a new revision at today's prices. The draft is made
// from the latest revision, and only where the request is new. It gives the revision
// before and the one after. *MissingError, *StateError, *ChangedError; ErrStale where
// others kept changing the quote meanwhile.
func (s *Service) Revise(ctx context.Context, ref Ref, q Request, draft func(context.Context, Stored) (Draft, error)) (before, after Stored, err error) {
	for range reviseTries {
		before, after, err = s.revise(ctx, ref, q, draft)
		if !errors.Is(err, ErrStale) {
			break
		}
	}
	return before, after, err
}

func (s *Service) revise(ctx context.Context, ref Ref, q Request, draft func(context.Context, Stored) (Draft, error)) (before, after Stored, err error) {
	at := s.clock()
	last, known, err := s.toRevise(ctx, ref, q, at)
	if err != nil {
		return before, after, err
	}
	var made Stored
	if !known {
		if made, err = s.makeNext(ctx, q, last, draft, at); err != nil {
			return before, after, err
		}
	}
	after, err = s.once(ctx, q, func(w Writer) (Stored, error) {
		now, err := get(w, ref, 0, at)
		if err != nil {
			return Stored{}, err
		}
		if err := now.Head.admit(DeedRevised, q.ETag, at); err != nil {
			return Stored{}, err
		}
		if now.Head.Version != last.Head.Version {
			return Stored{}, ErrStale
		}
		return replace(w, q, now.Head, made)
	}, func(r Reader, after Stored) error {
		var err error
		before, err = load(r, after.Head, after.Revision.Revision-1, at)
		return err
	})
	return before, after, err
}

// toRevise gives the latest revision of a quote that may be revised, and whether the
// request was answered before.
func (s *Service) toRevise(ctx context.Context, ref Ref, q Request, at time.Time) (last Stored, known bool, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		if _, known, err = lookUp(r, q); known || err != nil {
			return err
		}
		if last, err = get(r, ref, 0, at); err != nil {
			return err
		}
		return last.Head.admit(DeedRevised, q.ETag, at)
	})
	return last, known, err
}

// makeNext works out the next revision, all but its place in the store.
func (s *Service) makeNext(ctx context.Context, q Request, last Stored, draft func(context.Context, Stored) (Draft, error), at time.Time) (Stored, error) {
	d, err := draft(ctx, last)
	if err != nil {
		return Stored{}, err
	}
	next, err := s.make(ctx, q, d, at)
	return next.Stored, err
}

// replace stores what was made as the next revision of a quote.
func replace(w Writer, q Request, head Head, made Stored) (Stored, error) {
	next, r := made.Head, made.Revision
	next.Number, next.Running, next.CreateTime = head.Number, head.Running, head.CreateTime
	next.Revision, next.Version = head.Revision+1, head.Version+1
	next.Words = unique(numberWords(next), next.Words)
	if len(r.Personal) == 0 {
		next.EraseTime = head.EraseTime // who was erased has not come back
	}
	r.Number, r.Revision = next.Number, next.Revision
	if err := w.SetQuote(next); err != nil {
		return Stored{}, err
	}
	if err := w.AddRevision(r); err != nil {
		return Stored{}, err
	}
	return Stored{next, r, Open}, remember(w, q, DeedRevised, next)
}

// Requote reckons the job of a quote's latest revision at today's prices and stores
// nothing. It gives the quote as it was given out, and what it would be today.
func (s *Service) Requote(ctx context.Context, ref Ref, job func(Stored) (Job, error)) (Stored, *Preview, error) {
	was, _, err := s.Get(ctx, ref, 0, false)
	if err != nil {
		return Stored{}, nil, err
	}
	asked, err := job(was)
	if err != nil {
		return Stored{}, nil, err
	}
	today, err := s.preview(ctx, s.Current(), asked, s.clock(), was.Head.Number)
	return was, today, err
}
