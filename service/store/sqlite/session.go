package sqlite

import (
	"context"
	"database/sql"
	"sync"
	"time"

	"example.com/lugbook/service/store/internal/relational"
)

// database is a pool of connections to the file, with the statements it has prepared.
type database struct {
	*sql.DB
	mu       sync.Mutex
	prepared map[string]*sql.Stmt
}

// statementsKept is how many statements stay prepared: own choice, a few times those
// there are. What lists ask for takes many forms, and those beyond are prepared anew.
const statementsKept = 200

// connect gives a pool of at most so many connections.
func connect(path string, as opening, connections int) (*database, error) {
	db, err := sql.Open("sqlite", source(path, as))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(connections)
	db.SetMaxIdleConns(connections)
	return &database{DB: db, prepared: map[string]*sql.Stmt{}}, nil
}

// statement gives a statement that is kept, for use within a transaction.
func (d *database) statement(ctx context.Context, tx *sql.Tx, text string) (*sql.Stmt, bool) {
	d.mu.Lock()
	kept, ok := d.prepared[text]
	d.mu.Unlock()
	if !ok {
		return nil, false
	}
	return tx.StmtContext(ctx, kept), true
}

// keep prepares statements that a transaction had to do without. It comes after the
// transaction, whose connection may be the only one. What fails is not kept, and tells
// when it is run.
func (d *database) keep(ctx context.Context, texts []string) {
	for _, text := range texts {
		if !d.room(text) {
			continue
		}
		s, err := d.PrepareContext(ctx, text) // without the lock: it waits for a connection
		if err != nil {
			return
		}
		d.adopt(text, s)
	}
}

// adopt keeps a prepared statement, unless another was first.
func (d *database) adopt(text string, s *sql.Stmt) {
	d.mu.Lock()
	defer d.mu.Unlock()
	if _, ok := d.prepared[text]; ok {
		_ = s.Close() // it was never used
		return
	}
	d.prepared[text] = s
}

// room tells that a statement is to be kept and is not yet.
func (d *database) room(text string) bool {
	d.mu.Lock()
	defer d.mu.Unlock()
	_, ok := d.prepared[text]
	return !ok && len(d.prepared) < statementsKept
}

// session runs statements within a transaction.
type session struct {
	ctx context.Context //nolint:containedctx // a session is part of one call and lasts no longer
	tx  *sql.Tx
	of  *database
	// missed are the statements that were not kept.
	missed []string
}

// Exec runs a statement.
func (s *session) Exec(statement string, arguments ...any) (int64, error) {
	var result sql.Result
	var err error
	if kept, ok := s.of.statement(s.ctx, s.tx, statement); ok { //nolint:sqlclosecheck // the transaction closes it
		result, err = kept.ExecContext(s.ctx, encoded(arguments)...)
	} else {
		s.missed = append(s.missed, statement)
		result, err = s.tx.ExecContext(s.ctx, statement, encoded(arguments)...)
	}
	if err != nil {
		return 0, fault(s.ctx, err)
	}
	rows, err := result.RowsAffected()
	return rows, fault(s.ctx, err)
}

// Query reads rows.
func (s *session) Query(each func(relational.Scan) error, statement string, arguments ...any) error {
	rows, err := s.rows(statement, encoded(arguments))
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

func (s *session) rows(statement string, arguments []any) (*sql.Rows, error) {
	if kept, ok := s.of.statement(s.ctx, s.tx, statement); ok { //nolint:sqlclosecheck // the transaction closes it
		return kept.QueryContext(s.ctx, arguments...)
	}
	s.missed = append(s.missed, statement)
	return s.tx.QueryContext(s.ctx, statement, arguments...)
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
