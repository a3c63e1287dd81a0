package quoting_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"slices"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// smallShop gives the smallest whole catalog, to be changed.
func smallShop(t require.TestingT) fstest.MapFS {
	folder := fstest.MapFS{}
	for _, name := range catalog.Files() {
		text, err := os.ReadFile("../../catalog/testdata/minimal/" + name)
		require.NoError(t, err)
		folder[name] = &fstest.MapFile{Data: text}
	}
	return folder
}

// valid gives the small shop with so many days of validity, which makes it another one.
func valid(t require.TestingT, days int) fstest.MapFS {
	folder := smallShop(t)
	folder["shop.yaml"].Data = bytes.Replace(folder["shop.yaml"].Data, []byte("validity_days: 30"), fmt.Appendf(nil, "validity_days: %d", days), 1)
	return folder
}

// smallService is a service on the small shop.
func smallService(t require.TestingT, store quoting.Store) *quoting.Service {
	cat, err := catalog.Read(smallShop(t))
	require.NoError(t, err)
	return quoting.New(quoting.Config{Catalog: cat, Files: func() ([]byte, error) { return quoting.PackPlain(smallShop(t)) }, Store: store, Now: moment})
}

// imported puts a catalog in force and gives its revision.
func imported(t require.TestingT, s *quoting.Service, folder fstest.MapFS) string {
	done, err := s.Import(context.Background(), quoting.Import{Files: folder})
	require.NoError(t, err)
	return done.After.Revision
}

// Whatever is imported comes out again as files that import to the same revision, and
// the same files.
func TestExportsImportToTheSameRevision(t *testing.T) {
	store := quotingtest.NewStore()
	service := smallService(t, store)
	rapid.Check(t, func(r *rapid.T) {
		folder := valid(r, rapid.IntRange(1, 99).Draw(r, "days"))
		for _, name := range []string{"tools.csv", "sundries.csv", "relays.csv"} {
			lines := slices.DeleteFunc(strings.SplitAfter(string(folder[name].Data), "\n"), func(line string) bool { return line == "" })
			rows := rapid.Permutation(lines[1:]).Draw(r, name)
			rows = rows[:rapid.IntRange(0, len(rows)).Draw(r, "rows")]
			folder[name].Data = []byte(lines[0] + strings.Join(rows, ""))
		}
		if rapid.Bool().Draw(r, "mark") {
			folder["tools.csv"].Data = append([]byte("\ufeff"), folder["tools.csv"].Data...)
		}
		want := imported(r, service, folder)
		edition, err := service.At(context.Background(), want)
		require.NoError(r, err)
		first, err := service.Export(context.Background(), edition)
		require.NoError(r, err)
		again := smallService(r, quotingtest.NewStore())
		done, err := again.Import(context.Background(), quoting.Import{Files: first})
		require.NoError(r, err)
		assert.Equal(r, want, done.After.Revision)
		second, err := again.Export(context.Background(), again.Current())
		require.NoError(r, err)
		for _, name := range catalog.Files() {
			assert.Equal(r, text(r, first, name), text(r, second, name), name)
		}
	})
}

func text(t require.TestingT, folder fs.FS, name string) string {
	raw, err := fs.ReadFile(folder, name)
	require.NoError(t, err)
	return string(raw)
}

// More revisions than are kept at hand are all there still.
func TestOldRevisionsAreReadAgain(t *testing.T) {
	store := quotingtest.NewStore()
	service := smallService(t, store)
	var all []string
	for days := range 9 {
		all = append(all, imported(t, service, valid(t, days+1)))
	}
	var group sync.WaitGroup
	for range 4 {
		for days, revision := range all {
			group.Go(func() {
				edition, err := service.At(context.Background(), revision[:8])
				if assert.NoError(t, err) {
					assert.Equal(t, days+1, edition.Catalog().Shop.ValidityDays)
				}
			})
		}
	}
	group.Wait()

	// One who does not wait is not kept, and those who do are served.
	gone, cancel := context.WithCancel(t.Context())
	cancel()
	fresh := smallService(t, store)
	_, err := fresh.At(gone, all[0])
	require.ErrorIs(t, err, context.Canceled)
	edition, err := fresh.At(t.Context(), strings.ToUpper(all[0]))
	require.NoError(t, err)
	assert.Equal(t, all[0], edition.Revision())
}

