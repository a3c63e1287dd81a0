package quoting

import (
	"slices"
	"time"
)

// Expired is where a quote stands that is open in the store and whose prices no
// longer hold. It is never stored.
const Expired State = "expired"

// States lists where a quote can stand.
func States() []State { return []State{Open, Accepted, Declined, Withdrawn, Expired} }

// Deeds lists what can be done to a quote.
func Deeds() []Deed {
	return []Deed{DeedCreated, DeedRevised, DeedAccepted, DeedDeclined, DeedWithdrawn, DeedErased}
}

// Standing tells where a quote stands at a time.
func (h Head) Standing(at time.Time) State {
	if h.State == Open && h.ValidUntil.Before(at) {
		return Expired
	}
	return h.State
}

// step is one deed: from which states it may be done and to which it leads.
type step struct {
	from []State
	to   State
}

// steps is the whole life of a quote. What is not here needs no state.
var steps = map[Deed]step{
	DeedRevised:   {[]State{Open, Expired, Declined}, Open},
	DeedAccepted:  {[]State{Open}, Accepted},
	DeedDeclined:  {[]State{Open, Expired}, Declined},
	DeedWithdrawn: {[]State{Open, Expired, Declined, Accepted}, Withdrawn},
}

// admit refuses a deed that was decided on an older state of the quote, or that
// where it stands does not allow.
func (h Head) admit(deed Deed, etag string, at time.Time) error {
	if etag != "" && etag != h.ETag() {
		return &ChangedError{h.Number, h.ETag()}
	}
	if state := h.Standing(at); !slices.Contains(steps[deed].from, state) {
		return &StateError{h.Number, state, deed}
	}
	return nil
}

// in gives the stored states that make up a state at a time.
func (s State) in(at time.Time) StateAt {
	switch s {
	case Open:
		return StateAt{State: Open, ValidFrom: at}
	case Expired:
		return StateAt{State: Open, ValidBefore: at}
	}
	return StateAt{State: s}
}
