package relational

import (
	"fmt"
	"time"

	"example.com/lugbook/service/quoting"
)

// Tokens lists the tokens by name.
func (t *Transaction) Tokens() ([]quoting.Token, error) {
	var all []quoting.Token
	err := t.query(func(scan Scan) error {
		var k quoting.Token
		if err := scan(&k.Name, &k.Role, content{&k.Sum}, instant{&k.CreateTime}, instant{&k.RevokeTime}); err != nil {
			return err
		}
		all = append(all, k)
		return nil
	}, `SELECT k.name, k.role, k.sum, k.create_time, k.revoke_time FROM tokens k ORDER BY k.name`)
	if err != nil {
		return nil, fmt.Errorf("list tokens: %w", err)
	}
	return all, nil
}

// AddToken stores a token.
func (t *Transaction) AddToken(k quoting.Token) error {
	err := t.add(quoting.ErrExists, `INSERT INTO tokens (name, role, sum, create_time)
		VALUES ($1, $2, $3, $4) ON CONFLICT DO NOTHING`, k.Name, string(k.Role), k.Sum, k.CreateTime)
	if err != nil {
		return fmt.Errorf("add token %q: %w", k.Name, err)
	}
	return nil
}

// RevokeToken ends a token.
func (t *Transaction) RevokeToken(name string, at time.Time) error {
	err := t.add(quoting.ErrNotFound, `UPDATE tokens SET revoke_time = coalesce(revoke_time, $2) WHERE name = $1`, name, at)
	if err != nil {
		return fmt.Errorf("revoke token %q: %w", name, err)
	}
	return nil
}
