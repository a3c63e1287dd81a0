package sqlite_test

import (
	"path/filepath"
	"testing"

	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/store/sqlite"
	"example.com/lugbook/service/store/storetest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

var _ quoting.Store = (*sqlite.Store)(nil)

func TestConformance(t *testing.T) {
	t.Parallel()
	storetest.Run(t, func(t *testing.T) quoting.Store { return open(t, filepath.Join(t.TempDir(), "lugbook.db")) })
}

// open opens a store for the time of a test.
func open(t testing.TB, path string) *sqlite.Store {
	t.Helper()
	s, err := sqlite.Open(t.Context(), path)
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, s.Close()) })
	return s
}
