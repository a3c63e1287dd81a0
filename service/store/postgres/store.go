package postgres

import (
	"context"
	"errors"
	"fmt"
	"time"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/internal/relational"

	"github.com/jackc/pgx/v5"
	"github.com/jackc/pgx/v5/pgconn"
	"github.com/jackc/pgx/v5/pgxpool"
)

// Limits of the server's patience with us, unless the URL sets others. Own choices: far
// more than any of our statements takes, so that what is stuck lets go of its locks.
const (
	statementTimeout = 30 * time.Second
	lockTimeout      = 10 * time.Second
	idleTimeout      = 60 * time.Second
	connectTimeout   = 10 * time.Second
)

// attempts is how often a transaction is run that the database broke off for the sake
// of another one, or that met a connection which had broken while it lay idle. Own
// choice: as writers wait for each other, the first hardly happens, and of broken
// connections the pool has a few after a restart of the server.
const attempts = 5

// Store keeps quotes in a PostgreSQL database. It is safe for concurrent use.
type Store struct {
	pool *pgxpool.Pool
}

// Open connects to the database of a URL and brings its tables up to date. ErrNewer
// where a newer version of the program wrote them, ErrUnavailable where it cannot be
// reached.
func Open(ctx context.Context, url string) (*Store, error) {
	config, err := pgxpool.ParseConfig(url)
	if err != nil {
		return nil, fmt.Errorf("read the database's URL: %w", err)
	}
	for name, limit := range map[string]time.Duration{
		"statement_timeout": statementTimeout, "lock_timeout": lockTimeout, "idle_in_transaction_session_timeout": idleTimeout,
	} {
		if _, set := config.ConnConfig.RuntimeParams[name]; !set {
			config.ConnConfig.RuntimeParams[name] = fmt.Sprint(limit.Milliseconds())
		}
	}
	if config.ConnConfig.ConnectTimeout == 0 {
		config.ConnConfig.ConnectTimeout = connectTimeout
	}
	pool, err := pgxpool.NewWithConfig(ctx, config)
	if err != nil {
		return nil, fmt.Errorf("open the database: %w", fault(ctx, err))
	}
	s := &Store{pool: pool}
	if err := s.bringUpToDate(ctx); err != nil {
		s.Close() //nolint:errcheck // it always gives nil
		return nil, fmt.Errorf("open the database: %w", err)
	}
	return s, nil
}

// Close ends all connections, once the transactions under way have ended.
func (s *Store) Close() error {
	s.pool.Close()
	return nil
}

// View runs do on one consistent state of the store. As writers follow one another,
// the state that a transaction sees is that after some of them and before the next.
func (s *Store) View(ctx context.Context, do func(quoting.Reader) error) error {
	return s.repeated(ctx, func() error {
		return s.once(ctx, pgx.TxOptions{IsoLevel: pgx.RepeatableRead, AccessMode: pgx.ReadOnly}, func(t *relational.Transaction, _ *session) error { return do(t) })
	})
}

// Update runs do in one transaction, and again where the database broke it off for
// the sake of another one.
//
// Writers follow one another: each takes the same lock first. All who make quotes would
// wait for the counter anyhow, and without the lock those that waited would be broken
// off and run again, the more of them the more there are. The transactions are
// serializable besides, against whoever writes without the lock.
func (s *Store) Update(ctx context.Context, do func(quoting.Writer) error) error {
	return s.repeated(ctx, func() error {
		return s.once(ctx, pgx.TxOptions{IsoLevel: pgx.Serializable}, func(t *relational.Transaction, in *session) error {
			// The lock comes before anything is read, so that what is read is what
			// the writer before has left. Readers are not kept out.
			if _, err := in.Exec(`LOCK TABLE counter IN EXCLUSIVE MODE`); err != nil {
				return fmt.Errorf("wait for other writers: %w", err)
			}
			return do(t)
		})
	})
}

// repeated runs a transaction until it begins and the database does not break it off.
func (s *Store) repeated(ctx context.Context, transaction func() error) error {
	var err error
	for range attempts {
		if err = transaction(); !brokenOff(err) && !errors.Is(err, errStale) || ctx.Err() != nil {
			return err
		}
	}
	return err
}

// errStale tells that a transaction did not begin, because the connection from the pool
// had broken before.
var errStale = errors.New("connection had broken")

// once runs a transaction once.
func (s *Store) once(ctx context.Context, options pgx.TxOptions, do func(*relational.Transaction, *session) error) error {
	tx, err := s.pool.BeginTx(ctx, options)
	if err != nil {
		err = fault(ctx, err)
		var connect *pgconn.ConnectError
		if errors.Is(err, quoting.ErrUnavailable) && !errors.As(err, &connect) { // nothing was done, so another connection may do it
			err = fmt.Errorf("%w: %w", errStale, err)
		}
		return fmt.Errorf("begin: %w", err)
	}
	// A connection that was lost, or whose context ended, has nothing to undo.
	defer tx.Rollback(context.WithoutCancel(ctx)) //nolint:errcheck // after the commit there is nothing to undo; before it, the reason is told
	in := &session{ctx: ctx, tx: tx}
	t := relational.NewTransaction(in)
	if err := do(t, in); err != nil {
		return err
	}
	if err := t.Err(); err != nil {
		return err
	}
	if err := tx.Commit(ctx); err != nil {
		// Where the connection was lost, nobody knows whether it was committed: that
		// is unavailable too, and a request id makes it safe to ask again.
		if errors.Is(err, pgx.ErrTxCommitRollback) {
			return fmt.Errorf("commit: %w: %w", quoting.ErrUnavailable, err)
		}
		return fmt.Errorf("commit: %w", fault(ctx, err))
	}
	return nil
}
