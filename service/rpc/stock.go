package rpc

import (
	"context"
	"errors"
	"math"
	"slices"
	"strings"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
	"example.com/lugbook/service/quoting"

	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/proto"
)

// Limits of what may be counted, as the contract states them.
const (
	maxStock     = 1_000_000_000
	maxStockNote = 500
)

// adjustments says which movement an adjustment is.
var adjustments = map[pb.StockAdjustment]quoting.MovementKind{
	pb.StockAdjustment_STOCK_ADJUSTMENT_COUNTED:  quoting.Counted,
	pb.StockAdjustment_STOCK_ADJUSTMENT_RECEIVED: quoting.Received,
}

// AdjustStock writes down what was counted or received of a part.
func (s *CatalogService) AdjustStock(ctx context.Context, r *pb.AdjustStockRequest) (*pb.AdjustStockResponse, error) {
	p := proseFor(&s.quoting.Current().Catalog().Shop, "", 0)
	in := newIntake(r)
	request, adjustment := in.request(ctx, r), in.adjustment(r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	now, err := s.quoting.AdjustStock(ctx, request, adjustment)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	return &pb.AdjustStockResponse{Balance: balance(&now)}, nil
}

func (in *intake) adjustment(r *pb.AdjustStockRequest) quoting.Adjustment {
	kind, ok := adjustments[r.GetAdjustment()]
	if !ok {
		in.fault("adjustment", "unknown_word", electrical.Name("given", strings.ToLower(strings.TrimPrefix(r.GetAdjustment().String(), "STOCK_ADJUSTMENT_"))),
			electrical.Name("allowed", listWords([]quoting.MovementKind{quoting.Counted, quoting.Received})))
	}
	if r.GetSku() == "" {
		in.fault("sku", "required")
	}
	if q := r.GetQuantity(); !math.IsInf(q, 0) && (q < 0 || q > maxStock) { // what is not finite is told already
		in.fault("quantity", "range", electrical.Num("given", q, electrical.UnitFactor), electrical.Num("low", 0, electrical.UnitCount), electrical.Num("high", maxStock, electrical.UnitCount))
	}
	in.text("note", r.GetNote(), maxStockNote)
	return quoting.Adjustment{SKU: r.GetSku(), Kind: kind, Quantity: decimal(r.GetQuantity()), Unit: pricing.Unit(r.GetUnit()), Note: r.GetNote()}
}

func balance(b *quoting.PartStock) *pb.StockBalance {
	out := &pb.StockBalance{Sku: b.SKU, Description: b.Description, Unit: string(b.Unit), Reserved: b.Reserved.Units()}
	if b.Counted {
		out.OnHand, out.Free = proto.Float64(b.OnHand.Units()), proto.Float64(b.Free().Units())
	}
	return out
}

// ListStock lists what is on hand and what is set aside.
func (s *CatalogService) ListStock(ctx context.Context, r *pb.ListStockRequest) (*pb.ListStockResponse, error) {
	p := proseFor(&s.quoting.Current().Catalog().Shop, "", 0)
	in := newIntake(r)
	page := in.page(r.GetPageSize(), r.GetPageToken(), "", r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	list, err := s.quoting.ListStock(ctx)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	shown, next := page.cut(len(list))
	out := &pb.ListStockResponse{NextPageToken: next, TotalSize: int32(len(list))}
	for i := shown.from; i < shown.to; i++ {
		out.Balances = append(out.Balances, balance(&list[i]))
	}
	return out, nil
}

// ListShortages lists what is short, and what to buy.
func (s *CatalogService) ListShortages(ctx context.Context, r *pb.ListShortagesRequest) (*pb.ListShortagesResponse, error) {
	cat := s.quoting.Current().Catalog()
	p := proseFor(&cat.Shop, "", 0)
	in := newIntake(r)
	page := in.page(r.GetPageSize(), r.GetPageToken(), cat.Revision, r)
	if len(in.bad) > 0 {
		return nil, p.invalid(in.bad, "")
	}
	found, err := s.quoting.ListShortages(ctx, r.GetIncludeOpen(), partsOf)
	if err != nil {
		return nil, p.statusOf(err, "")
	}
	shown, next := page.cut(len(found.Parts))
	out := &pb.ListShortagesResponse{NextPageToken: next, TotalSize: int32(len(found.Parts)), UncountedCount: int32(found.Uncounted)}
	for i := shown.from; i < shown.to; i++ {
		out.Shortages = append(out.Shortages, stockShortage(&found.Parts[i], r.GetIncludeCost()))
	}
	for _, o := range found.Suppliers {
		order := &pb.SupplierOrder{Supplier: o.Supplier, PartCount: int32(o.Parts)}
		if r.GetIncludeCost() && o.HasCost {
			order.Cost = money(o.Cost)
		}
		out.Suppliers = append(out.Suppliers, order)
	}
	return out, nil
}

func stockShortage(s *quoting.ShortPart, withCost bool) *pb.StockShortage {
	out := &pb.StockShortage{Sku: s.SKU, Description: s.Description, Unit: string(s.Unit), OnHand: s.OnHand.Units(), Reserved: s.Reserved.Units(), Open: s.Open.Units(),
		Missing: s.Missing.Units(), Supplier: s.Supplier, OrderQuantity: float64(s.Order), OrderUnit: string(s.OrderUnit)}
	if withCost && s.HasCost {
		out.Cost = money(s.Cost)
	}
	return out
}

// inStock gives the parts of which some is on hand and not set aside.
func (s *CatalogService) inStock(ctx context.Context, entries []any) ([]any, error) {
	free, err := s.quoting.StockOf(ctx, nil)
	if err != nil {
		return nil, err
	}
	return slices.DeleteFunc(entries, func(e any) bool {
		stock := free[partOut(e, false).GetSku()]
		return !stock.Counted || stock.Free() <= 0
	}), nil
}

// countParts adds what is on hand to a page of parts. The page is worth having without
// it, so a store that cannot be asked is told of and no more.
func (s *CatalogService) countParts(ctx context.Context, page *pb.ListPartsResponse) error {
	skus := make([]string, 0, len(page.GetParts()))
	for _, p := range page.GetParts() {
		skus = append(skus, p.GetSku())
	}
	stock, err := s.quoting.StockOf(ctx, skus)
	switch {
	case errors.Is(err, quoting.ErrNoStore):
		return nil
	case ctx.Err() != nil:
		return ctx.Err()
	}
	page.StockUnknown = err != nil
	for _, p := range page.GetParts() {
		if stock[p.GetSku()].Counted {
			p.OnHand = proto.Float64(stock[p.GetSku()].OnHand.Units())
		}
	}
	return nil
}

// unknownPart names the part that was probably meant.
func (p prose) unknownPart(e *quoting.UnknownPartError) error {
	if e.Nearest == "" {
		return p.notFound(pb.ErrorReason_ERROR_REASON_UNKNOWN_PART, "sku", e.SKU)
	}
	message := p.Say("error.unknown_part_near", electrical.Name("given", e.SKU), electrical.Name("meant", e.Nearest))
	return withDetails(codes.NotFound, message, infoOf(pb.ErrorReason_ERROR_REASON_UNKNOWN_PART, map[string]string{"sku": e.SKU, "nearest": e.Nearest}))
}

// wrongUnit says in which units the part comes.
func (p prose) wrongUnit(e *quoting.UnitError) error {
	figures := []electrical.Figure{electrical.Name("given", string(e.Unit))}
	if len(e.Allowed) > 0 {
		figures = append(figures, electrical.Name("allowed", listWords(e.Allowed)))
	}
	return p.invalid(design.Violations{{Field: "unit", Code: "part_unit", Figures: figures}}, "")
}
