package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
)

// Backup writes a copy of the store as it stands to a file that is not there yet. It
// may be called while others read and write: the copy is of one moment.
func (s *Store) Backup(ctx context.Context, to string) error { return Backup(ctx, s.path, to) }

// Backup writes a copy of the store in a file, as it stands, to another file that is
// not there yet, for its owner alone. Programs may have the store open and go on
// writing: the copy is of one moment. It appears under its name when it is whole and
// on the disk, and not at all otherwise.
func Backup(ctx context.Context, from, to string) error {
	if err := backup(ctx, from, to); err != nil {
		return fmt.Errorf("back up %s to %s: %w", from, to, err)
	}
	return nil
}

func backup(ctx context.Context, from, to string) (err error) {
	if _, err := os.Lstat(to); !errors.Is(err, os.ErrNotExist) {
		return errors.Join(err, errors.New("there is something of that name already"))
	}
	db, err := existing(ctx, from)
	if err != nil {
		return err
	}
	defer db.Close() //nolint:errcheck // it was only read
	// The copy is made beside its place, so that the renaming is one step.
	part, err := os.CreateTemp(filepath.Dir(to), filepath.Base(to)+".part-*")
	if err != nil {
		return err
	}
	defer os.Remove(part.Name()) //nolint:errcheck // it is there only if something failed
	defer part.Close()           //nolint:errcheck // the sync has told
	if _, err := db.ExecContext(ctx, `VACUUM INTO $1`, part.Name()); err != nil {
		return fault(ctx, err)
	}
	if err := part.Sync(); err != nil {
		return err
	}
	if err := os.Rename(part.Name(), to); err != nil {
		return err
	}
	return syncFolder(filepath.Dir(to))
}

// existing opens the store in a file that must be there, as it is.
func existing(ctx context.Context, path string) (*sql.DB, error) {
	if _, err := os.Stat(path); err != nil {
		return nil, err
	}
	as, err := ready(path)
	if err != nil {
		return nil, err
	}
	if as == toWrite {
		as = toCopy
	}
	db, err := sql.Open("sqlite", source(path, as))
	if err != nil {
		return nil, err
	}
	db.SetMaxOpenConns(1)
	if err := known(ctx, db); err != nil {
		return nil, errors.Join(fault(ctx, err), db.Close())
	}
	return db, nil
}

// known checks that a database is a store, of a version that this program knows.
func known(ctx context.Context, db *sql.DB) error {
	provider, err := steps(db)
	if err != nil {
		return err
	}
	found, err := version(ctx, db)
	switch target := latest(provider); {
	case err != nil:
		return err
	case found == 0:
		return errEmpty
	case found > target:
		return newer(found, target)
	}
	return nil
}

// errEmpty: a file without tables, such as one that was never written to.
var errEmpty = errors.New("an empty file and no store")

// syncFolder makes a new name in a folder last.
func syncFolder(path string) error {
	folder, err := os.Open(path)
	if err != nil {
		return err
	}
	defer folder.Close() //nolint:errcheck // it was only synced
	return folder.Sync()
}
