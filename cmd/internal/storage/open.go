package storage

import (
	"context"
	"fmt"
	"os"
	"path/filepath"

	"example.com/lugbook/service/store/postgres"
	"example.com/lugbook/service/store/sqlite"
)

// Exists tells that there is a store in a place: a file with something in it. Of a
// database it is taken for granted.
func Exists(where string) bool {
	if isPostgres(where) {
		return true
	}
	info, err := os.Stat(where)
	return err == nil && info.Size() > 0
}

// Open opens the store in a file, or the database of a postgres:// URL. The folder
// of a file is made where it is missing, for its owner alone: quotes name customers.
func Open(ctx context.Context, where string) (Store, error) {
	if isPostgres(where) {
		store, err := postgres.Open(ctx, where)
		if err != nil {
			return nil, err
		}
		return store, nil
	}
	const ownerOnly = 0o700
	if err := os.MkdirAll(filepath.Dir(where), ownerOnly); err != nil {
		return nil, fmt.Errorf("make the folder of the quotes: %w", err)
	}
	store, err := sqlite.Open(ctx, where)
	if err != nil {
		return nil, err
	}
	return store, nil
}
