package sqlite

import (
	"context"
	"database/sql"
	"errors"
	"fmt"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/internal/relational"
)

// Writers who wait for their turn share a transaction, and so its commit, which waits
// for the disk longer than all else that they do. Each does its part when its turn
// comes, in its own goroutine, and is answered once the transaction is committed. A
// writer whom nobody waits for has the transaction for itself.

// mostTogether is how many writers may share a transaction: own choice, enough that the
// disk is no longer what they wait for.
const mostTogether = 64

// shared is a transaction of one writer or several. Whoever has the turn may use it.
type shared struct {
	tx     *sql.Tx
	detach context.CancelFunc
	joined int      // how many writers did a part, or failed to
	missed []string // the statements that were not kept
	forgot bool     // somebody removed personal data
	broken bool     // it cannot be committed any more
	// settled is closed when it is committed or undone; err then tells how it went.
	settled chan struct{}
	err     error
}

// errUndone tells those who shared a transaction that it was undone for the sake of one
// of them.
var errUndone = errors.New("a shared transaction was undone")

// Update runs do in one transaction, which others who write at the same time may share.
// It waits for its turn among them. Where a shared transaction has to be undone, do runs
// again in one of its own.
func (s *Store) Update(ctx context.Context, do func(quoting.Writer) error) error {
	if s.readOnly {
		return fmt.Errorf("begin to write: %w", quoting.ErrReadOnly)
	}
	err := s.write(ctx, do, mostTogether)
	if errors.Is(err, errUndone) {
		err = s.write(ctx, do, 1)
	}
	return err
}

// write does one writer's part in a transaction of at most so many, and waits until
// that is settled.
func (s *Store) write(ctx context.Context, do func(quoting.Writer) error, most int) error {
	select {
	case s.turn <- struct{}{}:
	case <-ctx.Done():
		return fmt.Errorf("wait to write: %w", ctx.Err())
	}
	in, err := s.part(ctx, do, most)
	if in == nil {
		return err
	}
	select {
	case <-in.settled:
	case s.turn <- struct{}{}: // those who waited longer have done their part
		if s.open == in {
			s.commit()
		}
		<-s.turn
	}
	if in.err != nil { // then what do went by never came to be
		return in.err
	}
	return err
}

// part does one writer's part while it has the turn, which it then passes on. It gives
// the transaction that the writer has to see settled; none where all is over.
func (s *Store) part(ctx context.Context, do func(quoting.Writer) error, most int) (*shared, error) {
	defer func() { <-s.turn }()
	if s.open != nil && most == 1 {
		s.commit()
	}
	if s.open == nil {
		in, err := s.begin(ctx)
		if err != nil {
			return nil, fmt.Errorf("begin to write: %w", fault(ctx, err))
		}
		s.open = in
	}
	in := s.open
	returned := false
	defer func() {
		if !returned { // do panicked
			s.undo()
		}
	}()
	err := in.part(ctx, s.writer, do)
	returned = true
	if !in.broken {
		if in.joined >= most {
			s.commit()
		}
		return in, err
	}
	s.undo()
	if in.joined == 1 {
		return nil, err
	}
	return in, err
}

// begin begins a transaction. The writer's context may end its waiting for the file,
// and not the transaction, in which others have their part.
func (s *Store) begin(ctx context.Context) (*shared, error) {
	lasting, detach := context.WithCancel(context.WithoutCancel(ctx))
	stop := context.AfterFunc(ctx, detach)
	tx, err := s.writer.BeginTx(lasting, nil)
	if !stop() && err == nil {
		err = errors.Join(ctx.Err(), tx.Rollback())
	}
	if err != nil {
		detach()
		return nil, err
	}
	return &shared{tx: tx, detach: detach, settled: make(chan struct{})}, nil
}

// part runs do. What the database refuses breaks the whole transaction, because SQLite
// may have undone it; what do itself gives up undoes no more than its own part.
func (in *shared) part(ctx context.Context, of *database, do func(quoting.Writer) error) error {
	in.joined++
	own := &session{ctx: ctx, tx: in.tx, of: of}
	alone := in.joined == 1
	if !alone {
		if _, err := own.Exec(`SAVEPOINT part`); err != nil {
			in.broken = true
			return err
		}
	}
	t := relational.NewTransaction(own)
	err := errors.Join(do(t), ctx.Err())
	in.missed = append(in.missed, own.missed...)
	in.broken = t.Err() != nil || alone && err != nil
	switch {
	case in.broken && err == nil:
		return t.Err()
	case in.broken || alone:
	case err != nil:
		in.broken = in.leave(`ROLLBACK TO part`) != nil || in.leave(`RELEASE part`) != nil
	default:
		if released := in.leave(`RELEASE part`); released != nil {
			in.broken = true
			return released
		}
	}
	in.forgot = in.forgot || err == nil && t.Forgot()
	return err
}

// leave ends a part, whatever has become of the writer's context.
func (in *shared) leave(statement string) error {
	_, err := in.tx.ExecContext(context.Background(), statement)
	return fault(context.Background(), err)
}

// commit ends the open transaction. Where that fails each of several is to try on its
// own: one of them may have written what belongs to nothing.
func (s *Store) commit() {
	in := s.open
	err := in.tx.Commit()
	switch {
	case err != nil && in.joined > 1:
		err = errUndone
	case err != nil:
		err = fmt.Errorf("commit: %w", fault(context.Background(), err))
	default:
		s.writer.keep(context.Background(), in.missed)
		if in.forgot {
			s.traces.Store(true)
		}
		s.removeTraces()
	}
	s.settle(err)
}

// undo undoes the open transaction; those who shared it are to try again.
func (s *Store) undo() {
	_ = s.open.tx.Rollback() // the reason is told
	s.settle(errUndone)
}

// settle tells those who shared the open transaction how it ended.
func (s *Store) settle(err error) {
	in := s.open
	s.open = nil
	in.detach()
	in.err = err
	close(in.settled)
}
