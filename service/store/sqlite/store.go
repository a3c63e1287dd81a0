package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"runtime"
	"sync/atomic"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/internal/relational"
)

// Store keeps quotes in an SQLite file. It is safe for concurrent use.
type Store struct {
	path string
	// readers are as many as can be of use; writer is exactly one, so that those who
	// wait to write wait here, in their order, and not for SQLite's lock.
	readers, writer *database
	readOnly        bool
	// turn is held by the one who writes, and open is the transaction that the next
	// may share, if any; see Update.
	turn chan struct{}
	open *shared
	// traces tells that removed data may still stand in the log.
	traces atomic.Bool
}

// leastReaders is how many may read at once on a machine of one processor: a reader
// may wait for the disk.
const leastReaders = 4

// Open opens the store in a file, makes the file (for its owner alone) and its
// folder where they are missing, and brings an older one up to date. A file that may
// not be written is opened for reading. ErrNewer where a newer version of the program
// wrote it.
func Open(ctx context.Context, path string) (*Store, error) {
	s, err := open(ctx, path)
	if err != nil {
		return nil, fmt.Errorf("open store %s: %w", path, err)
	}
	return s, nil
}

func open(ctx context.Context, path string) (*Store, error) {
	as, err := ready(path)
	if err != nil {
		return nil, err
	}
	s := &Store{path: path, readOnly: as != toWrite, turn: make(chan struct{}, 1)}
	if s.writer, err = connect(path, as, 1); err != nil {
		return nil, err
	}
	if as == toWrite {
		as = toRead
	}
	if s.readers, err = connect(path, as, max(leastReaders, 2*runtime.GOMAXPROCS(0))); err != nil {
		return nil, errors.Join(err, s.writer.Close())
	}
	if err := s.bringUpToDate(ctx); err != nil {
		return nil, errors.Join(err, s.Close())
	}
	return s, nil
}

// ready makes the file where it is missing and tells how it can be opened.
func ready(path string) (opening, error) {
	info, err := os.Stat(path)
	if errors.Is(err, os.ErrNotExist) {
		return toWrite, create(path)
	}
	if err != nil {
		return 0, err
	}
	if !info.Mode().IsRegular() {
		return 0, errors.New("that is not a file")
	}
	// The bits are asked for themselves too, for who may write everything.
	const anybody = 0o222
	if info.Mode().Perm()&anybody != 0 && writable(path) {
		return toWrite, nil
	}
	if _, err := os.Stat(path + "-wal"); errors.Is(err, os.ErrNotExist) && !writable(filepath.Dir(path)) {
		return fromMedium, nil
	}
	return fromReadOnly, nil
}

// create makes an empty file that only its owner may read: it will hold customers.
func create(path string) error {
	if err := os.MkdirAll(filepath.Dir(path), 0o700); err != nil {
		return err
	}
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE, 0o600)
	if err != nil {
		return err
	}
	return file.Close()
}

// Path gives the file's path.
func (s *Store) Path() string { return s.path }

// ReadOnly tells that the store may be read and not written.
func (s *Store) ReadOnly() bool { return s.readOnly }

// Close ends all connections. Transactions under way fail.
func (s *Store) Close() error {
	return errors.Join(s.readers.Close(), s.writer.Close())
}

// View runs do on one consistent state of the store.
func (s *Store) View(ctx context.Context, do func(quoting.Reader) error) error {
	tx, err := s.readers.BeginTx(ctx, &sql.TxOptions{ReadOnly: true})
	if err != nil {
		return fmt.Errorf("begin to read: %w", fault(ctx, err))
	}
	defer tx.Rollback() //nolint:errcheck // nothing was written
	in := &session{ctx: ctx, tx: tx, of: s.readers}
	t := relational.NewTransaction(in)
	if err := do(t); err != nil {
		return err
	}
	if err := t.Err(); err != nil {
		return err
	}
	if len(in.missed) > 0 {
		_ = tx.Rollback() // to have the connection back; nothing was written
		s.readers.keep(ctx, in.missed)
	}
	return nil
}

// removeTraces empties the log after personal data was removed: the log still holds
// the pages as they were. Where a reader still needs it, the next writer tries again.
func (s *Store) removeTraces() {
	if !s.traces.Load() {
		return
	}
	var busy, inLog, moved int
	err := s.writer.QueryRowContext(context.Background(), `PRAGMA wal_checkpoint(TRUNCATE)`).Scan(&busy, &inLog, &moved)
	if err == nil && busy == 0 {
		s.traces.Store(false)
	}
}
