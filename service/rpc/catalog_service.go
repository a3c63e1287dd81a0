package rpc

import (
	"context"
	"strings"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"github.com/bojanz/currency"
)

// CatalogService serves lugbook.v1.CatalogService.
type CatalogService struct {
	pb.UnimplementedCatalogServiceServer
	quoting *quoting.Service
}

// NewCatalogService gives the handlers over the use cases.
func NewCatalogService(q *quoting.Service) *CatalogService { return &CatalogService{quoting: q} }

// ListParts lists parts by kind and SKU.
func (s *CatalogService) ListParts(ctx context.Context, r *pb.ListPartsRequest) (*pb.ListPartsResponse, error) {
	cat := s.quoting.Current().Catalog()
	p := proseFor(&cat.Shop, "", r.GetUnitSystem())
	in := newIntake(r)
	filter := in.filter(r, cat.Shop.Currency)
	page := in.page(r.GetPageSize(), r.GetPageToken(), cat.Revision, r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	entries := cat.Find(filter)
	if r.GetInStock() {
		var err error
		if entries, err = s.inStock(ctx, entries); err != nil {
			return nil, p.statusOf(err, "")
		}
	}
	shown, next := page.cut(len(entries))
	out := &pb.ListPartsResponse{NextPageToken: next, TotalSize: int32(len(entries))}
	for _, e := range entries[shown.from:shown.to] {
		out.Parts = append(out.Parts, partOut(e, r.GetIncludeCost()))
	}
	return out, p.statusOf(s.countParts(ctx, out), "")
}

func (in *intake) filter(r *pb.ListPartsRequest, currencyCode string) catalog.Filter {
	f := catalog.Filter{Text: r.GetText(), Kind: catalog.Kind(partKinds.word(r.GetKind())), Stud: catalog.Stud(r.GetStud()), Rating: quantity.Amps(r.GetRatingA())}
	if r.GetPriceMax() != "" {
		price, err := currency.NewAmount(r.GetPriceMax(), currencyCode)
		if err != nil || !price.IsPositive() || len(r.GetPriceMax()) > maxPriceText || strings.Trim(r.GetPriceMax(), "0123456789.") != "" {
			in.fault("price_max", "price", electrical.Name("given", r.GetPriceMax()))
		}
		f.MaxPrice = price
	}
	if r.GetSize() != "" {
		f.Size = in.size("size", r.GetSize())
	}
	if _, ok := partKinds.words[r.GetKind()]; !ok {
		in.fault("kind", "unknown_word", electrical.Name("given", partKinds.word(r.GetKind())), electrical.Name("allowed", listWords(catalog.Kinds())))
	}
	if _, ok := f.Stud.Diameter(); f.Stud != "" && !ok {
		in.fault("stud", "unknown_word", electrical.Name("given", r.GetStud()), electrical.Name("allowed", listWords(catalog.Studs())))
	}
	return f
}

// maxPriceText is longer than any price of a catalog.
const maxPriceText = 16

func listWords[T ~string](words []T) string {
	out := ""
	for i, w := range words {
		if i > 0 {
			out += ", "
		}
		out += string(w)
	}
	return out
}

// GetPart gives one part.
func (s *CatalogService) GetPart(_ context.Context, r *pb.GetPartRequest) (*pb.GetPartResponse, error) {
	cat := s.quoting.Current().Catalog()
	entry, ok := cat.Entry(r.GetSku())
	if !ok {
		return nil, proseFor(&cat.Shop, "", 0).notFound(pb.ErrorReason_ERROR_REASON_UNKNOWN_PART, "sku", r.GetSku())
	}
	return &pb.GetPartResponse{Part: partOut(entry, r.GetIncludeCost())}, nil
}

// ListVehicles lists the vehicles that the shop knows, by id.
func (s *CatalogService) ListVehicles(_ context.Context, r *pb.ListVehiclesRequest) (*pb.ListVehiclesResponse, error) {
	cat := s.quoting.Current().Catalog()
	p := proseFor(&cat.Shop, "", 0)
	in := newIntake(r)
	page := in.page(r.GetPageSize(), r.GetPageToken(), cat.Revision, r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	vehicles := cat.FindVehicles(r.GetText(), electrical.Category(categories.word(r.GetCategory())))
	shown, next := page.cut(len(vehicles))
	out := &pb.ListVehiclesResponse{NextPageToken: next}
	for _, v := range vehicles[shown.from:shown.to] {
		out.Vehicles = append(out.Vehicles, vehicleOut(v))
	}
	return out, nil
}

// GetVehicle gives one vehicle.
func (s *CatalogService) GetVehicle(_ context.Context, r *pb.GetVehicleRequest) (*pb.GetVehicleResponse, error) {
	cat := s.quoting.Current().Catalog()
	v, ok := cat.Vehicle(r.GetId())
	if !ok {
		return nil, proseFor(&cat.Shop, "", 0).notFound(pb.ErrorReason_ERROR_REASON_UNKNOWN_VEHICLE, "id", r.GetId())
	}
	return &pb.GetVehicleResponse{Vehicle: vehicleOut(&v)}, nil
}
