package storetest

import (
	"bytes"
	"cmp"
	"slices"
	"testing"
	"time"

	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func token(name, secret string, role quoting.Role) quoting.Token {
	return quoting.Token{Name: name, Role: role, Sum: []byte(secret), CreateTime: noon}
}

// tokens: a name and a sum are there once for ever, and what was revoked stays so.
func tokens(t *testing.T, s quoting.Store) {
	view(t, s, func(r quoting.Reader) {
		none, err := r.Tokens()
		require.NoError(t, err)
		assert.Empty(t, none)
	})
	till, bot := token("till", "\x00\x01\xff", quoting.Counter), token("bot", "b", quoting.Public)
	update(t, s, func(w quoting.Writer) error { return w.AddToken(till) })
	update(t, s, func(w quoting.Writer) error { return w.AddToken(bot) })
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.AddToken(token("till", "c", quoting.Owner)) }), quoting.ErrExists)
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.AddToken(token("other", "b", quoting.Owner)) }), quoting.ErrExists)
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.RevokeToken("nobody", noon) }), quoting.ErrNotFound)
	for _, at := range []time.Time{noon.Add(time.Hour), noon.Add(2 * time.Hour)} {
		update(t, s, func(w quoting.Writer) error { return w.RevokeToken("till", at) })
	}
	till.RevokeTime = noon.Add(time.Hour)
	require.ErrorIs(t, try(t, s, func(w quoting.Writer) error { return w.AddToken(token("till", "d", quoting.Owner)) }), quoting.ErrExists)
	view(t, s, func(r quoting.Reader) {
		got, err := r.Tokens()
		require.NoError(t, err)
		assert.Equal(t, []quoting.Token{bot, till}, got)
	})
}

func (m *model) Tokens() ([]quoting.Token, error) {
	if len(m.tokens) == 0 {
		return nil, nil
	}
	return slices.Clone(m.tokens), nil
}

func (m *model) AddToken(t quoting.Token) error {
	for _, o := range m.tokens {
		if o.Name == t.Name || bytes.Equal(o.Sum, t.Sum) {
			return quoting.ErrExists
		}
	}
	m.tokens = append(m.tokens, t)
	slices.SortFunc(m.tokens, func(a, b quoting.Token) int { return cmp.Compare(a.Name, b.Name) })
	return nil
}

func (m *model) RevokeToken(name string, at time.Time) error {
	for i := range m.tokens {
		if o := &m.tokens[i]; o.Name == name {
			if o.RevokeTime.IsZero() {
				o.RevokeTime = at
			}
			return nil
		}
	}
	return quoting.ErrNotFound
}

// tokenDeeds are what can be done to a token of a name, with a secret.
func tokenDeeds(name, secret string) []deed {
	return []deed{
		{"AddToken", func(w quoting.Writer) (any, error) { return nil, w.AddToken(token(name, secret, quoting.Counter)) }},
		{"RevokeToken", func(w quoting.Writer) (any, error) { return nil, w.RevokeToken(name, noon) }},
	}
}
