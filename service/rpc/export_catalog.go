package rpc

import (
	"context"
	"fmt"
	"io/fs"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"

	"google.golang.org/grpc"
	"google.golang.org/protobuf/types/known/timestamppb"
)

// exportPiece is how much of a file goes into one message: well below what callers
// receive at a time.
const exportPiece = 256 << 10

// ExportCatalog sends the files of a catalog.
func (s *CatalogService) ExportCatalog(r *pb.ExportCatalogRequest, stream grpc.ServerStreamingServer[pb.ExportCatalogResponse]) error {
	p := proseOf(s.quoting.Current(), "", 0)
	if in := newIntake(r); len(in.bad) > 0 {
		return p.invalid(in.bad, "")
	}
	ctx := stream.Context()
	edition, err := s.quoting.At(ctx, r.GetCatalogRevision())
	if err != nil {
		return p.statusOf(err, "")
	}
	folder, err := s.quoting.Export(ctx, edition)
	if err != nil {
		return p.statusOf(err, "")
	}
	about := &pb.ExportedCatalog{CatalogRevision: edition.Revision()}
	files := catalog.Folder{}
	for _, name := range catalog.Files() {
		text, err := fs.ReadFile(folder, name)
		if err != nil {
			return fmt.Errorf("export the catalog: %w", err)
		}
		files[name] = text
		about.FileCount++
		about.SizeBytes += int64(len(text))
	}
	if err := stream.Send(&pb.ExportCatalogResponse{Content: &pb.ExportCatalogResponse_Catalog{Catalog: about}}); err != nil {
		return err
	}
	for _, name := range files.Names() {
		if err := sendFile(stream, name, files[name]); err != nil {
			return err
		}
	}
	return nil
}

// sendFile sends a file in pieces, the first of which names it.
func sendFile(stream grpc.ServerStreamingServer[pb.ExportCatalogResponse], name string, text []byte) error {
	for first := true; first || len(text) > 0; first = false {
		piece := &pb.CatalogPiece{Data: text[:min(len(text), exportPiece)]}
		if first {
			piece.FileName = name
		}
		text = text[len(piece.GetData()):]
		if err := stream.Send(&pb.ExportCatalogResponse{Content: &pb.ExportCatalogResponse_Piece{Piece: piece}}); err != nil {
			return err
		}
	}
	return nil
}

// ListRevisions lists the catalogs that are kept. A page is found again by how many
// older ones there are, since new ones come on top.
func (s *CatalogService) ListRevisions(ctx context.Context, r *pb.ListRevisionsRequest) (*pb.ListRevisionsResponse, error) {
	current := s.quoting.Current()
	p := proseOf(current, "", 0)
	in := newIntake(r)
	page := in.page(r.GetPageSize(), r.GetPageToken(), "", r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	all, err := s.quoting.Revisions(ctx)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	from := 0
	if r.GetPageToken() != "" {
		from = max(0, len(all)-page.from)
	}
	to := min(from+page.size, len(all))
	out := &pb.ListRevisionsResponse{CurrentRevision: current.Revision(), Fixed: s.quoting.Fixed()}
	for _, c := range all[from:to] {
		out.Revisions = append(out.Revisions, &pb.CatalogRevision{CatalogRevision: c.Revision, CreateTime: timestamppb.New(c.CreateTime), Caller: c.Caller, Note: c.Note,
			Current: c.Revision == current.Revision()})
	}
	if to < len(all) {
		out.NextPageToken = page.token(len(all) - to)
	}
	return out, nil
}
