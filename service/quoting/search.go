package quoting

import (
	"context"
	"errors"
	"fmt"
	"maps"
	"slices"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/pricing"
)

// mostDesigns bounds how often a job is designed anew in search of substitutes, so
// that a quote takes at most so many times longer (own choice). What is short then
// stays short.
const mostDesigns = 12

// search looks for a way to build a job without the parts that are short: it leaves
// them out of the catalog and designs anew, until nothing is short that can be done
// without.
type search struct {
	edition *Edition
	job     Job
	vehicle *catalog.Vehicle
	stock   map[string]Stock
	without map[string]bool // left out of the catalog
	stays   map[string]bool // short, and the job cannot be met without it
	tries   int
}

// run gives the way found; nil where every part that is short has to stay.
func (f *search) run(ctx context.Context, p *Preview, missing map[string]Thousandths) (*Way, error) {
	best := &Way{Design: p.Design, Price: p.Price, short: missing, was: rolesOf(p.Design)}
	best.now = best.was
	for {
		open := f.open(best.short)
		if len(open) == 0 || f.tries >= mostDesigns {
			break
		}
		next, err := f.replace(ctx, best, open)
		if err != nil {
			return nil, err
		}
		if next != nil {
			best = next
		}
	}
	if len(f.without) == 0 {
		return nil, nil //nolint:nilnil // no way is an answer
	}
	best.Complete = len(best.short) == 0
	best.Total = best.Price.Totals.Total
	var err error
	if best.Difference, err = best.Total.Sub(p.Price.Totals.Total); err != nil {
		return nil, fmt.Errorf("what the job differs by: %w", err)
	}
	return best, nil
}

// open lists what is short and was not found to have to stay. A device is what the
// job is about: nothing takes its place.
func (f *search) open(short map[string]Thousandths) []string {
	var open []string
	for _, sku := range slices.Sorted(maps.Keys(short)) {
		if part, ok := f.edition.Catalog().Part(sku); !ok || part.Kind == catalog.KindEquipment {
			f.stays[sku] = true
		}
		if !f.stays[sku] {
			open = append(open, sku)
		}
	}
	return open
}

// replace leaves out all of some parts at once, or else one after the other those that
// the job can be met without; nil where it is none.
func (f *search) replace(ctx context.Context, best *Way, open []string) (*Way, error) {
	next, err := f.try(ctx, best, open...)
	if next != nil || err != nil {
		return next, err
	}
	if len(open) == 1 {
		f.stays[open[0]] = true
		return nil, nil //nolint:nilnil // none is an answer
	}
	for _, sku := range open {
		if f.tries >= mostDesigns {
			break
		}
		without, err := f.try(ctx, best, sku)
		switch {
		case err != nil:
			return nil, err
		case without == nil:
			f.stays[sku] = true
		default:
			best, next = without, without
		}
	}
	return next, nil
}

// try designs the job without some more parts; nil where it cannot be met so.
func (f *search) try(ctx context.Context, best *Way, skus ...string) (*Way, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	f.tries++
	without := maps.Clone(f.without)
	for _, sku := range skus {
		without[sku] = true
	}
	view := f.edition.Catalog().Without(without)
	designed, err := design.New(view).Design(f.vehicle, f.job.System)
	var unmet *design.Unmet
	var bad design.Violations
	switch {
	case errors.As(err, &unmet), errors.As(err, &bad):
		return nil, nil //nolint:nilnil // it has to stay
	case err != nil:
		return nil, err
	}
	way := &Way{Design: designed, was: best.was, now: rolesOf(designed)}
	if !lasting(view, way, f.edition.Catalog(), without) {
		return nil, nil //nolint:nilnil // likewise
	}
	if way.Price, err = pricing.Price(view, designed, f.job.Terms); err != nil {
		return nil, err
	}
	needs, err := needsOf(way.Price)
	if err != nil {
		return nil, err
	}
	way.short, f.without = missingOf(needs, f.stock), without
	return way, nil
}

// lasting tells that every sundry that was left out has a successor at least as wide
// in the same place, as far as the circuit is still there. A design makes do without
// clamps and the like where a shop has none; where it has run out of them, that is no
// substitute.
func lasting(view *catalog.Catalog, way *Way, whole *catalog.Catalog, without map[string]bool) bool {
	circuits := map[string]bool{}
	for r := range way.now {
		circuits[r.circuit] = true
	}
	for r, p := range way.was {
		if !without[p.SKU] || p.Kind != catalog.KindSundry || !circuits[r.circuit] {
			continue
		}
		now := way.now[r]
		if now == nil || boreOf(view, now.SKU) < boreOf(whole, p.SKU) {
			return false
		}
	}
	return true
}

// boreOf gives the inner diameter of a sundry in mm.
func boreOf(cat *catalog.Catalog, sku string) float64 {
	entry, _ := cat.Entry(sku)
	if sundry, ok := entry.(*catalog.Sundry); ok {
		return float64(sundry.Inner)
	}
	return 0
}
