package server_test

import (
	"context"
	"strings"
	"sync"
	"testing"
	"testing/fstest"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/quoting"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// importPieces gives the messages of an import of a folder.
func importPieces(folder fstest.MapFS, options *pb.ImportCatalogOptions) []*pb.ImportCatalogRequest {
	all := []*pb.ImportCatalogRequest{{Content: &pb.ImportCatalogRequest_Options{Options: options}}}
	for _, name := range catalog.Files() {
		if file := folder[name]; file != nil {
			options.SizeBytes += int64(len(file.Data))
			all = append(all, &pb.ImportCatalogRequest{Content: &pb.ImportCatalogRequest_Piece{Piece: &pb.CatalogPiece{FileName: name, Data: file.Data}}})
		}
	}
	return all
}

// sendImport sends messages; the reply tells where the server broke it off.
func (c *counter) sendImport(ctx context.Context, t require.TestingT, messages []*pb.ImportCatalogRequest) (*pb.ImportCatalogResponse, error) {
	stream, err := pb.NewCatalogServiceClient(c.conn).ImportCatalog(ctx)
	require.NoError(t, err)
	for _, m := range messages {
		if stream.Send(m) != nil {
			break
		}
	}
	return stream.CloseAndRecv()
}

func (c *counter) importShop(t *testing.T, bend func(fstest.MapFS), options *pb.ImportCatalogOptions) (*pb.ImportCatalogResponse, error) {
	t.Helper()
	folder := shopFiles(t)
	if bend != nil {
		bend(folder)
	}
	return c.sendImport(t.Context(), t, importPieces(folder, options))
}

func (c *counter) revisions(t *testing.T) *pb.ListRevisionsResponse {
	t.Helper()
	all, err := pb.NewCatalogServiceClient(c.conn).ListRevisions(t.Context(), &pb.ListRevisionsRequest{})
	require.NoError(t, err)
	return all
}

// preview quotes the lamp by a revision of the catalog.
func (c *counter) preview(ctx context.Context, revision string) (*pb.Quote, error) {
	reply, err := c.PreviewQuote(ctx, &pb.PreviewQuoteRequest{Source: ofJob(lampJob(nil)), CatalogRevision: revision})
	return reply.GetQuote(), err
}

func TestImportCatalog(t *testing.T) {
	c := newCounter(t)
	before, err := c.preview(t.Context(), "")
	require.NoError(t, err)

	tried, err := c.importShop(t, dearer(t), &pb.ImportCatalogOptions{DryRun: true})
	require.NoError(t, err)
	assert.True(t, tried.GetDryRun())
	assert.False(t, tried.GetUnchanged())
	assert.True(t, tried.GetShopChanged())
	assert.Empty(t, tried.GetParts().GetChanged())
	assert.Equal(t, before.GetCatalogRevision(), tried.GetPreviousRevision())
	assert.Empty(t, c.revisions(t).GetRevisions(), "a dry run stores nothing")

	done, err := c.importShop(t, dearer(t), &pb.ImportCatalogOptions{Note: "Labour from December.", ExpectedRevision: before.GetCatalogRevision()[:8]})
	require.NoError(t, err)
	assert.Equal(t, tried.GetCatalogRevision(), done.GetCatalogRevision(), "the dry run told the truth")
	list := c.revisions(t)
	require.Len(t, list.GetRevisions(), 1)
	kept := list.GetRevisions()[0]
	assert.Equal(t, []any{done.GetCatalogRevision(), "tester", "Labour from December.", true}, []any{kept.GetCatalogRevision(), kept.GetCaller(), kept.GetNote(), kept.GetCurrent()})
	assert.Equal(t, now(), kept.GetCreateTime().AsTime())

	after, err := c.preview(t.Context(), "")
	require.NoError(t, err)
	assert.Equal(t, done.GetCatalogRevision(), after.GetCatalogRevision())
	assert.NotEqual(t, before.GetTotals().GetTotal().GetAmount(), after.GetTotals().GetTotal().GetAmount())
	old, err := c.preview(t.Context(), before.GetCatalogRevision()[:8])
	require.NoError(t, err)
	assert.Equal(t, before.GetTotals().GetTotal().GetAmount(), old.GetTotals().GetTotal().GetAmount(), "quoted by the old one")
	made, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: c.id(), CatalogRevision: before.GetCatalogRevision()})
	require.NoError(t, err)
	assert.Equal(t, before.GetCatalogRevision(), made.GetQuote().GetCatalogRevision())
	revised, err := c.ReviseQuote(t.Context(), &pb.ReviseQuoteRequest{Number: "1", RequestId: c.id(), CatalogRevision: before.GetCatalogRevision()})
	require.NoError(t, err)
	assert.Equal(t, before.GetCatalogRevision(), revised.GetQuote().GetCatalogRevision())

	again, err := c.importShop(t, dearer(t), &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	assert.True(t, again.GetUnchanged())
	_, err = c.importShop(t, nil, &pb.ImportCatalogOptions{ExpectedRevision: before.GetCatalogRevision()})
	refused(t, err, codes.Aborted, pb.ErrorReason_ERROR_REASON_CATALOG_CHANGED)
	back, err := c.importShop(t, nil, &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	assert.False(t, back.GetUnchanged())
	assert.Len(t, c.revisions(t).GetRevisions(), 2, "it was kept for the quote made by it")
	assert.Equal(t, back.GetCatalogRevision(), c.revisions(t).GetCurrentRevision())
}

func TestImportTellsPricesAndWhatIsNoLongerCovered(t *testing.T) {
	c := newCounter(t)
	reply, err := c.importShop(t, func(folder fstest.MapFS) {
		var kept strings.Builder
		for line := range strings.Lines(string(folder["terminals.csv"].Data)) {
			if !strings.HasPrefix(line, "LG-1-0-M10,") && !strings.HasPrefix(line, "LG-1-0-38,") {
				kept.WriteString(line)
			}
		}
		folder["terminals.csv"] = &fstest.MapFile{Data: []byte(kept.String())}
		edit(t, folder, "fuses.csv", "1.20,0.67", "1.32,0.67")
	}, &pb.ImportCatalogOptions{DryRun: true, UnitSystem: pb.UnitSystem_UNIT_SYSTEM_METRIC})
	require.NoError(t, err)
	assert.Equal(t, []string{"LG-1-0-38", "LG-1-0-M10"}, reply.GetParts().GetWithdrawn())
	var texts []string
	for _, f := range reply.GetNewlyUncovered() {
		assert.Equal(t, pb.Severity_SEVERITY_FAULT, f.GetSeverity())
		texts = append(texts, f.GetText())
	}
	require.Len(t, reply.GetPrices(), 1)
	move := reply.GetPrices()[0]
	assert.Equal(t, []string{"FU-BLD-1", "1.20", "1.32", "USD"}, []string{move.GetSku(), move.GetBefore().GetAmount(), move.GetAfter().GetAmount(), move.GetAfter().GetCurrencyCode()})
	assert.InDelta(t, 10, move.GetPercent(), 1e-9)
	assert.Contains(t, texts, "No stocked terminal (ring terminal) fits 1/0 AWG and a M10 stud.")
}

func TestABrokenImportLeavesNothingBehind(t *testing.T) {
	c := newCounter(t)
	whole := func() []*pb.ImportCatalogRequest { return importPieces(shopFiles(t), &pb.ImportCatalogOptions{}) }
	large := []*pb.ImportCatalogRequest{{Content: &pb.ImportCatalogRequest_Options{Options: &pb.ImportCatalogOptions{SizeBytes: 1}}},
		{Content: &pb.ImportCatalogRequest_Piece{Piece: &pb.CatalogPiece{FileName: "fuses.csv"}}}}
	for range 65 {
		large = append(large, &pb.ImportCatalogRequest{Content: &pb.ImportCatalogRequest_Piece{Piece: &pb.CatalogPiece{Data: make([]byte, 1<<20)}}})
	}
	announced := func(n int64) []*pb.ImportCatalogRequest {
		all := whole()
		all[0].GetOptions().SizeBytes = n
		return all
	}
	for name, messages := range map[string][]*pb.ImportCatalogRequest{
		"nothing":                nil,
		"only options":           whole()[:1],
		"half closed":            whole()[:9],
		"a piece first":          whole()[1:],
		"options twice":          append(whole(), whole()[0]),
		"empty message":          append(whole(), &pb.ImportCatalogRequest{}),
		"file twice":             append(whole(), whole()[1]),
		"oversized":              large,
		"more than announced":    announced(100),
		"less than nothing":      announced(-1),
		"more than may be":       announced(1 << 40),
		"endless note":           importPieces(shopFiles(t), &pb.ImportCatalogOptions{Note: strings.Repeat("x", 501)}),
		"control in the note":    importPieces(shopFiles(t), &pb.ImportCatalogOptions{Note: "\x00"}),
		"nothing but a stranger": {{Content: &pb.ImportCatalogRequest_Options{Options: &pb.ImportCatalogOptions{SizeBytes: 1}}}, {Content: &pb.ImportCatalogRequest_Piece{Piece: &pb.CatalogPiece{FileName: "../shop.yaml", Data: []byte("x")}}}},
	} {
		t.Run(name, func(t *testing.T) {
			_, err := c.sendImport(t.Context(), t, messages)
			assert.Equal(t, codes.InvalidArgument, status.Code(err), "%v", err)
			assert.NotContains(t, status.Convert(err).Message(), "{")
		})
	}

	ctx, cut := context.WithCancel(t.Context())
	stream, err := pb.NewCatalogServiceClient(c.conn).ImportCatalog(ctx)
	require.NoError(t, err)
	for _, m := range whole()[:9] {
		require.NoError(t, stream.Send(m))
	}
	cut()
	_, err = stream.CloseAndRecv()
	assert.Equal(t, codes.Canceled, status.Code(err))

	faulty, err := c.importShop(t, func(folder fstest.MapFS) { edit(t, folder, "fuses.csv", "blade,1,", "blaed,1,") }, &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	require.Len(t, faulty.GetFaults(), 1)
	assert.Empty(t, faulty.GetCatalogRevision())

	c.store.Fail(quoting.ErrFull)
	_, err = c.importShop(t, dearer(t), &pb.ImportCatalogOptions{})
	refused(t, err, codes.ResourceExhausted, pb.ErrorReason_ERROR_REASON_STORE_FULL)
	c.store.Fail(nil)

	list := c.revisions(t)
	assert.Empty(t, list.GetRevisions())
	assert.Equal(t, c.catalog.Revision, list.GetCurrentRevision())
}

func TestUnknownRevisionsAreRefused(t *testing.T) {
	c := newCounter(t)
	_, err := c.preview(t.Context(), "0123abcd")
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG)
	_, err = c.preview(t.Context(), strings.Repeat("0", 64))
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG)
	for _, text := range []string{c.catalog.Revision[:7], strings.Repeat("0", 65), "the newest"} {
		_, err = c.preview(t.Context(), text)
		refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG)
	}
	_, err = c.preview(t.Context(), "\x00")
	assert.Equal(t, codes.InvalidArgument, status.Code(err))
	_, err = c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(lampJob(nil)), RequestId: c.id(), CatalogRevision: "0123abcd"})
	refused(t, err, codes.NotFound, pb.ErrorReason_ERROR_REASON_UNKNOWN_CATALOG)
}

