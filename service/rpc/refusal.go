package rpc

import (
	"errors"
	"strconv"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/types/known/durationpb"
)

// refusal gives the status of a change that a stored quote does not allow; nil for
// any other error.
func (p prose) refusal(err error) error {
	var (
		gone    *quoting.MissingError
		state   *quoting.StateError
		changed *quoting.ChangedError
		old     *quoting.NotLatestError
		reused  *quoting.ReusedError
		no      *quoting.UnknownCatalogError
		other   *quoting.CatalogChangedError
		unknown *quoting.UnknownPartError
		unit    *quoting.UnitError
	)
	switch {
	case errors.As(err, &gone):
		return p.missing(gone)
	case errors.As(err, &state):
		return p.wrongState(state)
	case errors.As(err, &no):
		return p.unknownCatalog(no)
	case errors.As(err, &other):
		return p.otherCatalog(other)
	case errors.Is(err, quoting.ErrFixedCatalog):
		return p.fixedCatalog()
	case errors.As(err, &changed):
		return p.changed(map[string]string{"number": changed.Number, "etag": changed.ETag})
	case errors.Is(err, quoting.ErrStale):
		return p.changed(nil)
	case errors.As(err, &old):
		return p.notLatest(old)
	case errors.As(err, &reused):
		return p.invalid(design.Violations{{Field: "request_id", Code: "request_id_reused"}}, "")
	case errors.As(err, &unknown):
		return p.unknownPart(unknown)
	case errors.As(err, &unit):
		return p.wrongUnit(unit)
	}
	return nil
}

func (p prose) missing(e *quoting.MissingError) error {
	metadata := map[string]string{"number": e.Number}
	message := p.Say("error.unknown_quote", electrical.Name("number", e.Number))
	if e.Revision != 0 {
		metadata["revision"] = strconv.Itoa(e.Revision)
		message = p.Say("error.unknown_revision", electrical.Name("number", e.Number), electrical.Num("revision", e.Revision, electrical.UnitCount))
	}
	return withDetails(codes.NotFound, message, infoOf(pb.ErrorReason_ERROR_REASON_UNKNOWN_QUOTE, metadata))
}

// wrongState says where the quote stands, and what can be done from there.
func (p prose) wrongState(e *quoting.StateError) error {
	number, state := electrical.Name("number", e.Number), electrical.Word("quote_state", string(e.State))
	message := p.Say("error.quote_state", number, state, electrical.Word("quote_deed", string(e.Deed)))
	if string(e.State) == string(e.Deed) {
		message = p.Say("error.quote_already", number, state)
	}
	info := infoOf(pb.ErrorReason_ERROR_REASON_QUOTE_STATE, map[string]string{"number": e.Number, "state": string(e.State), "deed": string(e.Deed)})
	return withDetails(codes.FailedPrecondition, message, info, precondition("QUOTE_STATE", e.Number, p.Say("instead."+string(e.State))))
}

func (p prose) notLatest(e *quoting.NotLatestError) error {
	latest := electrical.Num("latest", e.Latest, electrical.UnitCount)
	message := p.Say("error.not_latest", electrical.Name("number", e.Number), electrical.Num("revision", e.Given, electrical.UnitCount), latest)
	info := infoOf(pb.ErrorReason_ERROR_REASON_NOT_LATEST_REVISION, map[string]string{"number": e.Number, "revision": strconv.Itoa(e.Given), "latest": strconv.Itoa(e.Latest)})
	return withDetails(codes.FailedPrecondition, message, info, precondition("LATEST_REVISION", e.Number, p.Say("instead.latest", latest)))
}

// changed tells that others were quicker.
func (p prose) changed(metadata map[string]string) error {
	return withDetails(codes.Aborted, p.Say("error.quote_changed"), infoOf(pb.ErrorReason_ERROR_REASON_QUOTE_CHANGED, metadata))
}

// retryAfter is how long a caller should wait for a store that does not answer: about
// as long as one takes to start anew.
const retryAfter = time.Second

// storeFailure gives the status of a store that could not do its work; nil for any
// other error.
func (p prose) storeFailure(err error) error {
	switch {
	case errors.Is(err, quoting.ErrUnavailable):
		return withDetails(codes.Unavailable, p.Say("error.store_unavailable"), infoOf(pb.ErrorReason_ERROR_REASON_STORE_UNAVAILABLE, nil),
			&errdetails.RetryInfo{RetryDelay: durationpb.New(retryAfter)})
	case errors.Is(err, quoting.ErrFull):
		return withDetails(codes.ResourceExhausted, p.Say("error.store_full"), infoOf(pb.ErrorReason_ERROR_REASON_STORE_FULL, nil))
	case errors.Is(err, quoting.ErrReadOnly):
		return withDetails(codes.FailedPrecondition, p.Say("error.store_read_only"), infoOf(pb.ErrorReason_ERROR_REASON_STORE_READ_ONLY, nil))
	case errors.Is(err, quoting.ErrNewer):
		return withDetails(codes.FailedPrecondition, p.Say("error.store_newer"), infoOf(pb.ErrorReason_ERROR_REASON_STORE_NEWER, nil))
	case errors.Is(err, quoting.ErrUnusable):
		return withDetails(codes.FailedPrecondition, p.Say("error.store_unusable"), infoOf(pb.ErrorReason_ERROR_REASON_STORE_UNUSABLE, nil))
	case errors.Is(err, quoting.ErrNoStore):
		return withDetails(codes.FailedPrecondition, p.Say("error.no_store"), infoOf(pb.ErrorReason_ERROR_REASON_NO_STORE, nil))
	}
	return nil
}

func infoOf(r pb.ErrorReason, metadata map[string]string) *errdetails.ErrorInfo {
	return &errdetails.ErrorInfo{Reason: reason(r), Domain: errorDomain, Metadata: metadata}
}

func precondition(kind, subject, description string) *errdetails.PreconditionFailure {
	return &errdetails.PreconditionFailure{Violations: []*errdetails.PreconditionFailure_Violation{{Type: kind, Subject: subject, Description: description}}}
}
