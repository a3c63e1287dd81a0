package quoting

import (
	"context"
	"fmt"
	"strings"
	"sync"
	"time"

	"golang.org/x/sync/singleflight"
)

// editionsKept is how many editions beside the one in force are kept at hand (own choice): a
// shop quotes on the last few revisions, and a large catalog takes some hundred MB.
const editionsKept = 4

// longestReading is how long reading an edition may take: far above the largest
// catalog, and an end where a store hangs.
const longestReading = time.Minute

// editions keeps those that were read last.
type editions struct {
	mu      sync.Mutex
	list    []*Edition // the last used first
	reading singleflight.Group
}

// take gives an edition that is at hand.
func (f *editions) take(revision string) (*Edition, bool) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for i, e := range f.list {
		if e.Revision() == revision {
			copy(f.list[1:i+1], f.list[:i])
			f.list[0] = e
			return e, true
		}
	}
	return nil, false
}

// put keeps an edition, and drops the one that was not used for longest.
func (f *editions) put(e *Edition) {
	f.mu.Lock()
	defer f.mu.Unlock()
	for _, other := range f.list {
		if other.Revision() == e.Revision() {
			return
		}
	}
	f.list = append([]*Edition{e}, f.list[:min(len(f.list), editionsKept-1)]...)
}

// The spelling of a revision.
const (
	revisionDigits = 64
	shortestPrefix = 8
)

// At gives the edition of a revision that was in force once, or that quotes were made
// from; the one in force for an empty revision. The first digits of a revision will do,
// 8 at the least. *UnknownCatalogError.
func (s *Service) At(ctx context.Context, revision string) (*Edition, error) {
	revision = strings.ToLower(revision)
	current := s.Current()
	if revision == "" || revision == current.Revision() {
		return current, nil
	}
	if len(revision) < shortestPrefix || len(revision) > revisionDigits || strings.Trim(revision, "0123456789abcdef") != "" {
		return nil, &UnknownCatalogError{Revision: revision}
	}
	if len(revision) < revisionDigits {
		var err error
		if revision, err = s.whole(ctx, revision); err != nil {
			return nil, err
		}
	}
	return s.edition(ctx, revision)
}

// whole gives the one revision that begins with some digits.
func (s *Service) whole(ctx context.Context, digits string) (string, error) {
	found := map[string]bool{}
	for _, known := range []*Edition{s.Current(), s.own} {
		if strings.HasPrefix(known.Revision(), digits) {
			found[known.Revision()] = true
		}
	}
	var all []CatalogRevision
	err := s.store.View(ctx, func(r Reader) error {
		var err error
		all, err = r.Catalogs()
		return err
	})
	if err != nil && len(found) == 0 {
		return "", err
	}
	for _, c := range all {
		if strings.HasPrefix(c.Revision, digits) {
			found[c.Revision] = true
		}
	}
	if len(found) != 1 {
		return "", &UnknownCatalogError{Revision: digits, Several: len(found) > 1}
	}
	for revision := range found {
		digits = revision
	}
	return digits, nil
}

// edition gives the edition of a whole revision. Those who ask for one at the same
// time wait for one reading.
func (s *Service) edition(ctx context.Context, revision string) (*Edition, error) {
	for _, known := range []*Edition{s.Current(), s.own} {
		if known.Revision() == revision {
			return known, nil
		}
	}
	if e, ok := s.editions.take(revision); ok {
		return e, nil
	}
	read := s.editions.reading.DoChan(revision, func() (any, error) {
		// It goes on where the first who asked has left: others may wait for it.
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), longestReading)
		defer cancel()
		return s.read(ctx, revision)
	})
	select {
	case r := <-read:
		if r.Err != nil {
			return nil, r.Err
		}
		return r.Val.(*Edition), nil
	case <-ctx.Done():
		return nil, ctx.Err()
	}
}

// read reads an edition from the store.
func (s *Service) read(ctx context.Context, revision string) (*Edition, error) {
	packed, err := s.packed(ctx, revision)
	if err != nil {
		return nil, err
	}
	cat, err := readBack(packed, revision)
	if err != nil {
		return nil, &unreadableError{err}
	}
	e := newEdition(cat, nil)
	s.editions.put(e)
	return e, nil
}

// packed gives the files of a stored revision.
func (s *Service) packed(ctx context.Context, revision string) ([]byte, error) {
	var kept CatalogRevision
	err := s.store.View(ctx, func(r Reader) error {
		var err error
		kept, err = r.Catalog(revision)
		return err
	})
	if err != nil {
		return nil, fmt.Errorf("catalog %s: %w", revision, unknownCatalog(err, revision))
	}
	return kept.Files, nil
}
