package access_test

import (
	"context"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"testing/synctest"
	"time"

	"example.com/lugbook/service/access"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// counted counts the readings of a store, which hang while it is told so.
type counted struct {
	*quotingtest.Store
	views atomic.Int64
	hangs atomic.Bool
}

func (c *counted) View(ctx context.Context, do func(quoting.Reader) error) error {
	c.views.Add(1)
	if c.hangs.Load() {
		<-ctx.Done()
		return ctx.Err()
	}
	return c.Store.View(ctx, do)
}

func issue(t *testing.T, s quoting.Store, name string, role quoting.Role) string {
	t.Helper()
	secret, token, err := access.New(name, role, time.Now())
	require.NoError(t, err)
	require.NoError(t, s.Update(t.Context(), func(w quoting.Writer) error { return w.AddToken(token) }))
	return secret
}

func TestNew(t *testing.T) {
	t.Parallel()
	seen := map[string]bool{}
	for range 100 {
		secret, token, err := access.New("till-1", quoting.Counter, time.Now())
		require.NoError(t, err)
		assert.False(t, seen[secret])
		seen[secret] = true
		assert.NotContains(t, string(token.Sum), secret)
		assert.Len(t, token.Sum, 32)
	}
	for _, name := range []string{"", "Till", "till 1", "-till", "local", "owner", strings.Repeat("a", 65), "till\n"} {
		_, _, err := access.New(name, quoting.Counter, time.Now())
		require.ErrorIs(t, err, access.ErrName, name)
	}
	_, _, err := access.New("till", "boss", time.Now())
	require.ErrorIs(t, err, access.ErrRole)
}

func TestRevocationHoldsWithinSeconds(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		store := &counted{Store: quotingtest.NewStore()}
		keys := access.NewKeys(store)
		ever, err := keys.Any(t.Context())
		require.NoError(t, err)
		assert.False(t, ever)
		secret := issue(t, store, "till", quoting.Counter)
		<-time.After(3 * time.Second) // of the bubble: no time passes
		token, err := keys.Find(t.Context(), secret)
		require.NoError(t, err)
		assert.Equal(t, quoting.Counter, token.Role)
		require.NoError(t, store.Update(t.Context(), func(w quoting.Writer) error { return w.RevokeToken("till", time.Now()) }))
		<-time.After(3 * time.Second)
		_, err = keys.Find(t.Context(), secret)
		require.ErrorIs(t, err, access.ErrUnknown)
		ever, err = keys.Any(t.Context())
		require.NoError(t, err)
		assert.True(t, ever, "a revoked token still tells that tokens are in use")
	})
}

func TestWrongTokensAskNothingOfTheStore(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		store := &counted{Store: quotingtest.NewStore()}
		good := issue(t, store, "till", quoting.Counter)
		keys := access.NewKeys(store)
		var group sync.WaitGroup
		for range 100 {
			group.Go(func() {
				for _, wrong := range []string{"", "x", good + "x", good[:len(good)-1], "lugbook_" + strings.Repeat("A", 43), strings.Repeat("\x00", len(good))} {
					_, err := keys.Find(t.Context(), wrong)
					assert.ErrorIs(t, err, access.ErrUnknown)
				}
			})
		}
		group.Wait()
		assert.LessOrEqual(t, store.views.Load(), int64(1))
	})
}

func TestAStoreThatHangsLocksNobodyOutForAWhile(t *testing.T) {
	t.Parallel()
	synctest.Test(t, func(t *testing.T) {
		store := &counted{Store: quotingtest.NewStore()}
		secret := issue(t, store, "till", quoting.Counter)
		keys := access.NewKeys(store)
		_, err := keys.Find(t.Context(), secret)
		require.NoError(t, err)
		store.hangs.Store(true)
		<-time.After(10 * time.Second)
		before := store.views.Load()
		for range 100 {
			_, err = keys.Find(t.Context(), secret)
			require.NoError(t, err)
		}
		assert.LessOrEqual(t, store.views.Load()-before, int64(2), "it is not asked again at once")
		<-time.After(2 * time.Minute)
		_, err = keys.Find(t.Context(), secret)
		require.ErrorIs(t, err, quoting.ErrUnavailable)
		store.hangs.Store(false)
		<-time.After(3 * time.Second)
		_, err = keys.Find(t.Context(), secret)
		require.NoError(t, err)
	})
}
