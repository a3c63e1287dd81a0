package server_test

import (
	"errors"
	"io"
	"testing"
	"testing/fstest"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
)

// exported gives the revision and the files of an export.
func (c *counter) exported(t *testing.T, revision string) (string, catalog.Folder, error) {
	t.Helper()
	stream, err := pb.NewCatalogServiceClient(c.conn).ExportCatalog(t.Context(), &pb.ExportCatalogRequest{CatalogRevision: revision})
	require.NoError(t, err)
	folder, whole, last := catalog.Folder{}, "", ""
	count, size := 0, int64(0)
	for {
		r, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			assert.Len(t, folder, count)
			assert.Zero(t, size)
			return whole, folder, nil
		}
		if err != nil {
			return whole, folder, err
		}
		if about := r.GetCatalog(); about != nil {
			require.Empty(t, folder, "it comes once, and first")
			whole, count, size = about.GetCatalogRevision(), int(about.GetFileCount()), about.GetSizeBytes()
			continue
		}
		if name := r.GetPiece().GetFileName(); name != "" {
			last = name
		}
		size -= int64(len(r.GetPiece().GetData()))
		folder[last] = append(folder[last], r.GetPiece().GetData()...)
	}
}

func TestExportedFilesGiveTheSameRevision(t *testing.T) {
	c := newCounter(t)
	same := func(revision, want string) {
		t.Helper()
		got, folder, err := c.exported(t, revision)
		require.NoError(t, err)
		assert.Equal(t, want, got)
		read, err := catalog.Read(folder)
		require.NoError(t, err)
		assert.Equal(t, want, read.Revision)
	}
	first := c.catalog.Revision
	same("", first)
	done, err := c.importShop(t, dearer(t), &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	same("", done.GetCatalogRevision())
	same(done.GetCatalogRevision()[:10], done.GetCatalogRevision())
	same(first[:8], first)

	_, folder, err := c.exported(t, first)
	require.NoError(t, err)
	files := fstest.MapFS{}
	for name, text := range folder {
		files[name] = &fstest.MapFile{Data: text}
	}
	back, err := c.sendImport(t.Context(), t, importPieces(files, &pb.ImportCatalogOptions{}))
	require.NoError(t, err)
	assert.Equal(t, first, back.GetCatalogRevision())
	same(done.GetCatalogRevision(), done.GetCatalogRevision())

	_, _, err = c.exported(t, "00000000")
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG)
}

func TestANamedCatalogStays(t *testing.T) {
	store := newStore()
	c, stop := openWith(t, store, "tester", nil, true)
	t.Cleanup(stop)
	for _, dry := range []bool{true, false} {
		_, err := c.importShop(t, dearer(t), &pb.ImportCatalogOptions{DryRun: dry})
		refused(t, err, codes.FailedPrecondition, pb.ErrorReason_ERROR_REASON_CATALOG_FIXED)
	}
	free, stop := open(t, store, "tester", nil)
	t.Cleanup(stop)
	_, err := free.importShop(t, dearer(t), &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	changed, err := c.server.Follow(t.Context())
	require.NoError(t, err)
	assert.False(t, changed)
	list := c.revisions(t)
	assert.True(t, list.GetFixed())
	assert.Equal(t, c.catalog.Revision, list.GetCurrentRevision())
}
