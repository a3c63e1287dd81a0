package rpc

import (
	"errors"
	"io"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/grpc"
)

type importStream = grpc.ClientStreamingServer[pb.ImportCatalogRequest, pb.ImportCatalogResponse]

// ImportCatalog puts the catalog that is sent in force. Nothing is done before all of
// it is here.
func (s *CatalogService) ImportCatalog(stream importStream) error {
	p := proseOf(s.quoting.Current(), "", 0)
	first, err := stream.Recv()
	if err != nil && !errors.Is(err, io.EOF) {
		return err
	}
	options := first.GetOptions()
	in := newIntake(first)
	if options == nil {
		in.fault("options", "import_options")
	}
	in.text("options.note", options.GetNote(), maxReason)
	if size := options.GetSizeBytes(); options != nil && (size < 1 || size > maxUpload*mib) {
		in.fault("options.size_bytes", "import_size_given", electrical.Num("most", maxUpload, electrical.UnitCount))
	}
	if len(in.bad) > 0 {
		return p.invalid(in.bad, "")
	}
	p = proseOf(s.quoting.Current(), options.GetLanguage(), options.GetUnitSystem())
	up := &upload{folder: catalog.Folder{}}
	if err := p.receive(stream, up); err != nil {
		return err
	}
	if int64(up.size) != options.GetSizeBytes() {
		in.fault("options.size_bytes", "import_size", electrical.Num("came", up.size, electrical.UnitCount), electrical.Num("given", int(options.GetSizeBytes()), electrical.UnitCount))
		return p.invalid(in.bad, "")
	}
	return s.imported(stream, p, up.folder, options)
}

// receive puts the pieces of a catalog together until the caller has sent all.
func (p prose) receive(stream importStream, up *upload) error {
	for {
		r, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err != nil {
			return err
		}
		in := &intake{}
		switch content := r.GetContent().(type) {
		case *pb.ImportCatalogRequest_Piece:
			in.bad = up.add(content.Piece)
		case *pb.ImportCatalogRequest_Options:
			in.fault("options", "upload_order")
		default:
			in.fault("content", "upload_empty")
		}
		if len(in.bad) > 0 {
			return p.invalid(in.bad, "")
		}
	}
}

// imported imports what was sent, and answers.
func (s *CatalogService) imported(stream importStream, p prose, sent catalog.Folder, options *pb.ImportCatalogOptions) error {
	ctx := stream.Context()
	done, err := s.quoting.Import(ctx, quoting.Import{Files: sent, Note: options.GetNote(), Caller: callerOf(ctx), Expected: options.GetExpectedRevision(), DryRun: options.GetDryRun()})
	var faults catalog.Faults
	if errors.As(err, &faults) {
		return stream.SendAndClose(&pb.ImportCatalogResponse{Faults: faultsOut(faults), DryRun: options.GetDryRun()})
	}
	if errors.Is(err, quoting.ErrStale) {
		return p.otherCatalog(&quoting.CatalogChangedError{Expected: options.GetExpectedRevision(), InForce: s.quoting.Current().Revision()})
	}
	if err != nil {
		return p.statusOf(err, "options.")
	}
	out := p.importedOut(done)
	out.DryRun = options.GetDryRun()
	return stream.SendAndClose(out)
}
