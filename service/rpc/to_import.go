package rpc

import (
	"math"
	"slices"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/proto"
)

// maxListed is how many changes of one sort a reply lists: what a person may still read
// through. Counts tell of the rest.
const maxListed = 1000

// importedOut tells what an import changed.
func (p prose) importedOut(done *quoting.Imported) *pb.ImportCatalogResponse {
	d := done.Difference
	out := &pb.ImportCatalogResponse{
		CatalogRevision: done.After.Revision, PreviousRevision: done.Before.Revision, Unchanged: done.Unchanged, PartCount: int32(done.After.PartCount()), Slips: faultsOut(done.After.Advice),
		Parts: changesOut(d.Parts), Operations: changesOut(d.Operations), Vehicles: changesOut(d.Vehicles), ShopChanged: d.Shop, PriceCount: int32(len(d.Prices)), NewlyUncovered: p.findings(done.Uncovered),
	}
	for _, m := range furthest(d.Prices) {
		part, _ := done.After.Part(m.SKU)
		move := &pb.PriceMove{Sku: m.SKU, Description: part.Description, Before: money(m.Old), After: money(m.New)}
		if m.HasPercent {
			move.Percent = proto.Float64(float64(m.Percent))
		}
		out.Prices = append(out.Prices, move)
	}
	return out
}

// furthest gives the prices that move furthest first, up or down; those that cannot be
// told in percent before all others.
func furthest(moves []catalog.PriceMove) []catalog.PriceMove {
	how := func(m catalog.PriceMove) float64 {
		if !m.HasPercent {
			return math.Inf(1)
		}
		return math.Abs(float64(m.Percent))
	}
	sorted := slices.Clone(moves)
	slices.SortStableFunc(sorted, func(a, b catalog.PriceMove) int {
		switch {
		case how(a) > how(b):
			return -1
		case how(a) < how(b):
			return 1
		}
		return 0
	})
	return sorted[:min(len(sorted), maxListed)]
}

func changesOut(c catalog.Changes) *pb.CatalogChanges {
	some := func(names []string) []string { return names[:min(len(names), maxListed)] }
	return &pb.CatalogChanges{Added: some(c.Added), Changed: some(c.Changed), Withdrawn: some(c.Withdrawn),
		AddedCount: int32(len(c.Added)), ChangedCount: int32(len(c.Changed)), WithdrawnCount: int32(len(c.Withdrawn))}
}
