package quoting

import (
	"context"
	"time"
)

// Stored is one revision of a stored quote, with where the quote stands.
type Stored struct {
	Head     Head
	Revision Revision
	State    State // Head.State, or Expired
}

// Get gives a revision of a quote, the latest for 0, and where wanted what was done
// to the quote, the oldest first. *MissingError.
func (s *Service) Get(ctx context.Context, ref Ref, revision int, withEvents bool) (found Stored, events []Event, err error) {
	at := s.clock()
	err = s.store.View(ctx, func(r Reader) error {
		var err error
		if found, err = get(r, ref, revision, at); err != nil || !withEvents {
			return err
		}
		events, err = r.Events(found.Head.Number)
		return err
	})
	return found, events, err
}

func get(r Reader, ref Ref, revision int, at time.Time) (Stored, error) {
	number, err := ref.find(r)
	if err != nil {
		return Stored{}, err
	}
	head, err := r.Head(number)
	if err != nil {
		return Stored{}, missing(err, number, 0)
	}
	return load(r, head, revision, at)
}

// load reads a revision, the latest for 0.
func load(r Reader, head Head, revision int, at time.Time) (Stored, error) {
	if revision == 0 {
		revision = head.Revision
	}
	kept, err := r.Revision(head.Number, revision)
	return Stored{head, kept, head.Standing(at)}, missing(err, head.Number, revision)
}
