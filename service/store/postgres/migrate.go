package postgres

import (
	"context"
	"database/sql"
	"embed"
	"fmt"
	"io/fs"

	"example.com/lugbook/service/quoting"

	"github.com/jackc/pgx/v5/stdlib"
	"github.com/pressly/goose/v3"
)

// migrations are the steps from an empty database to the tables of today. A step that
// was released is never changed.
//
//go:embed migrations/*.sql
var migrations embed.FS

// versions is the table that tells which steps a database has had.
const versions = "migrations"

// migrating is the advisory lock of whoever changes the tables: any number that no
// other program on the database uses.
const migrating = 0x4c756762

// bringUpToDate runs the migrations that the database has not had. Of several servers
// that start at once, one does so and the others wait for it.
func (s *Store) bringUpToDate(ctx context.Context) (err error) {
	db := stdlib.OpenDBFromPool(s.pool)
	defer db.Close() //nolint:errcheck // the connections belong to the pool
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return err
	}
	provider, err := goose.NewProvider(goose.DialectPostgres, db, files, goose.WithTableName(versions),
		goose.WithLogger(goose.NopLogger()), goose.WithDisableGlobalRegistry(true), goose.WithSessionLocker(locker{}))
	if err != nil {
		return fmt.Errorf("read the migrations: %w", err)
	}
	sources := provider.ListSources()
	target := sources[len(sources)-1].Version
	version, err := version(ctx, db)
	switch {
	case err != nil:
		return fault(ctx, err)
	case version > target:
		return fmt.Errorf("%w: its tables are of version %d, this program knows %d", quoting.ErrNewer, version, target)
	case version == target:
		return nil
	}
	if _, err := provider.Up(ctx); err != nil {
		return fmt.Errorf("bring the tables to version %d: %w", target, fault(ctx, err))
	}
	return nil
}

// version gives the version of a database's tables: 0 where it has none.
func version(ctx context.Context, db *sql.DB) (int64, error) {
	var there bool
	if err := db.QueryRowContext(ctx, `SELECT to_regclass('`+versions+`') IS NOT NULL`).Scan(&there); err != nil || !there {
		return 0, err
	}
	var version sql.NullInt64
	err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM `+versions).Scan(&version)
	return version.Int64, err
}

// locker keeps others from migrating at the same time.
type locker struct{}

// SessionLock waits until nobody else migrates.
func (locker) SessionLock(ctx context.Context, conn *sql.Conn) error {
	_, err := conn.ExecContext(ctx, `SELECT pg_advisory_lock($1)`, migrating)
	return err
}

// SessionUnlock lets others migrate.
func (locker) SessionUnlock(ctx context.Context, conn *sql.Conn) error {
	_, err := conn.ExecContext(ctx, `SELECT pg_advisory_unlock($1)`, migrating)
	return err
}
