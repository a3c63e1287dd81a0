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
	Edition  *Edition // to make it from; nil means the one in force
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
	made, err := s.make(ctx, q, d, at)
	if err != nil {
		return Stored{}, err
	}
	return s.once(ctx, q, func(w Writer) (Stored, error) { return add(w, q, made.Stored, made.zone) }, nil)
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

// made is a quote without its place in the store, and where the shop counts its days.
type made struct {
	Stored
	zone *time.Location
}

// make works out what is stored of a draft, all but its place in the store, and keeps
// the catalog that it comes from.
func (s *Service) make(ctx context.Context, q Request, d Draft, at time.Time) (made, error) {
	e := d.Edition
	if e == nil {
		e = s.Current()
	}
	p, err := s.preview(ctx, e, d.Job, at, "")
	if err != nil {
		return made{}, err
	}
	stored, err := e.stored(d, p, at)
	if err != nil {
		return made{}, err
	}
	return made{stored, e.catalog.Shop.TimeZone}, s.keep(ctx, e, q.Caller, at)
}

func (e *Edition) stored(d Draft, p *Preview, at time.Time) (Stored, error) {
	snapshot, err := d.Encode(p)
	if err != nil {
		return Stored{}, fmt.Errorf("encode the quote: %w", err)
	}
	total := p.Price.Totals.Total
	return Stored{
		Head: Head{State: Open, Customer: d.Customer.withWords(), VehicleID: p.Vehicle.ID, VehicleLabel: p.Vehicle.Label, VehicleWords: Words(p.Vehicle.ID, p.Vehicle.Label),
			Total: total.Number(), Currency: total.CurrencyCode(), UpdateTime: at, ValidUntil: p.ValidUntil, Words: e.equipmentWords(d.Job)},
		Revision: Revision{CreateTime: at, Format: d.Format, Snapshot: snapshot, Job: d.Asked, Personal: d.Personal, RulesVersion: design.RulesVersion,
			CatalogRevision: e.catalog.Revision, Language: d.Language, TimeZone: e.catalog.Shop.TimeZone.String()},
		State: Open,
	}, nil
}

// equipmentWords gives the words of what is to be fed.
func (e *Edition) equipmentWords(job Job) []string {
	var texts []string
	for i := range job.System.Devices {
		d := &job.System.Devices[i]
		texts = append(texts, d.ID, d.Label, string(d.Kind), d.EquipmentSKU)
		if part, ok := e.catalog.Device(d.EquipmentSKU); ok {
			texts = append(texts, part.Description)
		}
	}
	return Words(texts...)
}

// numberWords gives the words that a number is found by: as it is spelled, and its
// running part without the zeros.
func numberWords(h Head) []string { return Words(h.Number, strconv.FormatInt(h.Running, 10)) }

// add gives what was made the next number and stores it.
func add(w Writer, q Request, made Stored, zone *time.Location) (Stored, error) {
	running, err := w.NextRunning()
	if err != nil {
		return Stored{}, err
	}
	h, r := made.Head, made.Revision
	h.Number, h.Running = numberOf(h.UpdateTime.In(zone), running), running
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
