package quoting

import (
	"context"
	"errors"
	"fmt"
	"sync/atomic"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/pricing"
)

// Edition is one revision of the catalog, ready to work from. It never changes: a use
// case takes one when it begins and keeps to it, whatever is put in force meanwhile.
// It is safe for concurrent use.
type Edition struct {
	catalog  *catalog.Catalog
	designer *design.Designer
	// files gives the catalog's folder, packed; nil where it is in the store, or is
	// not kept at all.
	files func() ([]byte, error)
	kept  atomic.Bool // it is in the store
}

func newEdition(cat *catalog.Catalog, files func() ([]byte, error)) *Edition {
	return &Edition{catalog: cat, designer: design.New(cat), files: files}
}

// Catalog gives the catalog.
func (e *Edition) Catalog() *catalog.Catalog { return e.catalog }

// Designer gives the designer over the catalog.
func (e *Edition) Designer() *design.Designer { return e.designer }

// Revision gives the hash of the catalog's content.
func (e *Edition) Revision() string { return e.catalog.Revision }

// Design sizes the system of a job.
func (e *Edition) Design(job Job) (*catalog.Vehicle, *design.Design, error) {
	vehicle, bad := e.VehicleOf(job)
	if len(bad) > 0 {
		return nil, nil, bad
	}
	designed, err := e.designer.Design(vehicle, job.System)
	return vehicle, designed, err
}

// VehicleOf gives the vehicle of a job: the one in full, else the catalog's by id.
// Both or neither, or an id that the catalog lacks, gives design.Violations.
func (e *Edition) VehicleOf(job Job) (*catalog.Vehicle, design.Violations) {
	switch {
	case job.Vehicle != nil && job.VehicleID != "":
		return nil, violation("vehicle_id", "vehicle_twice")
	case job.Vehicle != nil:
		return job.Vehicle, nil
	case job.VehicleID == "":
		return nil, violation("vehicle_id", "vehicle_missing")
	}
	v, ok := e.catalog.Vehicle(job.VehicleID)
	if !ok {
		return nil, violation("vehicle_id", "unknown_vehicle", electrical.Name("given", job.VehicleID))
	}
	return &v, nil
}

func violation(field, code string, figures ...electrical.Figure) design.Violations {
	return design.Violations{{Field: field, Code: code, Figures: figures}}
}

// Check gives every fault of a job without designing it.
func (e *Edition) Check(job Job) design.Violations {
	vehicle, bad := e.VehicleOf(job)
	if len(bad) > 0 {
		return bad
	}
	return e.designer.Validate(vehicle, job.System)
}

func (e *Edition) preview(job Job, at time.Time) (*Preview, error) {
	vehicle, designed, err := e.Design(job)
	if err != nil {
		return nil, err
	}
	price, err := pricing.Price(e.catalog, designed, job.Terms)
	if err != nil {
		return nil, err
	}
	alternatives, err := e.price(designed.Alternatives, job.Terms)
	if err != nil {
		return nil, err
	}
	preview := &Preview{Edition: e, Vehicle: vehicle, Design: designed, Price: price, Alternatives: alternatives}
	preview.ValidUntil = at.AddDate(0, 0, e.catalog.Shop.ValidityDays)
	return preview, e.span(preview, job)
}

// keep puts the edition's catalog into the store before the first quote from it, so
// that it can be read back as long as the quote is kept. It does not put it in force:
// that is for Import.
func (s *Service) keep(ctx context.Context, e *Edition, caller string, at time.Time) error {
	if e.files == nil || e.kept.Load() {
		return nil
	}
	packed, err := e.files()
	if err != nil {
		return err
	}
	if _, err := readBack(packed, e.Revision()); err != nil {
		return err
	}
	err = s.store.Update(ctx, func(w Writer) error {
		return addOnce(w, CatalogRevision{Revision: e.Revision(), CreateTime: at, Caller: caller, Files: packed})
	})
	e.kept.Store(err == nil)
	return err
}

// addOnce stores a revision of the catalog unless it is there already.
func addOnce(w Writer, c CatalogRevision) error {
	if err := w.AddCatalog(c); err != nil && !errors.Is(err, ErrExists) {
		return fmt.Errorf("keep catalog %s: %w", c.Revision, err)
	}
	return nil
}
