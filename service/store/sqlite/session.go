package sqlite

import (
	"context"
	"database/sql"
	"time"

	"example.com/lugbook/service/store/internal/relational"
)

// session runs statements within a transaction.
type session struct {
	ctx context.Context //nolint:containedctx // a session is part of one call and lasts no longer
	tx  *sql.Tx
}

// Exec runs a statement.
func (s *session) Exec(statement string, arguments ...any) (int64, error) {
	result, err := s.tx.ExecContext(s.ctx, statement, encoded(arguments)...)
	if err != nil {
		return 0, fault(s.ctx, err)
	}
	rows, err := result.RowsAffected()
	return rows, fault(s.ctx, err)
}

// Query reads rows.
func (s *session) Query(each func(relational.Scan) error, statement string, arguments ...any) error {
	rows, err := s.tx.QueryContext(s.ctx, statement, encoded(arguments)...)
	if err != nil {
		return fault(s.ctx, err)
	}
	defer rows.Close() //nolint:errcheck // rows.Err has told
	for rows.Next() {
		if err := each(rows.Scan); err != nil {
			return fault(s.ctx, err)
		}
	}
	return fault(s.ctx, rows.Err())
}

// encoded gives instants as SQLite keeps them here: microseconds since 1970.
func encoded(arguments []any) []any {
	for i, a := range arguments {
		if t, ok := a.(time.Time); ok {
			arguments[i] = t.UnixMicro()
		}
	}
	return arguments
}
