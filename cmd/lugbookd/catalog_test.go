package main

import (
	"bytes"
	"context"
	"errors"
	"log/slog"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"example.com/lugbook/catalog/demo"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// followed is a service whose answers are written down before.
type followed struct {
	answers []error // nil: changed
	calls   int
	end     context.CancelFunc
}

func (f *followed) Revision() string { return "rev" }

func (f *followed) Follow(context.Context) (bool, error) {
	err := f.answers[f.calls]
	f.calls++
	if f.calls == len(f.answers) {
		defer f.end() // the context ends with the last one
	}
	return err == nil, err
}

// A daemon looks with every tick, and tells what goes wrong once, until it changes.
func TestFollowTellsOnce(t *testing.T) {
	ctx, cancel := context.WithCancel(t.Context())
	away, torn := errors.New("away"), errors.New("torn")
	f := &followed{answers: []error{away, away, torn, torn, nil, torn, nil, nil}, end: cancel}
	ticks := make(chan time.Time, len(f.answers))
	for range f.answers {
		ticks <- time.Time{}
	}
	var log bytes.Buffer
	follow(ctx, f, slog.New(slog.NewJSONHandler(&log, nil)), ticks)
	assert.Equal(t, len(f.answers), f.calls)
	assert.Equal(t, 1, strings.Count(log.String(), "away"))
	assert.Equal(t, 2, strings.Count(log.String(), "torn"), "once more after it was well")
	assert.Equal(t, 2, strings.Count(log.String(), "catalog put in force"), "and none for the tick that the end came with")
}

// The catalog that is read is the one that is packed, and faults keep it from being used.
func TestReadGivesOneCatalog(t *testing.T) {
	dir := t.TempDir()
	require.NoError(t, os.CopyFS(dir, demo.Files()))
	shop, packed, err := read(dir)
	require.NoError(t, err)
	assert.True(t, shop.Named)
	assert.NotEmpty(t, packed)
	invented, _, err := read("")
	require.NoError(t, err)
	assert.False(t, invented.Named)
	assert.Equal(t, invented.Catalog.Revision, shop.Catalog.Revision)
	require.NoError(t, os.Remove(filepath.Join(dir, "fuses.csv")))
	_, _, err = read(dir)
	require.ErrorContains(t, err, "fuses.csv")
	_, _, err = read(filepath.Join(dir, "nowhere"))
	require.ErrorContains(t, err, "--catalog: there is no folder and no workbook (.xlsx)")
}
