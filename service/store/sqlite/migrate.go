package sqlite

import (
	"context"
	"database/sql"
	"embed"
	"errors"
	"fmt"
	"io/fs"

	"example.com/lugbook/service/quoting"

	"github.com/pressly/goose/v3"
)

// migrations are the steps from an empty file to the tables of today. A step that was
// released is never changed.
//
//go:embed migrations/*.sql
var migrations embed.FS

// versions is the table that tells which steps a file has had.
const versions = "migrations"

// ours marks a file as a store of this program; the first migration writes it.
const ours = 1282762594

// steps gives the migrations over a database.
func steps(db *sql.DB) (*goose.Provider, error) {
	files, err := fs.Sub(migrations, "migrations")
	if err != nil {
		return nil, err
	}
	return goose.NewProvider(goose.DialectSQLite3, db, files,
		goose.WithTableName(versions), goose.WithLogger(goose.NopLogger()), goose.WithDisableGlobalRegistry(true))
}

// bringUpToDate runs the migrations that the file has not had.
func (s *Store) bringUpToDate(ctx context.Context) error {
	provider, err := steps(s.writer)
	if err != nil {
		return fmt.Errorf("read the migrations: %w", err)
	}
	target := latest(provider)
	version, err := version(ctx, s.writer)
	switch {
	case err != nil:
		return fault(ctx, err)
	case version > target:
		return newer(version, target)
	case version == target:
		return nil
	case s.readOnly:
		return fmt.Errorf("%w: its tables are of version %d and cannot be brought to %d", quoting.ErrReadOnly, version, target)
	}
	return s.migrate(ctx, provider, target)
}

// latest gives the version that the migrations lead to.
func latest(provider *goose.Provider) int64 {
	sources := provider.ListSources()
	return sources[len(sources)-1].Version
}

func newer(version, known int64) error {
	return fmt.Errorf("%w: its tables are of version %d, this program knows %d", quoting.ErrNewer, version, known)
}

// migrate runs what is missing. Where another program does so at the same time, one of
// them fails at what the other has done.
func (s *Store) migrate(ctx context.Context, provider *goose.Provider, target int64) error {
	_, err := provider.Up(ctx)
	if err == nil {
		return nil
	}
	if reached, again := version(ctx, s.writer); again == nil && reached == target {
		return nil
	}
	return fmt.Errorf("bring the tables to version %d: %w", target, fault(ctx, err))
}

// errForeign: the file is a database of something else.
var errForeign = errors.New("a database of another program")

// version gives the version of a file's tables: 0 where it has none.
func version(ctx context.Context, db *sql.DB) (int64, error) {
	var tables, application int64
	if err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema`).Scan(&tables); err != nil {
		return 0, err
	}
	if tables == 0 {
		return 0, nil
	}
	if err := db.QueryRowContext(ctx, `PRAGMA application_id`).Scan(&application); err != nil {
		return 0, err
	}
	if application != ours {
		// A first migration that was broken off leaves the table of versions alone.
		var others int64
		if err := db.QueryRowContext(ctx, `SELECT count(*) FROM sqlite_schema WHERE tbl_name NOT IN ('`+versions+`', 'sqlite_sequence')`).Scan(&others); err != nil {
			return 0, err
		}
		if others > 0 {
			return 0, errForeign
		}
	}
	var version sql.NullInt64
	if err := db.QueryRowContext(ctx, `SELECT max(version_id) FROM `+versions).Scan(&version); err != nil {
		return 0, err
	}
	return version.Int64, nil
}
