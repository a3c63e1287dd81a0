package quoting

import (
	"context"
	"errors"
	"sync"
)

// following is what the service knows of the catalog in force in the store.
type following struct {
	mu sync.Mutex
	// refused is a revision that could not be read, and why: reading it again every
	// few seconds would give the same.
	refused string
	why     error
}

// Follow asks the store which catalog is in force and works from that one from now on;
// what is under way finishes on the old one. It tells whether that changed anything.
// Where the one in force cannot be read the old one stays, and the error says why. A
// service with a catalog of its own choice follows nobody, and one without a store, or
// whose store has none in force, keeps what it has.
func (s *Service) Follow(ctx context.Context) (changed bool, err error) {
	if s.fixed {
		return false, nil
	}
	s.turn.mu.Lock() // the last to ask must be the last to set
	defer s.turn.mu.Unlock()
	revision, err := s.inForce(ctx)
	if errors.Is(err, ErrNoStore) || err == nil && revision == s.Current().Revision() {
		return false, nil
	}
	if err != nil {
		return false, err
	}
	if revision == s.turn.refused {
		return false, s.turn.why
	}
	next, err := s.edition(ctx, revision)
	var unreadable *unreadableError
	if errors.As(err, &unreadable) {
		s.turn.refused, s.turn.why = revision, err
	}
	if err != nil {
		return false, err
	}
	s.enforce(next)
	return true, nil
}

// enforce works from an edition from now on. The one before stays at hand: somebody may
// quote on it still.
func (s *Service) enforce(next *Edition) {
	if before := s.current.Swap(next); before != s.own {
		s.editions.put(before)
	}
}

// inForce gives the revision in force: the store's, else the service's own.
func (s *Service) inForce(ctx context.Context) (revision string, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		revision, err = s.standing(r)
		return err
	})
	return revision, err
}

// standing gives the revision in force in one state of the store.
func (s *Service) standing(r Reader) (string, error) {
	revision, err := r.CatalogInForce()
	if errors.Is(err, ErrNotFound) {
		return s.own.Revision(), nil
	}
	return revision, err
}
