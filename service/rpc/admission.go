package rpc

import (
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/protobuf/types/known/durationpb"
)

// Refusals words what is refused before a handler runs.
type Refusals struct{ quoting *quoting.Service }

// NewRefusals gives the refusals over the use cases.
func NewRefusals(q *quoting.Service) Refusals { return Refusals{q} }

// prose gives the prose of a request, as far as it names a language.
func (r Refusals) prose(request any) prose {
	language := ""
	if l, ok := request.(interface{ GetLanguage() string }); ok {
		language = l.GetLanguage()
	}
	return proseFor(&r.quoting.Current().Catalog().Shop, language, 0)
}

// NoToken gives the status of a caller who shows nothing.
func (r Refusals) NoToken() error { return r.unknown(r.prose(nil).Say("error.no_token")) }

// UnknownToken gives the status of a caller whose token is none.
func (r Refusals) UnknownToken() error { return r.unknown(r.prose(nil).Say("error.unknown_token")) }

// UnknownCertificate gives the status of a caller whose certificate gives no role.
func (r Refusals) UnknownCertificate() error {
	return r.unknown(r.prose(nil).Say("error.unknown_certificate"))
}

func (r Refusals) unknown(message string) error {
	return withDetails(codes.Unauthenticated, message, infoOf(pb.ErrorReason_ERROR_REASON_CALLER_UNKNOWN, nil))
}

// Method gives the status of a call that is not for a role.
func (r Refusals) Method(request any, role quoting.Role) error {
	message := r.prose(request).Say("error.role_refused", electrical.Name("role", string(role)))
	return withDetails(codes.PermissionDenied, message, infoOf(pb.ErrorReason_ERROR_REASON_ROLE_REFUSED, map[string]string{"role": string(role)}))
}

// Field gives the status of a request with a field that is not for a role.
func (r Refusals) Field(request any, role quoting.Role, path string) error {
	message := r.prose(request).Say("error.field_refused", electrical.Name("role", string(role)), electrical.Name("field", path))
	return withDetails(codes.PermissionDenied, message, infoOf(pb.ErrorReason_ERROR_REASON_ROLE_REFUSED, map[string]string{"role": string(role), "field": path}))
}

// TooMany gives the status of a call that may be made after a time.
func (r Refusals) TooMany(after time.Duration) error {
	return withDetails(codes.ResourceExhausted, r.prose(nil).Say("error.too_many_calls"), infoOf(pb.ErrorReason_ERROR_REASON_TOO_MANY_CALLS, nil),
		&errdetails.RetryInfo{RetryDelay: durationpb.New(after)})
}

// Store gives the status of a store that cannot be asked who calls.
func (r Refusals) Store(err error) error { return r.prose(nil).statusOf(err, "") }