// Every quote made while catalogs come and go is wholly of one of them.
func TestQuotesWhileCatalogsAreImported(t *testing.T) {
	c := newCounter(t)
	totals := map[string]string{}
	for _, bend := range []func(fstest.MapFS){nil, dearer(t)} {
		done, err := c.importShop(t, bend, &pb.ImportCatalogOptions{})
		require.NoError(t, err)
		q, err := c.preview(t.Context(), "")
		require.NoError(t, err)
		require.Equal(t, done.GetCatalogRevision(), q.GetCatalogRevision())
		totals[q.GetCatalogRevision()] = q.GetTotals().GetTotal().GetAmount()
	}
	require.Len(t, totals, 2)
	var quoting sync.WaitGroup
	for range 4 {
		quoting.Go(func() {
			for range 15 {
				q, err := c.preview(t.Context(), "")
				if err != nil {
					t.Error(err)
					return
				}
				assert.Equal(t, totals[q.GetCatalogRevision()], q.GetTotals().GetTotal().GetAmount())
			}
		})
	}
	for _, bend := range []func(fstest.MapFS){nil, dearer(t), nil} {
		_, err := c.importShop(t, bend, &pb.ImportCatalogOptions{})
		require.NoError(t, err)
	}
	quoting.Wait()
}

func TestServicesOnOneStoreFollow(t *testing.T) {
	store := newStore()
	one, stop := open(t, store, "ida", nil)
	t.Cleanup(stop)
	other, stop := open(t, store, "ole", nil)
	t.Cleanup(stop)
	changed, err := other.server.Follow(t.Context())
	require.NoError(t, err)
	assert.False(t, changed, "nothing was imported yet")

	done, err := one.importShop(t, dearer(t), &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	changed, err = other.server.Follow(t.Context())
	require.NoError(t, err)
	assert.True(t, changed)
	q, err := other.preview(t.Context(), "")
	require.NoError(t, err)
	assert.Equal(t, done.GetCatalogRevision(), q.GetCatalogRevision())
	changed, err = other.server.Follow(t.Context())
	require.NoError(t, err)
	assert.False(t, changed)

	// What cannot be read leaves the old one in force.
	require.NoError(t, store.Update(t.Context(), func(w quoting.Writer) error {
		if err := w.AddCatalog(quoting.CatalogRevision{Revision: "damaged", Files: []byte("no archive")}); err != nil {
			return err
		}
		return w.PutCatalogInForce("damaged")
	}))
	for range 2 {
		_, err = other.server.Follow(t.Context())
		require.ErrorContains(t, err, "unpack the catalog")
	}
	q, err = other.preview(t.Context(), "")
	require.NoError(t, err)
	assert.Equal(t, done.GetCatalogRevision(), q.GetCatalogRevision())

	mended, err := other.importShop(t, nil, &pb.ImportCatalogOptions{})
	require.NoError(t, err, "another import is how to mend it")
	changed, err = one.server.Follow(t.Context())
	require.NoError(t, err)
	assert.True(t, changed)
	q, err = one.preview(t.Context(), "")
	require.NoError(t, err)
	assert.Equal(t, mended.GetCatalogRevision(), q.GetCatalogRevision())
}

func TestRevisionsPageByPage(t *testing.T) {
	c := newCounter(t)
	for _, bend := range []func(fstest.MapFS){nil, dearer(t)} {
		_, err := c.importShop(t, bend, &pb.ImportCatalogOptions{})
		require.NoError(t, err)
	}
	service := pb.NewCatalogServiceClient(c.conn)
	newest, err := service.ListRevisions(t.Context(), &pb.ListRevisionsRequest{PageSize: 1})
	require.NoError(t, err)
	require.Len(t, newest.GetRevisions(), 1)
	assert.True(t, newest.GetRevisions()[0].GetCurrent())
	_, err = c.importShop(t, func(folder fstest.MapFS) { edit(t, folder, "shop.yaml", "validity_days: 30", "validity_days: 31") }, &pb.ImportCatalogOptions{})
	require.NoError(t, err)
	oldest, err := service.ListRevisions(t.Context(), &pb.ListRevisionsRequest{PageSize: 1, PageToken: newest.GetNextPageToken()})
	require.NoError(t, err)
	require.Len(t, oldest.GetRevisions(), 1)
	assert.Equal(t, c.catalog.Revision, oldest.GetRevisions()[0].GetCatalogRevision(), "what came meanwhile shifts no page")
	assert.Empty(t, oldest.GetNextPageToken())
	_, err = service.ListRevisions(t.Context(), &pb.ListRevisionsRequest{PageToken: "x"})
	assert.Equal(t, codes.InvalidArgument, status.Code(err))
}
