package quoting

import (
	"errors"
	"fmt"
)

// ErrNoStore tells that the service was made without a store, so it keeps no quotes.
var ErrNoStore = errors.New("no store")

// MissingError tells that there is no such quote, or no such revision of it. It
// wraps ErrNotFound.
type MissingError struct {
	Number   string // as far as it is known
	Revision int    // 0 where the quote itself is missing
}

func (e *MissingError) Error() string {
	if e.Revision == 0 {
		return "quote " + e.Number + ": not found"
	}
	return fmt.Sprintf("quote %s, revision %d: not found", e.Number, e.Revision)
}

// Unwrap gives ErrNotFound.
func (e *MissingError) Unwrap() error { return ErrNotFound }

// missing names the quote of an ErrNotFound; other errors stay as they are.
func missing(err error, number string, revision int) error {
	if errors.Is(err, ErrNotFound) {
		return &MissingError{number, revision}
	}
	return err
}

// StateError tells that where a quote stands does not allow a deed.
type StateError struct {
	Number string
	State  State
	Deed   Deed
}

func (e *StateError) Error() string {
	return fmt.Sprintf("quote %s is %s and cannot be %s", e.Number, e.State, e.Deed)
}

// ChangedError tells that a quote was changed since the caller read it.
type ChangedError struct {
	Number string
	ETag   string // as it is now
}

func (e *ChangedError) Error() string { return "quote " + e.Number + " was changed meanwhile" }

// NotLatestError tells that a revision was named that is not the latest.
type NotLatestError struct {
	Number        string
	Given, Latest int
}

func (e *NotLatestError) Error() string {
	return fmt.Sprintf("quote %s: revision %d is not the latest, %d", e.Number, e.Given, e.Latest)
}

// ReusedError tells that a caller's request id was used for another request.
type ReusedError struct{ RequestID string }

func (e *ReusedError) Error() string {
	return "request id " + e.RequestID + " was used for another request"
}

// UnknownCatalogError tells that no catalog of this revision is kept. It wraps
// ErrNotFound.
type UnknownCatalogError struct {
	Revision string // as it was given
	Several  bool   // true: several begin with these digits
}

func (e *UnknownCatalogError) Error() string {
	if e.Several {
		return "catalog " + e.Revision + ": several begin so"
	}
	return "catalog " + e.Revision + ": not found"
}

// Unwrap gives ErrNotFound.
func (e *UnknownCatalogError) Unwrap() error { return ErrNotFound }

// unknownCatalog names the catalog of an ErrNotFound; other errors stay as they are.
func unknownCatalog(err error, revision string) error {
	if errors.Is(err, ErrNotFound) {
		return &UnknownCatalogError{Revision: revision}
	}
	return err
}

// CatalogChangedError tells that another catalog is in force than the caller took for
// granted.
type CatalogChangedError struct{ Expected, InForce string }

func (e *CatalogChangedError) Error() string {
	return "catalog " + e.InForce + " is in force, not " + e.Expected
}

// ErrFixedCatalog tells that the service was started on a catalog of its runner's
// choice, so that none can be imported.
var ErrFixedCatalog = errors.New("the catalog is fixed")

// unreadableError tells that a stored catalog was had and cannot be read: trying again
// gives the same.
type unreadableError struct{ err error }

func (e *unreadableError) Error() string { return e.err.Error() }
func (e *unreadableError) Unwrap() error { return e.err }
