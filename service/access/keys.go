package access

import (
	"context"
	"crypto/sha256"
	"errors"
	"strings"
	"sync"
	"time"

	"example.com/lugbook/service/quoting"

	"golang.org/x/sync/singleflight"
)

// Own choices, no source: what was made or revoked shows within seconds, and a store
// that is away for a moment locks nobody out.
const (
	// fresh is how long the tokens are taken as they were read.
	fresh = 2 * time.Second
	// stale is how long they are still taken where they cannot be read again. Nobody
	// who cannot reach the store can revoke one either.
	stale = time.Minute
	// patience is how long a reading may take.
	patience = 2 * time.Second
)

// ErrUnknown tells that there is no such token, or it was revoked.
var ErrUnknown = errors.New("unknown token")

// Keys knows callers by their tokens. It holds all tokens of the store in memory, of
// which a shop has few, so that wrong ones, however many, ask nothing of the store. It
// is safe for concurrent use.
type Keys struct {
	store   quoting.Store
	reading singleflight.Group

	mu    sync.Mutex
	known known
	tried time.Time // when the last reading ended
}

// known is what was read at a time, and never changes.
type known struct {
	at     time.Time // zero: never
	tokens map[[sha256.Size]byte]quoting.Token
	any    bool // there is a token, or was
}

// NewKeys gives the tokens of a store.
func NewKeys(store quoting.Store) *Keys { return &Keys{store: store} }

// Find gives the token of a secret. ErrUnknown; quoting.ErrUnavailable where the store
// cannot be read.
func (k *Keys) Find(ctx context.Context, secret string) (quoting.Token, error) {
	if len(secret) != secretLength || !strings.HasPrefix(secret, prefix) {
		return quoting.Token{}, ErrUnknown
	}
	now, err := k.now(ctx)
	if err != nil {
		return quoting.Token{}, err
	}
	token, ok := now.tokens[sha256.Sum256([]byte(secret))]
	if !ok {
		return quoting.Token{}, ErrUnknown
	}
	return token, nil
}

// Any tells whether a token was ever made, even if it was revoked since.
func (k *Keys) Any(ctx context.Context) (bool, error) {
	now, err := k.now(ctx)
	return now.any, err
}

// now gives the tokens as they are, or were a moment ago.
func (k *Keys) now(ctx context.Context) (known, error) {
	have, tried := k.last()
	usable := !have.at.IsZero() && time.Since(have.at) < stale
	if usable && (time.Since(have.at) < fresh || time.Since(tried) < fresh) {
		return have, nil
	}
	// The reading is nobody's own: it goes on when the caller who began it leaves.
	read := k.reading.DoChan("", func() (any, error) { return nil, k.read(context.WithoutCancel(ctx)) })
	var err error
	select {
	case r := <-read:
		err = r.Err
	case <-time.After(patience): // a store may ignore its context
		err = quoting.ErrUnavailable
		k.gaveUp()
	case <-ctx.Done():
		return known{}, ctx.Err()
	}
	switch have, _ = k.last(); {
	case err == nil, usable:
		return have, nil
	case errors.Is(err, context.DeadlineExceeded):
		return known{}, quoting.ErrUnavailable
	}
	return known{}, err
}

func (k *Keys) last() (known, time.Time) {
	k.mu.Lock()
	defer k.mu.Unlock()
	return k.known, k.tried
}

func (k *Keys) gaveUp() {
	k.mu.Lock()
	defer k.mu.Unlock()
	k.tried = time.Now()
}

// read reads the tokens anew.
func (k *Keys) read(ctx context.Context) error {
	ctx, cancel := context.WithTimeout(ctx, patience)
	defer cancel()
	next := known{at: time.Now()} // before the reading, so that nothing counts as younger than it is
	err := k.store.View(ctx, func(r quoting.Reader) error {
		tokens, err := r.Tokens()
		next.tokens = make(map[[sha256.Size]byte]quoting.Token, len(tokens))
		next.any = len(tokens) > 0
		for _, t := range tokens {
			if t.RevokeTime.IsZero() && len(t.Sum) == sha256.Size {
				next.tokens[[sha256.Size]byte(t.Sum)] = t
			}
		}
		return err
	})
	k.mu.Lock()
	defer k.mu.Unlock()
	k.tried = time.Now()
	if err == nil {
		k.known = next
	}
	return err
}
