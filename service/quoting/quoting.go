package quoting

import (
	"context"
	"sync/atomic"
	"time"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"

	"github.com/bojanz/currency"
)

// Config is what a service is made from.
type Config struct {
	// Catalog is what is quoted from while the store has no catalog in force.
	Catalog *catalog.Catalog
	// Files gives the folder that Catalog was read from, as Pack does. It is asked
	// before the first quote, and what it gives is put into the store. Nil: Catalog is
	// not kept.
	Files func() ([]byte, error)
	// Fixed tells that Catalog was chosen by whoever runs the service: it answers
	// whatever the store has in force, and importing another is refused.
	Fixed bool
	// Store keeps the quotes. Nil: none are kept, and asking for one is ErrNoStore.
	Store Store
	Now   func() time.Time // the clock
}

// Service answers the use cases, each from one edition of the catalog. It is safe for
// concurrent use.
type Service struct {
	own      *Edition // of Config.Catalog
	fixed    bool
	current  atomic.Pointer[Edition]
	editions editions
	turn     following
	store    Store
	now      func() time.Time
}

// New gives a service that works from Config.Catalog until Follow finds another one in
// force.
func New(c Config) *Service {
	s := &Service{own: newEdition(c.Catalog, c.Files), fixed: c.Fixed, store: c.Store, now: c.Now}
	s.current.Store(s.own)
	if s.store == nil {
		s.store = absent{}
	}
	return s
}

// Current gives the edition in force.
func (s *Service) Current() *Edition { return s.current.Load() }

// Job is what a quote is asked for: a vehicle, by id or in full, and a system.
type Job struct {
	Vehicle   *catalog.Vehicle // nil where VehicleID names one of the catalog
	VehicleID string
	System    design.System
	Terms     pricing.Terms
}

// Preview is a priced design that nobody has stored.
type Preview struct {
	Edition    *Edition // what it was made from
	Vehicle    *catalog.Vehicle
	Design     *design.Design
	Price      *pricing.Quote
	Shelf      Shelf
	ValidUntil time.Time
	// Low and High are what the total may come to once the lengths are measured;
	// HasRange tells that some are not.
	Low, High currency.Amount
	HasRange  bool
	// Alternatives are the layouts turned down, by price.
	Alternatives []Alternative
}

// Alternative is a layout turned down, with its price before tax.
type Alternative struct {
	Layout      design.Layout
	Total       currency.Amount // the sum of its lines
	Differences []electrical.Reason
	Crowded     bool // a battery post would bear more terminals than it should
}

// Preview designs and prices a job from an edition of the catalog. Malformed input
// gives design.Violations, a job that cannot be met *design.Unmet.
func (s *Service) Preview(ctx context.Context, e *Edition, job Job) (*Preview, error) {
	return s.preview(ctx, e, job, s.clock(), "")
}

// preview is Preview at a time; what is set aside for the quote of a number, which may
// be empty, counts as free.
func (s *Service) preview(ctx context.Context, e *Edition, job Job, at time.Time, number string) (*Preview, error) {
	p, err := e.preview(job, at)
	if err != nil {
		return nil, err
	}
	return p, s.onShelf(ctx, p, job, number)
}

// Allowances between which a route that nobody measured will turn out: none, and
// the one for lengths estimated on the phone (common practice, no source).
const (
	shortestRoutes quantity.Percent = 0
	longestRoutes  quantity.Percent = 20
)

// span works out between what the total may lie while lengths are not measured. An
// end of the span that cannot be designed leaves it open.
func (e *Edition) span(p *Preview, job Job) error {
	measured := true
	for i := range job.System.Devices {
		measured = measured && job.System.Devices[i].HasMeasured
	}
	if measured {
		return nil
	}
	var ends [2]currency.Amount
	for i, allowance := range []quantity.Percent{shortestRoutes, longestRoutes} {
		job.System.RouteAllowance = &allowance
		designed, err := e.designer.Design(p.Vehicle, job.System)
		if err != nil {
			return nil //nolint:nilerr // the quote stands; only its span is open
		}
		price, err := pricing.Price(e.catalog, designed, job.Terms)
		if err != nil {
			return err
		}
		ends[i] = price.Totals.Total
	}
	p.Low, p.High, p.HasRange = ends[0], ends[1], true
	return nil
}

// price prices the layouts turned down.
func (e *Edition) price(list []design.Alternative, terms pricing.Terms) ([]Alternative, error) {
	var out []Alternative
	for _, a := range list {
		quote, err := pricing.Price(e.catalog, a.Design, terms)
		if err != nil {
			return nil, err
		}
		total, err := quote.BeforeTax()
		if err != nil {
			return nil, err
		}
		out = append(out, Alternative{Layout: a.Design.Layout, Total: total, Differences: a.Differences, Crowded: a.Design.Crowded})
	}
	return out, nil
}
