package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"modernc.org/sqlite"
	sqlite3 "modernc.org/sqlite/lib"
)

// Contents is what a store was found to hold.
type Contents struct {
	Version                                                          int64 // of its tables
	Quotes, Revisions, Events, Documents, Deeds, Movements, Catalogs int64
}

// ErrDamaged: a store contradicts itself.
var ErrDamaged = errors.New("store damaged")

// Check reads a store in a file through and through, changes nothing, and tells what
// it holds. It fails with ErrDamaged, and every fault, where the file is not whole,
// something belongs to nothing, or a quote lacks its latest revision; with ErrNewer
// where a newer version of the program wrote it.
func Check(ctx context.Context, path string) (Contents, error) {
	contents, err := check(ctx, path)
	if err != nil {
		return Contents{}, fmt.Errorf("check store %s: %w", path, err)
	}
	return contents, nil
}

func check(ctx context.Context, path string) (Contents, error) {
	db, err := existing(ctx, path)
	if err != nil {
		return Contents{}, damaged(err)
	}
	defer db.Close() //nolint:errcheck // it was only read
	faults, err := faults(ctx, db)
	if err != nil {
		return Contents{}, damaged(fault(ctx, err))
	}
	if len(faults) > 0 {
		return Contents{}, errors.Join(append([]error{ErrDamaged}, faults...)...)
	}
	return count(ctx, db)
}

// damaged says so of an error by which SQLite tells that the file is not whole.
func damaged(err error) error {
	var e *sqlite.Error
	if errors.As(err, &e) && (e.Code()&primary == sqlite3.SQLITE_CORRUPT || e.Code()&primary == sqlite3.SQLITE_NOTADB) {
		return fmt.Errorf("%w: %w", ErrDamaged, err)
	}
	return err
}

// holding are questions whose answers are faults.
var holding = []struct{ what, query string }{
	{"%s", `SELECT integrity_check FROM pragma_integrity_check WHERE integrity_check <> 'ok'`},
	{"a row of %s belongs to nothing", `SELECT "table" FROM pragma_foreign_key_check`},
	{"quote %s lacks its latest revision", `SELECT q.number FROM quotes q
		WHERE NOT EXISTS (SELECT 1 FROM revisions r WHERE r.number = q.number AND r.revision = q.revision)`},
	{"a deed is of quote %s, which is missing", `SELECT d.number FROM deeds d
		WHERE d.number <> '' AND NOT EXISTS (SELECT 1 FROM quotes q WHERE q.number = d.number)`},
	{"quote %s has a running number that was not given out", `SELECT q.number FROM quotes q, counter c WHERE q.running > c.last OR q.running < 1`},
	{"the counter is missing%s", `SELECT '' WHERE NOT EXISTS (SELECT 1 FROM counter c)`},
}

// faults asks all questions, and gives a few answers of each.
func faults(ctx context.Context, db *sql.DB) ([]error, error) {
	const some = ` LIMIT 20`
	var found []error
	for _, h := range holding {
		rows, err := db.QueryContext(ctx, h.query+some)
		if err != nil {
			return nil, err
		}
		for rows.Next() {
			var answer string
			if err := rows.Scan(&answer); err != nil {
				return nil, errors.Join(err, rows.Close())
			}
			found = append(found, fmt.Errorf(h.what, answer))
		}
		if err := errors.Join(rows.Err(), rows.Close()); err != nil {
			return nil, err
		}
	}
	return found, nil
}

func count(ctx context.Context, db *sql.DB) (Contents, error) {
	var c Contents
	err := db.QueryRowContext(ctx, `SELECT (SELECT max(version_id) FROM `+versions+`),
		(SELECT count(*) FROM quotes), (SELECT count(*) FROM revisions), (SELECT count(*) FROM events), (SELECT count(*) FROM documents),
		(SELECT count(*) FROM deeds), (SELECT count(*) FROM movements), (SELECT count(*) FROM catalogs)`).
		Scan(&c.Version, &c.Quotes, &c.Revisions, &c.Events, &c.Documents, &c.Deeds, &c.Movements, &c.Catalogs)
	return c, fault(ctx, err)
}
