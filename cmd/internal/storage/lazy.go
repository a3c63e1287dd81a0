package storage

import (
	"context"
	"errors"
	"fmt"
	"sync"

	"example.com/lugbook/service/quoting"
)

// Store is a store of quotes that can be closed.
type Store interface {
	quoting.Store
	Close() error
}

// Lazy is a store that is opened when it is first needed, so that a command which
// needs none leaves no file behind.
type Lazy struct {
	there func() bool
	open  func(context.Context) (Store, error)
	mu    sync.Mutex
	got   Store
}

// NewLazy gives a store that open opens, and of which there tells, without opening it,
// whether it is there already. What could not be opened is tried again the next time.
func NewLazy(there func() bool, open func(context.Context) (Store, error)) *Lazy {
	return &Lazy{there: there, open: open}
}

// Absent tells that the store is not open and that there is nothing to open yet:
// opening it would make it.
func (l *Lazy) Absent() bool {
	l.mu.Lock()
	defer l.mu.Unlock()
	return l.got == nil && !l.there()
}

// View opens the store where it is not open yet, and runs do there.
func (l *Lazy) View(ctx context.Context, do func(quoting.Reader) error) error {
	store, err := l.opened(ctx)
	if err != nil {
		return err
	}
	return store.View(ctx, do)
}

// Update opens the store where it is not open yet, and runs do there.
func (l *Lazy) Update(ctx context.Context, do func(quoting.Writer) error) error {
	store, err := l.opened(ctx)
	if err != nil {
		return err
	}
	return store.Update(ctx, do)
}

func (l *Lazy) opened(ctx context.Context) (Store, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.got != nil {
		return l.got, nil
	}
	store, err := l.open(ctx)
	if err != nil {
		return nil, told(err)
	}
	l.got = store
	return store, nil
}

// told makes of whatever keeps a store from being opened what callers may be told,
// unless it is that already.
func told(err error) error {
	for _, known := range []error{quoting.ErrUnavailable, quoting.ErrFull, quoting.ErrReadOnly, quoting.ErrUnusable, quoting.ErrNewer, context.Canceled, context.DeadlineExceeded} {
		if errors.Is(err, known) {
			return err
		}
	}
	return fmt.Errorf("%w: %w", quoting.ErrUnusable, err)
}

// Close closes the store where it was opened.
func (l *Lazy) Close() error {
	l.mu.Lock()
	defer l.mu.Unlock()
	if l.got == nil {
		return nil
	}
	store := l.got
	l.got = nil
	return store.Close()
}
