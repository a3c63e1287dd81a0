package quoting

import (
	"context"
	"errors"
	"fmt"
	"io/fs"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/coverage"
)

// importTries is how often an import is begun anew because another was put in force
// meanwhile: often enough for owners at several desks, and an end.
const importTries = 5

// Import is a catalog to be put in force.
type Import struct {
	Files  fs.FS // as catalog.Read takes it
	Note   string
	Caller string
	// Expected is the revision that the caller takes to be in force, or its first
	// digits; empty means whichever it is.
	Expected string
	// DryRun tells what would come of it, and stores nothing.
	DryRun bool
}

// Imported is what came of an import, or would.
type Imported struct {
	Before, After *catalog.Catalog
	Difference    *catalog.Difference
	// Uncovered is the work that Before provided for and After does not.
	Uncovered []coverage.Finding
	// Unchanged tells that the very catalog is in force already.
	Unchanged bool
}

// Import reads a catalog and puts it in force, all of it or nothing. A catalog with
// faults gives catalog.Faults, one that is in force already changes nothing.
// *CatalogChangedError where another is in force than expected, ErrFixedCatalog, and
// ErrStale where others kept importing meanwhile. A dry run is refused where the real
// one would be.
func (s *Service) Import(ctx context.Context, in Import) (*Imported, error) {
	if s.fixed {
		return nil, ErrFixedCatalog
	}
	next, packed, err := readNew(in.Files)
	if err != nil {
		return nil, err
	}
	kept := CatalogRevision{Revision: next.Revision(), CreateTime: s.clock(), Caller: in.Caller, Note: in.Note, Files: packed}
	for range importTries {
		done, err := s.tryImport(ctx, in, next, kept)
		if !errors.Is(err, ErrStale) {
			return done, err
		}
	}
	return nil, ErrStale
}

// readNew reads a catalog, and gives its plain files packed. The edition is read from
// the pack, so that what answers now is what is read back later.
func readNew(files fs.FS) (*Edition, []byte, error) {
	read, err := catalog.Read(files)
	if err != nil {
		return nil, nil, err
	}
	packed, err := PackPlain(files)
	if err != nil {
		return nil, nil, err
	}
	cat, err := readBack(packed, read.Revision)
	if err != nil {
		return nil, nil, err
	}
	cat.Advice = read.Advice // with the places of the files that were sent
	return newEdition(cat, nil), packed, nil
}

// tryImport imports against the catalog in force now. ErrStale where another one is by
// the time it is to be replaced.
func (s *Service) tryImport(ctx context.Context, in Import, next *Edition, kept CatalogRevision) (*Imported, error) {
	inForce, err := s.inForce(ctx)
	if err != nil {
		return nil, err
	}
	if !begins(inForce, in.Expected) {
		return nil, &CatalogChangedError{in.Expected, inForce}
	}
	before, err := s.edition(ctx, inForce)
	var unreadable *unreadableError
	if errors.As(err, &unreadable) {
		before, err = s.Current(), nil // importing another is how to mend it
	}
	if err != nil {
		return nil, err
	}
	done := compare(before.catalog, next.catalog)
	if in.DryRun {
		return done, nil
	}
	err = s.store.Update(ctx, func(w Writer) error {
		now, err := s.standing(w)
		if err != nil {
			return err
		}
		if now != inForce {
			return ErrStale
		}
		if err := addOnce(w, kept); err != nil {
			return err
		}
		return w.PutCatalogInForce(kept.Revision)
	})
	if err != nil {
		return nil, fmt.Errorf("put catalog %s in force: %w", kept.Revision, err)
	}
	s.editions.put(next)
	if _, err := s.Follow(ctx); err != nil {
		s.enforce(next) // it is in force, whatever keeps the store from saying so
	}
	return done, nil
}

// begins tells that a revision is the expected one; none expected is any.
func begins(revision, expected string) bool {
	return expected == "" || len(expected) >= shortestPrefix && len(expected) <= len(revision) && revision[:len(expected)] == expected
}

// compare tells what a new catalog changes.
func compare(before, after *catalog.Catalog) *Imported {
	done := &Imported{Before: before, After: after, Difference: catalog.Compare(before, after), Unchanged: before.Revision == after.Revision}
	if !done.Unchanged {
		done.Uncovered = coverage.NewGaps(coverage.Check(before), coverage.Check(after))
	}
	return done
}

// Export gives the plain files of an edition: those that were imported, or that quotes
// keep. *UnknownCatalogError where the files are not kept.
func (s *Service) Export(ctx context.Context, e *Edition) (fs.FS, error) {
	if e.files != nil {
		packed, err := e.files()
		if err != nil {
			return nil, err
		}
		return Unpack(packed)
	}
	packed, err := s.packed(ctx, e.Revision())
	if err != nil {
		return nil, err
	}
	return Unpack(packed)
}

// Revisions lists the catalogs that are kept, the newest first and without their files.
func (s *Service) Revisions(ctx context.Context) (all []CatalogRevision, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		all, err = r.Catalogs()
		return err
	})
	return all, err
}

// Fixed tells that the catalog was chosen by whoever runs the service.
func (s *Service) Fixed() bool { return s.fixed }
