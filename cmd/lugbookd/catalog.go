package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/cmd/internal/shopfolder"
	"example.com/lugbook/service/quoting"
)

// followEvery is how soon a catalog that was imported elsewhere is found (own choice):
// the question costs the store nothing that it would notice.
const followEvery = 2 * time.Second

// follower works from the catalog that its store has in force.
type follower interface {
	Follow(ctx context.Context) (changed bool, err error)
	Revision() string
}

// follow looks for another catalog in force with every tick, until the context ends. What
// goes wrong is told once, not with every tick.
func follow(ctx context.Context, f follower, log *slog.Logger, ticks <-chan time.Time) {
	told := ""
	for {
		select {
		case <-ctx.Done():
			return
		case <-ticks:
		}
		changed, err := f.Follow(ctx)
		switch {
		case ctx.Err() != nil:
			return
		case err == nil:
			told = ""
		case err.Error() != told:
			told = err.Error()
			log.Error("the catalog in force cannot be used; the one before still answers", "error", err, "catalog", f.Revision())
		}
		if changed {
			log.Info("catalog put in force", "catalog", f.Revision())
		}
	}
}

// read reads the catalog that is named, or the invented shop's, and gives its plain
// files packed. What it reads in the end is the pack, so that the two are one even where
// somebody edits the files meanwhile.
func read(path string) (*shopfolder.Shop, []byte, error) {
	shop, err := shopfolder.Read(path)
	if errors.Is(err, shopfolder.ErrNowhere) {
		return nil, nil, fmt.Errorf("--catalog: %w", err)
	}
	if err != nil {
		return nil, nil, err
	}
	packed, err := shop.Packed()
	if err != nil {
		return nil, nil, err
	}
	files, err := quoting.Unpack(packed)
	if err != nil {
		return nil, nil, err
	}
	shop.Catalog, err = catalog.Read(files)
	return shop, packed, err
}
