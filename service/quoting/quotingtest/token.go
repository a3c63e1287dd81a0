package quotingtest

import (
	"bytes"
	"cmp"
	"slices"
	"time"

	"example.com/lugbook/service/quoting"
)

func (r reader) Tokens() ([]quoting.Token, error) { return slices.Clone(r.tokens), nil }

func (w writer) AddToken(t quoting.Token) error {
	if slices.ContainsFunc(w.tokens, func(o quoting.Token) bool { return o.Name == t.Name || bytes.Equal(o.Sum, t.Sum) }) {
		return quoting.ErrExists
	}
	w.tokens = append(w.tokens, t)
	slices.SortFunc(w.tokens, func(a, b quoting.Token) int { return cmp.Compare(a.Name, b.Name) })
	return nil
}

func (w writer) RevokeToken(name string, at time.Time) error {
	i := slices.IndexFunc(w.tokens, func(t quoting.Token) bool { return t.Name == name })
	if i < 0 {
		return quoting.ErrNotFound
	}
	if w.tokens[i].RevokeTime.IsZero() {
		w.tokens[i].RevokeTime = at
	}
	return nil
}
