package postgres

import (
	"context"
	"time"

	"example.com/lugbook/service/store/internal/relational"

	"github.com/jackc/pgx/v5"
)

// session runs statements within a transaction.
type session struct {
	ctx context.Context //nolint:containedctx // a session is part of one call and lasts no longer
	tx  pgx.Tx
}

// Exec runs a statement.
func (s *session) Exec(statement string, arguments ...any) (int64, error) {
	tag, err := s.tx.Exec(s.ctx, statement, encoded(arguments)...)
	if err != nil {
		return 0, fault(s.ctx, err)
	}
	return tag.RowsAffected(), nil
}

// Query reads rows.
func (s *session) Query(each func(relational.Scan) error, statement string, arguments ...any) error {
	rows, err := s.tx.Query(s.ctx, statement, encoded(arguments)...)
	if err != nil {
		return fault(s.ctx, err)
	}
	defer rows.Close()
	for rows.Next() {
		if err := each(rows.Scan); err != nil {
			return fault(s.ctx, err)
		}
	}
	return fault(s.ctx, rows.Err())
}

// encoded cuts instants to the microsecond, which is what PostgreSQL keeps: left to
// itself it would round.
func encoded(arguments []any) []any {
	for i, a := range arguments {
		if t, ok := a.(time.Time); ok {
			arguments[i] = time.UnixMicro(t.UnixMicro()).UTC()
		}
	}
	return arguments
}
