package postgres

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"

	"example.com/lugbook/service/quoting"

	"github.com/jackc/pgx/v5/pgconn"
)

// Codes of PostgreSQL's errors that are told apart (PostgreSQL 15 documentation,
// appendix A).
const (
	foreignKeyViolation  = "23503"
	uniqueViolation      = "23505"
	serializationFailure = "40001"
	deadlockDetected     = "40P01"
	readOnlyTransaction  = "25006"
	idleInTransaction    = "25P03"
	lockNotAvailable     = "55P03"
	queryCanceled        = "57014"
	diskFull             = "53100"

	// Classes, of which every code is meant.
	connectionException   = "08"
	insufficientResources = "53"
	operatorIntervention  = "57"
	systemError           = "58"
	classLength           = 2
)

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
	var told *pgconn.PgError
	if !errors.As(err, &told) {
		if lost(err) {
			return quoting.ErrUnavailable
		}
		return nil
	}
	switch told.Code {
	case foreignKeyViolation:
		return quoting.ErrNotFound // what it belongs to is not there
	case uniqueViolation:
		return quoting.ErrExists
	case readOnlyTransaction:
		return quoting.ErrReadOnly
	case diskFull:
		return quoting.ErrFull
	case serializationFailure, deadlockDetected, lockNotAvailable, queryCanceled, idleInTransaction:
		return quoting.ErrUnavailable
	}
	switch told.Code[:min(classLength, len(told.Code))] {
	case connectionException, insufficientResources, operatorIntervention, systemError:
		return quoting.ErrUnavailable
	}
	return nil
}

// lost tells that the connection could not be made or was broken.
func lost(err error) bool {
	var connect *pgconn.ConnectError
	var network net.Error
	return errors.As(err, &connect) || errors.As(err, &network) || errors.Is(err, net.ErrClosed) ||
		errors.Is(err, io.EOF) || errors.Is(err, io.ErrUnexpectedEOF) || pgconn.SafeToRetry(err)
}

// brokenOff tells that the database undid a transaction for the sake of another one,
// so that it can be run again.
func brokenOff(err error) bool {
	var told *pgconn.PgError
	return errors.As(err, &told) && (told.Code == serializationFailure || told.Code == deadlockDetected)
}
