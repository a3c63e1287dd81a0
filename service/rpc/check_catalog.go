package rpc

import (
	"errors"
	"io"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/coverage"

	"google.golang.org/grpc"
)

// CheckCatalog checks the catalog that is sent, or the one in force.
func (s *CatalogService) CheckCatalog(stream grpc.ClientStreamingServer[pb.CheckCatalogRequest, pb.CheckCatalogResponse]) error {
	current := s.quoting.Current().Catalog()
	p := proseFor(&current.Shop, "", 0)
	up := &upload{folder: catalog.Folder{}}
	for first := true; ; first = false {
		r, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		in := &intake{}
		switch content := r.GetContent().(type) {
		case *pb.CheckCatalogRequest_Options:
			if !first {
				in.fault("options", "upload_order")
				break
			}
			in = newIntake(r)
			p = proseFor(&current.Shop, content.Options.GetLanguage(), content.Options.GetUnitSystem())
		case *pb.CheckCatalogRequest_Piece:
			in.bad = up.add(content.Piece)
		default:
			in.fault("content", "upload_empty")
		}
		if len(in.bad) > 0 {
			return p.invalid(in.bad, "")
		}
	}
	return s.checked(stream, p, up.folder, current)
}

// checked reads what was sent, if anything was, and answers.
func (s *CatalogService) checked(stream grpc.ClientStreamingServer[pb.CheckCatalogRequest, pb.CheckCatalogResponse], p prose, sent catalog.Folder, cat *catalog.Catalog) error {
	if len(sent) > 0 {
		var err error
		cat, err = catalog.Read(sent)
		var faults catalog.Faults
		if errors.As(err, &faults) {
			return stream.SendAndClose(&pb.CheckCatalogResponse{Faults: faultsOut(faults)})
		}
		if err != nil {
			return err
		}
	}
	return stream.SendAndClose(p.report(cat, coverage.Check(cat)))
}

func (p prose) report(cat *catalog.Catalog, r *coverage.Report) *pb.CheckCatalogResponse {
	out := &pb.CheckCatalogResponse{CatalogRevision: cat.Revision, PartCount: int32(cat.PartCount()), Slips: faultsOut(cat.Advice), Findings: p.findings(r.Findings)}
	for i := range r.Conductors {
		c := &r.Conductors[i]
		out.Conductors = append(out.Conductors, &pb.ConductorCoverage{Sku: c.SKU, Size: c.Size.String(), Studs: texts(c.Studs), FerruleCount: int32(c.Ferrules), PushOnCount: int32(c.PushOns),
			ButtCount: int32(c.Butts), SleeveCount: int32(c.Sleeves), HolderCount: int32(c.Holders), BlockCount: int32(c.Blocks), ToolSkus: c.Tools, LabourTasks: texts(c.Labour)})
	}
	return out
}

func (p prose) findings(list []coverage.Finding) []*pb.CatalogFinding {
	var out []*pb.CatalogFinding
	for _, f := range list {
		out = append(out, &pb.CatalogFinding{Severity: severities.number(string(f.Severity)), Code: f.Code, Text: p.Say(f.Code, f.Figures...),
			Skus: f.Parts, Stops: f.Stops, Figures: p.figures(f.Figures)})
	}
	return out
}

func faultsOut(faults catalog.Faults) []*pb.CatalogFault {
	out := make([]*pb.CatalogFault, 0, len(faults))
	for _, f := range faults {
		out = append(out, &pb.CatalogFault{File: f.File, Line: int32(f.Line), Column: int32(f.Column), Problem: f.Problem, Allowed: f.Allowed})
	}
	return out
}

func texts[T ~string](words []T) []string {
	out := make([]string, len(words))
	for i, w := range words {
		out[i] = string(w)
	}
	return out
}
