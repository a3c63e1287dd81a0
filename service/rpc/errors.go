package rpc

import (
	"context"
	"errors"
	"fmt"
	"strings"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/protoadapt"
)

// errorDomain is the domain of every ErrorInfo.
const errorDomain = "lugbook"

// reason gives the name that ErrorInfo carries: the enum's, without its prefix.
func reason(r pb.ErrorReason) string {
	return strings.TrimPrefix(r.String(), "ERROR_REASON_")
}

// statusOf turns an error of the domain into the status that callers see. prefix
// is put before the field paths of violations. An error that it does not know is
// returned as it is; the server's outermost interceptor hides it.
func (p prose) statusOf(err error, prefix string) error {
	var bad design.Violations
	var unmet *design.Unmet
	switch {
	case err == nil:
		return nil
	case errors.As(err, &bad):
		return p.invalid(bad, prefix)
	case errors.As(err, &unmet):
		return p.unmet(unmet)
	case errors.Is(err, context.Canceled):
		return status.FromContextError(context.Canceled).Err()
	case errors.Is(err, context.DeadlineExceeded):
		return status.FromContextError(context.DeadlineExceeded).Err()
	}
	if refused := p.refusal(err); refused != nil {
		return refused
	}
	if failed := p.storeFailure(err); failed != nil {
		return failed
	}
	return err
}

// invalid gives INVALID_ARGUMENT with every violation.
func (p prose) invalid(bad design.Violations, prefix string) error {
	request := &errdetails.BadRequest{}
	for _, v := range bad {
		request.FieldViolations = append(request.FieldViolations, &errdetails.BadRequest_FieldViolation{Field: prefix + v.Field, Description: p.Say("violation."+v.Code, v.Figures...), Reason: strings.ToUpper(v.Code)})
	}
	first := request.FieldViolations[0]
	message := first.Field + ": " + first.Description
	if more := len(bad) - 1; more > 0 {
		message = p.Say("error.more_faults", electrical.Name("first", message), electrical.Num("more", more, electrical.UnitCount))
	}
	info := &errdetails.ErrorInfo{Reason: reason(invalidReason(bad)), Domain: errorDomain, Metadata: map[string]string{"field": first.Field}}
	return withDetails(codes.InvalidArgument, message, info, request)
}

// invalidReason gives the one reason that every violation shares, else the
// general one.
func invalidReason(bad design.Violations) pb.ErrorReason {
	byCode := map[string]pb.ErrorReason{"unknown_vehicle": pb.ErrorReason_ERROR_REASON_UNKNOWN_VEHICLE, "unknown_zone": pb.ErrorReason_ERROR_REASON_UNKNOWN_ZONE,
		"no_route": pb.ErrorReason_ERROR_REASON_ROUTE_MISSING, "unknown_equipment": pb.ErrorReason_ERROR_REASON_UNKNOWN_PART, "unknown_part": pb.ErrorReason_ERROR_REASON_UNKNOWN_PART,
		"page_token": pb.ErrorReason_ERROR_REASON_PAGE_TOKEN_INVALID, "request_id_reused": pb.ErrorReason_ERROR_REASON_REQUEST_ID_REUSED}
	for _, v := range bad[1:] {
		if v.Code != bad[0].Code {
			return pb.ErrorReason_ERROR_REASON_INVALID_FIELD
		}
	}
	if r, ok := byCode[bad[0].Code]; ok {
		return r
	}
	return pb.ErrorReason_ERROR_REASON_INVALID_FIELD
}

// unmet gives FAILED_PRECONDITION with the constraint that binds.
func (p prose) unmet(u *design.Unmet) error {
	text := p.Say("unmet."+u.Constraint, u.Figures...)
	detail := &pb.Unmet{Constraint: u.Constraint, At: u.At, Figures: p.figures(u.Figures), Nearest: p.sentences(u.Nearest)}
	info := &errdetails.ErrorInfo{Reason: reason(pb.ErrorReason_ERROR_REASON_JOB_UNMET), Domain: errorDomain, Metadata: map[string]string{"at": u.At, "constraint": u.Constraint}}
	return withDetails(codes.FailedPrecondition, fmt.Sprintf("%s: %s", u.At, text), info, detail)
}

// notFound gives NOT_FOUND for a name that the catalog lacks.
func (p prose) notFound(r pb.ErrorReason, field, name string) error {
	message := p.Say("violation."+strings.ToLower(reason(r)), electrical.Name("given", name))
	info := &errdetails.ErrorInfo{Reason: reason(r), Domain: errorDomain, Metadata: map[string]string{field: name}}
	return withDetails(codes.NotFound, message, info)
}

func withDetails(code codes.Code, message string, details ...protoadapt.MessageV1) error {
	s, err := status.New(code, message).WithDetails(details...)
	if err != nil { // a detail that cannot be packed: the status alone still helps
		return status.Error(code, message)
	}
	return s.Err()
}
