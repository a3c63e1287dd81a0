package storage

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
)

// ErrNoHome tells that nothing says where the user's data belongs.
var ErrNoHome = errors.New("neither XDG_DATA_HOME nor HOME names a folder")

// DefaultPath gives the file in the user's data folder, by the XDG base directory
// specification: $XDG_DATA_HOME/lugbook/quotes.db, else ~/.local/share/…. ErrNoHome.
func DefaultPath(env func(string) string) (string, error) {
	data := env("XDG_DATA_HOME")
	if !filepath.IsAbs(data) { // the specification has relative ones ignored
		home := env("HOME")
		if !filepath.IsAbs(home) {
			return "", ErrNoHome
		}
		data = filepath.Join(home, ".local", "share")
	}
	return filepath.Join(data, "lugbook", "quotes.db"), nil
}

// Exists tells that there is something to open in a place; of a database that is taken
// for granted.
func Exists(where string) bool {
	if isPostgres(where) {
		return true
	}
	_, err := os.Stat(where)
	return err == nil
}

// isPostgres tells a database's URL from a file's path.
func isPostgres(where string) bool {
	return strings.HasPrefix(where, "postgres://") || strings.HasPrefix(where, "postgresql://")
}

// Shown gives where a store is, for people to read: a URL without what would let
// others in.
func Shown(where string) string {
	if !isPostgres(where) {
		return where
	}
	scheme, rest, _ := strings.Cut(where, "://")
	if at := strings.LastIndex(rest, "@"); at >= 0 {
		rest = rest[at+1:]
	}
	rest, _, _ = strings.Cut(rest, "?")
	return scheme + "://" + rest
}
