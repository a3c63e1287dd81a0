package guide

import (
	"context"
	"errors"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/prompt"
)

// Guide leads from an empty job to a stored quote.
type Guide struct {
	Asker   prompt.Asker
	Catalog lugbookv1.CatalogServiceClient
	// Preview reckons a job and gives what to show of it.
	Preview func(ctx context.Context, job *lugbookv1.Job) (Preview, error)
	// Save stores the quote of a job.
	Save func(ctx context.Context, job *lugbookv1.Job) error
	// Refused gives the words for an error of Preview or Save that the person can
	// do something about, ending with a line feed; empty where they cannot.
	Refused func(err error) string
}

// Preview is what a job comes to, before it is stored.
type Preview struct {
	Total string // what the customer pays
	Short string // the sums, some lines
	Whole string // the whole quote
}

// Given tells which parts of the job were given beforehand and are not asked for.
type Given struct {
	Vehicle, Equipment, Terms, Customer bool
	Save                                bool // store it without asking
}

// Parts of the conversation, in their order.
const (
	stepVehicle = iota
	stepEquipment
	stepTerms
	stepCustomer
	stepReview
)

// draft is what was answered so far.
type draft struct {
	job     *lugbookv1.Job
	vehicle *lugbookv1.Vehicle // the one of the job, in full, once it was asked for
	parts   []*lugbookv1.Part  // the shop's equipment, once it was asked for
}

// changeError sends back to one part of the conversation.
type changeError struct{ step int }

// Error is never shown.
func (*changeError) Error() string { return "change an answer" }

// Run asks for what is not given, shows what it comes to and stores it. The job
// holds what was given and then what was answered. The error is
// [prompt.ErrStopped] where the person leaves, and then nothing is stored.
func (g *Guide) Run(ctx context.Context, job *lugbookv1.Job, given Given) error {
	d := &draft{job: job}
	if job.System == nil {
		job.System = &lugbookv1.System{}
	}
	steps := []func(context.Context, *draft, bool) error{g.askVehicle, g.askEquipment, g.askTerms, g.askCustomer, func(ctx context.Context, d *draft, _ bool) error {
		return g.review(ctx, d, given.Save)
	}}
	skip := []bool{given.Vehicle, given.Equipment, given.Terms, given.Customer, false}
	return walk(ctx, d, steps, skip)
}

// walk goes through the steps, back and forth, until the last is done.
func walk(ctx context.Context, d *draft, steps []func(context.Context, *draft, bool) error, skip []bool) error {
	last := len(steps) - 1
	first := 0
	for first < last && skip[first] {
		first++
	}
	changing := false // a person who changes one answer comes back to the review
	for at := first; ; {
		err := steps[at](ctx, d, at == first && !changing)
		var change *changeError
		switch {
		case errors.As(err, &change):
			at, changing = change.step, true
		case errors.Is(err, prompt.ErrBack) && changing:
			at, changing = last, false
		case errors.Is(err, prompt.ErrBack):
			at = asked(skip, at, -1, first)
		case err != nil:
			return err
		case at == last:
			return nil
		case changing:
			at, changing = last, false
		default:
			at = asked(skip, at, 1, last)
		}
	}
}

// asked gives the next step in a direction that is not skipped; the end at the
// latest.
func asked(skip []bool, at, direction, end int) int {
	for at != end {
		at += direction
		if !skip[at] {
			break
		}
	}
	return at
}
