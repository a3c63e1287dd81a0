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
	Catalog *catalog.Catalog
	// Files gives the folder that Catalog was read from, as Pack does. It is asked
	// before the first quote, and what it gives is put into the store. Nil: catalogs
	// are not kept.
	Files func() ([]byte, error)
	// Store keeps the quotes. Nil: none are kept, and asking for one is ErrNoStore.
	Store Store
	Now   func() time.Time // the clock
}

// Service answers the use cases from one catalog revision. It is safe for
// concurrent use.
type Service struct {
	catalog  *catalog.Catalog
	designer *design.Designer
	files    func() ([]byte, error)
	store    Store
	now      func() time.Time
	kept     atomic.Bool // the catalog is in the store
}

// New gives a service.
func New(c Config) *Service {
	s := &Service{catalog: c.Catalog, designer: design.New(c.Catalog), files: c.Files, store: c.Store, now: c.Now}
	if s.store == nil {
		s.store = absent{}
	}
	return s
}

// Catalog gives the revision in force.
func (s *Service) Catalog() *catalog.Catalog { return s.catalog }

// Designer gives the designer over the revision in force.
func (s *Service) Designer() *design.Designer { return s.designer }

// Job is what a quote is asked for: a vehicle, by id or in full, and a system.
type Job struct {
	Vehicle   *catalog.Vehicle // nil where VehicleID names one of the catalog
	VehicleID string
	System    design.System
	Terms     pricing.Terms
}

// Preview is a priced design that nobody has stored.
type Preview struct {
	Vehicle    *catalog.Vehicle
	Design     *design.Design
	Price      *pricing.Quote
	ValidUntil time.Time
	// Low and High are what the total may come to once the lengths are measured;
	// HasRange tells that some are not.
	Low, High currency.Amount
	HasRange  bool
	// Alternatives are the layouts turned down, by price.
	Alternatives []Alternative
	Shelf        Shelf
}

// Alternative is a layout turned down, with its price before tax.
type Alternative struct {
	Layout      design.Layout
	Total       currency.Amount // the sum of its lines
	Differences []electrical.Reason
	Crowded     bool // a battery post would bear more terminals than it should
}

// Preview designs and prices a job. Malformed input gives design.Violations, a
// job that cannot be met *design.Unmet.
func (s *Service) Preview(ctx context.Context, job Job) (*Preview, error) {
	return s.preview(ctx, job, s.clock(), "")
}

// preview is Preview at a time; what is set aside for the quote of a number, which may
// be empty, counts as free.
func (s *Service) preview(ctx context.Context, job Job, at time.Time, number string) (*Preview, error) {
	vehicle, designed, err := s.Design(job)
	if err != nil {
		return nil, err
	}
	price, err := pricing.Price(s.catalog, designed, job.Terms)
	if err != nil {
		return nil, err
	}
	alternatives, err := s.price(designed.Alternatives, job.Terms)
	if err != nil {
		return nil, err
	}
	preview := &Preview{Vehicle: vehicle, Design: designed, Price: price, Alternatives: alternatives}
	preview.ValidUntil = at.AddDate(0, 0, s.catalog.Shop.ValidityDays)
	if err := s.span(preview, job); err != nil {
		return nil, err
	}
	return preview, s.onShelf(ctx, preview, job, number)
}

// Allowances between which a route that nobody measured will turn out: none, and
// the one for lengths estimated on the phone (common practice, no source).
const (
	shortestRoutes quantity.Percent = 0
	longestRoutes  quantity.Percent = 20
)

// span works out between what the total may lie while lengths are not measured. An
// end of the span that cannot be designed leaves it open.
func (s *Service) span(p *Preview, job Job) error {
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
		designed, err := s.designer.Design(p.Vehicle, job.System)
		if err != nil {
			return nil //nolint:nilerr // the quote stands; only its span is open
		}
		price, err := pricing.Price(s.catalog, designed, job.Terms)
		if err != nil {
			return err
		}
		ends[i] = price.Totals.Total
	}
	p.Low, p.High, p.HasRange = ends[0], ends[1], true
	return nil
}

// price prices the layouts turned down.
func (s *Service) price(list []design.Alternative, terms pricing.Terms) ([]Alternative, error) {
	var out []Alternative
	for _, a := range list {
		quote, err := pricing.Price(s.catalog, a.Design, terms)
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

// Design sizes the system of a job.
func (s *Service) Design(job Job) (*catalog.Vehicle, *design.Design, error) {
	vehicle, bad := s.VehicleOf(job)
	if len(bad) > 0 {
		return nil, nil, bad
	}
	designed, err := s.designer.Design(vehicle, job.System)
	return vehicle, designed, err
}

// VehicleOf gives the vehicle of a job: the one in full, else the catalog's by id.
// Both or neither, or an id that the catalog lacks, gives design.Violations.
func (s *Service) VehicleOf(job Job) (*catalog.Vehicle, design.Violations) {
	switch {
	case job.Vehicle != nil && job.VehicleID != "":
		return nil, violation("vehicle_id", "vehicle_twice")
	case job.Vehicle != nil:
		return job.Vehicle, nil
	case job.VehicleID == "":
		return nil, violation("vehicle_id", "vehicle_missing")
	}
	v, ok := s.catalog.Vehicle(job.VehicleID)
	if !ok {
		return nil, violation("vehicle_id", "unknown_vehicle", electrical.Name("given", job.VehicleID))
	}
	return &v, nil
}

func violation(field, code string, figures ...electrical.Figure) design.Violations {
	return design.Violations{{Field: field, Code: code, Figures: figures}}
}

// Check gives every fault of a job without designing it.
func (s *Service) Check(job Job) design.Violations {
	vehicle, bad := s.VehicleOf(job)
	if len(bad) > 0 {
		return bad
	}
	return s.designer.Validate(vehicle, job.System)
}
