package quoting_test

import (
	"io/fs"
	"testing"
	"testing/fstest"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestPackedCatalogsReadAsTheyWere(t *testing.T) {
	packed, err := quoting.Pack(demo.Files())
	require.NoError(t, err)
	again, err := quoting.Pack(demo.Files())
	require.NoError(t, err)
	assert.Equal(t, packed, again, "the same files give the same bytes")
	assert.Less(t, len(packed), 50<<10)
	folder, err := quoting.Unpack(packed)
	require.NoError(t, err)
	want, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	got, err := catalog.Read(folder)
	require.NoError(t, err)
	assert.Equal(t, want.Revision, got.Revision)
	for _, name := range catalog.Files() {
		text, err := fs.ReadFile(demo.Files(), name)
		require.NoError(t, err)
		unpacked, err := fs.ReadFile(folder, name)
		require.NoError(t, err)
		assert.Equal(t, text, unpacked, name)
	}
}

func TestPackTakesOnlyWhatIsRead(t *testing.T) {
	packed, err := quoting.Pack(fstest.MapFS{"shop.yaml": {Data: []byte("name: A")}, "letters.txt": {Data: []byte("secret")}})
	require.NoError(t, err)
	folder, err := quoting.Unpack(packed)
	require.NoError(t, err)
	_, err = fs.Stat(folder, "letters.txt")
	require.ErrorIs(t, err, fs.ErrNotExist)
	_, err = fs.Stat(folder, "shop.yaml")
	require.NoError(t, err)
	_, err = quoting.Unpack([]byte("no archive"))
	require.Error(t, err)
}

// A quote is not made where its catalog could not be read back.
func TestOtherFilesThanTheCatalogsAreNotKept(t *testing.T) {
	cat, err := catalog.Read(demo.Files())
	require.NoError(t, err)
	files := func() ([]byte, error) { return quoting.Pack(fstest.MapFS{"shop.yaml": {Data: []byte("name: A")}}) }
	store := quotingtest.NewStore()
	service := quoting.New(quoting.Config{Catalog: cat, Files: files, Store: store, Now: time.Now})
	_, err = service.Create(t.Context(), quoting.Request{ID: "a"}, lamp)
	require.ErrorContains(t, err, "read catalog "+cat.Revision+" back")
	_, _, err = service.List(t.Context(), quoting.Query{Limit: 1})
	require.NoError(t, err)
}
