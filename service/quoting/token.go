package quoting

import "time"

// Role is what somebody may do with the service.
type Role string

// The roles, each of which may do what the one before may.
const (
	Public  Role = "public"  // ask: sizes, designs and previews without cost
	Counter Role = "counter" // keep quotes, with their customers
	Owner   Role = "owner"   // the catalog, cost and margin, and any discount
)

// Roles lists every role, the one that may do least first.
func Roles() []Role { return []Role{Public, Counter, Owner} }

// Token lets whoever holds its secret in. The secret itself is kept nowhere.
type Token struct {
	Name       string // of who holds it, unique for ever
	Role       Role
	Sum        []byte // SHA-256 of the secret, unique
	CreateTime time.Time
	RevokeTime time.Time // zero where it was not revoked
}

// TokenReader reads tokens.
type TokenReader interface {
	// Tokens lists the tokens by name, those that were revoked too.
	Tokens() ([]Token, error)
}

// TokenWriter keeps tokens.
type TokenWriter interface {
	// AddToken stores a token that is not revoked. ErrExists where there is one of its
	// name or its sum, or was.
	AddToken(Token) error
	// RevokeToken ends a token. One that was revoked keeps its time. ErrNotFound.
	RevokeToken(name string, at time.Time) error
}
