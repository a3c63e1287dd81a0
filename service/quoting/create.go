package quoting

import (
	"context"
	"fmt"
	"strconv"
	"time"

	"example.com/lugbook/service/design"
)

// Draft is a job to be quoted and stored. The service reads the job; what it keeps
// of it are bytes that only those read who handed them in.
type Draft struct {
	Job      Job
	Customer Contact // without its words
	Language string  // of the prose, BCP 47
	Format   int     // of the bytes
	Asked    []byte  // the job, without personal data
	Personal []byte  // the customer and the remarks
	// Encode gives the whole reply, without personal data and without what a Head
	// holds.
	Encode func(*Preview) ([]byte, error)
}

// Create designs and prices a job, and stores it under the next number. The draft is
// asked for only where the request is new: one that was answered before is answered
// alike, whatever has become of the catalog since.
func (s *Service) Create(ctx context.Context, q Request, draft func(context.Context) (Draft, error)) (Stored, error) {
	if stored, ok, err := s.again(ctx, q); ok || err != nil {
		return stored, err
	}
	d, err := draft(ctx)
	if err != nil {
		return Stored{}, err
	}
	at := s.clock()
	made, err := s.make(ctx, d, at)
	if err != nil {
		return Stored{}, err
	}
	if err := s.keepCatalog(ctx, q.Caller, at); err != nil {
		return Stored{}, err
	}
	return s.once(ctx, q, func(w Writer) (Stored, error) { return s.add(w, q, made) }, nil)
}

// again gives what was answered to a request before; false where it is new.
func (s *Service) again(ctx context.Context, q Request) (stored Stored, ok bool, err error) {
	err = s.store.View(ctx, func(r Reader) error {
		var err error
		stored, ok, err = answered(r, q)
		return err
	})
	return stored, ok, err
}

// make works out what is stored of a draft, all but its place in the store.
func (s *Service) make(ctx context.Context, d Draft, at time.Time) (Stored, error) {
	p, err := s.preview(ctx, d.Job, at, "")
	if err != nil {
		return Stored{}, err
	}
	snapshot, err := d.Encode(p)
	if err != nil {
		return Stored{}, fmt.Errorf("encode the quote: %w", err)
	}
	total := p.Price.Totals.Total
	return Stored{
		Head: Head{State: Open, Customer: d.Customer.withWords(), VehicleID: p.Vehicle.ID, VehicleLabel: p.Vehicle.Label, VehicleWords: Words(p.Vehicle.ID, p.Vehicle.Label),
			Total: total.Number(), Currency: total.CurrencyCode(), UpdateTime: at, ValidUntil: p.ValidUntil, Words: s.equipmentWords(d.Job)},
		Revision: Revision{CreateTime: at, Format: d.Format, Snapshot: snapshot, Job: d.Asked, Personal: d.Personal, RulesVersion: design.RulesVersion,
			CatalogRevision: s.catalog.Revision, Language: d.Language, TimeZone: s.catalog.Shop.TimeZone.String()},
		State: Open,
	}, nil
}

// equipmentWords gives the words of what is to be fed.
func (s *Service) equipmentWords(job Job) []string {
	var texts []string
	for i := range job.System.Devices {
		d := &job.System.Devices[i]
		texts = append(texts, d.ID, d.Label, string(d.Kind), d.EquipmentSKU)
		if part, ok := s.catalog.Device(d.EquipmentSKU); ok {
			texts = append(texts, part.Description)
		}
	}
	return Words(texts...)
}

// numberWords gives the words that a number is found by: as it is spelled, and its
// running part without the zeros.
func numberWords(h Head) []string { return Words(h.Number, strconv.FormatInt(h.Running, 10)) }

// add gives what was made the next number and stores it.
func (s *Service) add(w Writer, q Request, made Stored) (Stored, error) {
	running, err := w.NextRunning()
	if err != nil {
		return Stored{}, err
	}
	h, r := made.Head, made.Revision
	h.Number, h.Running = numberOf(h.UpdateTime.In(s.catalog.Shop.TimeZone), running), running
	h.Revision, h.Version, h.CreateTime = 1, 1, h.UpdateTime
	h.Words = unique(numberWords(h), h.Words)
	r.Number, r.Revision = h.Number, h.Revision
	if err := w.AddQuote(h); err != nil {
		return Stored{}, err
	}
	if err := w.AddRevision(r); err != nil {
		return Stored{}, err
	}
	return Stored{h, r, Open}, remember(w, q, DeedCreated, h)
}
