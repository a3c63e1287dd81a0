package quotingtest

import (
	"context"
	"errors"
	"maps"
	"slices"
	"sync"

	"example.com/lugbook/service/quoting"
)

// Store is a quoting.Store in memory. Fail makes it fail. Its zero value is not
// ready: it comes from NewStore.
type Store struct {
	writing sync.Mutex // held by the one transaction that writes
	reading sync.RWMutex
	now     *state // never changes once it is here
	fail    error
}

// NewStore gives an empty store.
func NewStore() *Store { return &Store{now: newState()} }

// Fail lets every transaction fail from now on, as a store that is ill would; nil
// heals it.
func (s *Store) Fail(err error) {
	s.reading.Lock()
	defer s.reading.Unlock()
	s.fail = err
}

// current gives the state as it is.
func (s *Store) current(ctx context.Context) (*state, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	s.reading.RLock()
	defer s.reading.RUnlock()
	return s.now, s.fail
}

// View runs do on the state as it is.
func (s *Store) View(ctx context.Context, do func(quoting.Reader) error) error {
	now, err := s.current(ctx)
	if err != nil {
		return err
	}
	return do(reader{now})
}

// Update runs do on a copy of the state, which takes its place if do succeeds. To
// show what must not leave the transaction, do runs twice.
func (s *Store) Update(ctx context.Context, do func(quoting.Writer) error) error {
	s.writing.Lock()
	defer s.writing.Unlock()
	now, err := s.current(ctx)
	if err != nil {
		return err
	}
	if err := do(writer{reader{now.clone()}}); err != nil {
		return err
	}
	next := now.clone()
	if err := errors.Join(do(writer{reader{next}}), ctx.Err()); err != nil {
		return err
	}
	s.reading.Lock()
	defer s.reading.Unlock()
	s.now = next
	return nil
}

type (
	revisionKey struct {
		number   string
		revision int
	}
	documentKey struct {
		revisionKey
		kind string
	}
	deedKey struct{ caller, requestID string }
)

// state is everything that is stored. What the maps hold is replaced, never changed.
type state struct {
	running   int64
	heads     map[string]quoting.Head
	numbers   map[int64]string
	revisions map[revisionKey]quoting.Revision
	events    map[string][]quoting.Event
	documents map[documentKey]quoting.Document
	deeds     map[deedKey]quoting.Done
	moves     []quoting.Movement
	catalogs  map[string]quoting.CatalogRevision
	added     []string // revisions of the catalog, the oldest first
	inForce   string
	tokens    []quoting.Token // by name
}

func newState() *state {
	return &state{heads: map[string]quoting.Head{}, numbers: map[int64]string{}, revisions: map[revisionKey]quoting.Revision{}, events: map[string][]quoting.Event{},
		documents: map[documentKey]quoting.Document{}, deeds: map[deedKey]quoting.Done{}, catalogs: map[string]quoting.CatalogRevision{}}
}

// clone gives a copy whose maps can be written to without harm to the original.
func (s *state) clone() *state {
	c := *s
	c.heads, c.numbers, c.revisions = maps.Clone(s.heads), maps.Clone(s.numbers), maps.Clone(s.revisions)
	c.events, c.documents, c.deeds = maps.Clone(s.events), maps.Clone(s.documents), maps.Clone(s.deeds)
	c.catalogs = maps.Clone(s.catalogs)
	c.tokens = slices.Clone(s.tokens)
	c.moves, c.added = s.moves[:len(s.moves):len(s.moves)], s.added[:len(s.added):len(s.added)]
	return &c
}
