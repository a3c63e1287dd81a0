package cli_test

import (
	"context"
	"errors"
	"io"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"google.golang.org/grpc"
)

// ImportCatalog keeps the options as the request, and the files as CheckCatalog does;
// the reply is canned by the first file.
func (f *fakeShop) ImportCatalog(stream grpc.ClientStreamingServer[lugbookv1.ImportCatalogRequest, lugbookv1.ImportCatalogResponse]) error {
	f.uploaded = map[string]int{}
	last, file := "", "import.json"
	var options *lugbookv1.ImportCatalogOptions
	for {
		r, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		if o := r.GetOptions(); o != nil {
			options = o
			continue
		}
		if name := r.GetPiece().GetFileName(); name != "" {
			last = name
		}
		f.uploaded[last] += len(r.GetPiece().GetData())
	}
	for _, kind := range []string{"faults", "same"} {
		if _, ok := f.uploaded[kind+".csv"]; ok {
			file = "import_" + kind + ".json"
		}
	}
	reply := &lugbookv1.ImportCatalogResponse{}
	if err := f.answer(options, file, reply); err != nil {
		return err
	}
	reply.DryRun = options.GetDryRun()
	return stream.SendAndClose(reply)
}

// ExportCatalog sends two small files, or as many as it was told to send wrongly.
func (f *fakeShop) ExportCatalog(r *lugbookv1.ExportCatalogRequest, stream grpc.ServerStreamingServer[lugbookv1.ExportCatalogResponse]) error {
	f.got = r
	if f.err != nil {
		return f.err
	}
	about := &lugbookv1.ExportedCatalog{CatalogRevision: "5e0c3a9177b2d4f68091a2b3c4d5e6f708192a3b4c5d6e7f8091a2b3c4d5e6f7", FileCount: 2, SizeBytes: 10}
	messages := []*lugbookv1.ExportCatalogResponse{{Content: &lugbookv1.ExportCatalogResponse_Catalog{Catalog: about}}}
	pieces := f.pieces
	if pieces == nil {
		pieces = []*lugbookv1.CatalogPiece{{FileName: "fuses.csv", Data: []byte("sku")}, {Data: []byte("\n1\n")}, {FileName: "shop.yaml", Data: []byte("a: b")}}
	}
	for _, piece := range pieces {
		messages = append(messages, &lugbookv1.ExportCatalogResponse{Content: &lugbookv1.ExportCatalogResponse_Piece{Piece: piece}})
	}
	for _, m := range messages {
		if err := stream.Send(m); err != nil {
			return err
		}
	}
	return nil
}

func (f *fakeShop) ListRevisions(_ context.Context, r *lugbookv1.ListRevisionsRequest) (*lugbookv1.ListRevisionsResponse, error) {
	reply := &lugbookv1.ListRevisionsResponse{}
	return reply, f.answer(r, "revisions.json", reply)
}
