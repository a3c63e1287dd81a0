package access

import (
	"crypto/rand"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"regexp"
	"slices"
	"strings"
	"time"

	"example.com/lugbook/service/quoting"
)

// prefix begins every secret, so that people, and programs that look for secrets
// where none should be, know one when they see it.
const prefix = "lugbook_"

// secretBytes is the length of what is drawn: 256 bits.
const secretBytes = 32

var encoding = base64.RawURLEncoding

// secretLength is the length of a secret as it is written.
var secretLength = len(prefix) + encoding.EncodedLen(secretBytes)

// ErrName is what every refusal of a token's name wraps.
var ErrName = errors.New("name not usable")

// ErrRole is what the refusal of a role wraps.
var ErrRole = errors.New("no such role")

// name is what a token may be called: short and plain, because it stands in logs and
// in the history of quotes.
var name = regexp.MustCompile(`^[a-z0-9][a-z0-9._-]{0,63}$`)

// taken are names by which callers without a token go.
var taken = []string{"local", "owner"}

// New makes a token for a name and a role at a time, and gives its secret, which is
// told once and kept nowhere. ErrName, ErrRole.
func New(who string, role quoting.Role, at time.Time) (string, quoting.Token, error) {
	if !name.MatchString(who) || slices.Contains(taken, who) {
		return "", quoting.Token{}, fmt.Errorf("%w: %q; allowed: 1 to 64 of a-z, 0-9, \".\", \"_\" and \"-\", the first a letter or digit, and not %s",
			ErrName, who, strings.Join(taken, " or "))
	}
	if _, err := ParseRole(string(role)); err != nil {
		return "", quoting.Token{}, err
	}
	raw := make([]byte, secretBytes)
	_, _ = rand.Read(raw) // it never fails: the program ends instead
	secret := prefix + encoding.EncodeToString(raw)
	sum := sha256.Sum256([]byte(secret))
	return secret, quoting.Token{Name: who, Role: role, Sum: sum[:], CreateTime: at}, nil
}

// ParseRole reads a role. ErrRole.
func ParseRole(text string) (quoting.Role, error) {
	if r := quoting.Role(text); slices.Contains(quoting.Roles(), r) {
		return r, nil
	}
	return "", fmt.Errorf("%w: %q; allowed: public, counter, owner", ErrRole, text)
}
