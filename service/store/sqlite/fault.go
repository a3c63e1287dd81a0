package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"example.com/lugbook/service/quoting"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// primary cuts an extended result code down to the code it extends.
const primary = 0xff

// fault wraps an error of the driver in the one of quoting that a caller can act on.
// The end of the call's own context stays what it is.
func fault(ctx context.Context, err error) error {
	if err == nil {
		return nil
	}
	if ended := ctx.Err(); ended != nil {
		if errors.Is(err, ended) {
			return err
		}
		return fmt.Errorf("%w: %w", ended, err)
	}
	if kind := kindOf(err); kind != nil {
		return fmt.Errorf("%w: %w", kind, err)
	}
	return err
}

// kindOf gives the error of quoting that an error of the driver amounts to; nil where
// it is a fault of the program.
func kindOf(err error) error {
	if errors.Is(err, sql.ErrConnDone) || errors.Is(err, sql.ErrTxDone) {
		return quoting.ErrUnavailable
	}
	var e *sqlite.Error
	if !errors.As(err, &e) {
		return nil
	}
	switch e.Code() {
	case sqlite3.SQLITE_CONSTRAINT_FOREIGNKEY:
		return quoting.ErrNotFound // what it belongs to is not there
	case sqlite3.SQLITE_CONSTRAINT_UNIQUE, sqlite3.SQLITE_CONSTRAINT_PRIMARYKEY:
		return quoting.ErrExists
	}
	switch e.Code() & primary {
	case sqlite3.SQLITE_FULL:
		return quoting.ErrFull
	case sqlite3.SQLITE_READONLY:
		return quoting.ErrReadOnly
	case sqlite3.SQLITE_BUSY, sqlite3.SQLITE_LOCKED, sqlite3.SQLITE_IOERR, sqlite3.SQLITE_CANTOPEN, sqlite3.SQLITE_NOMEM, sqlite3.SQLITE_INTERRUPT:
		return quoting.ErrUnavailable
	}
	return nil
}