// What is quoted from is told by what was imported last, wherever that was; a store that
// is away changes nothing.
func TestFollow(t *testing.T) {
	store := quotingtest.NewStore()
	one, other := smallService(t, store), smallService(t, store)
	revision := imported(t, one, valid(t, 7))
	assert.Equal(t, revision, one.Current().Revision())
	began := other.Current()
	store.Fail(quoting.ErrUnavailable)
	changed, err := other.Follow(t.Context())
	require.ErrorIs(t, err, quoting.ErrUnavailable)
	assert.False(t, changed)
	assert.Same(t, began, other.Current())
	store.Fail(nil)
	changed, err = other.Follow(t.Context())
	require.NoError(t, err)
	assert.True(t, changed)
	assert.Equal(t, revision, other.Current().Revision())
	assert.NotEqual(t, revision, began.Revision(), "what was taken before stays what it was")

	alone := smallService(t, nil)
	changed, err = alone.Follow(t.Context())
	require.NoError(t, err)
	assert.False(t, changed)
	_, err = alone.Import(t.Context(), quoting.Import{Files: valid(t, 8)})
	require.ErrorIs(t, err, quoting.ErrNoStore)
}

// Two owners who both saw the same catalog: the second is told.
func TestImportsThatExpectAnotherCatalog(t *testing.T) {
	store := quotingtest.NewStore()
	one, other := smallService(t, store), smallService(t, store)
	seen := one.Current().Revision()
	first, err := one.Import(t.Context(), quoting.Import{Files: valid(t, 7), Expected: seen[:8]})
	require.NoError(t, err)
	var changed *quoting.CatalogChangedError
	_, err = other.Import(t.Context(), quoting.Import{Files: valid(t, 8), Expected: seen})
	require.ErrorAs(t, err, &changed)
	assert.Equal(t, first.After.Revision, changed.InForce)
	_, err = other.Import(t.Context(), quoting.Import{Files: valid(t, 8), Expected: seen[:4]})
	require.ErrorAs(t, err, &changed, "too few digits to tell")

	// Many at once without an expectation: each is imported, and the services agree in the end.
	var group sync.WaitGroup
	for days := range 6 {
		group.Go(func() {
			if _, err := []*quoting.Service{one, other}[days%2].Import(context.Background(), quoting.Import{Files: valid(t, days+20)}); err != nil && !errors.Is(err, quoting.ErrStale) {
				t.Error(err)
			}
		})
	}
	group.Wait()
	for _, s := range []*quoting.Service{one, other} {
		_, err := s.Follow(t.Context())
		require.NoError(t, err)
	}
	assert.Equal(t, one.Current().Revision(), other.Current().Revision())
}

// A catalog in force that cannot be read is asked for once, and mended by the next import.
func TestUnreadableCatalogIsReadOnce(t *testing.T) {
	store := quotingtest.NewStore()
	service := smallService(t, store)
	require.NoError(t, store.Update(t.Context(), func(w quoting.Writer) error {
		if err := w.AddCatalog(quoting.CatalogRevision{Revision: "torn", Files: []byte("no archive")}); err != nil {
			return err
		}
		return w.PutCatalogInForce("torn")
	}))
	_, first := service.Follow(t.Context())
	require.ErrorContains(t, first, "unpack the catalog")
	_, again := service.Follow(t.Context())
	assert.Same(t, first, again, "it was not read again")
	revision := imported(t, service, valid(t, 7))
	assert.Equal(t, revision, service.Current().Revision())
}
