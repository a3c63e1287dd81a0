package rpc

import (
	"context"
	"crypto/sha256"
	"strings"
	"unicode/utf8"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/electrical"
	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/proto"
)

// Lengths in characters that the contract allows.
const (
	maxRequestID = 64
	maxStaff     = 100
	maxReason    = 500
	maxName      = 200
	maxPhone     = 50
	maxEmail     = 254
	maxAddress   = 500
	maxReference = 100
	maxNote      = 1000
	maxFilter    = 200

	maxDiscountReason = 200
)

// Counts that the contract allows.
const (
	maxNotes  = 50
	maxErased = 1000
)

// change is what every request has that changes what is stored.
type change interface {
	proto.Message
	GetRequestId() string
	GetStaff() string
}

// request reads who asks for a change, and tells it from any other request.
func (in *intake) request(ctx context.Context, r change) quoting.Request {
	id := r.GetRequestId()
	if id == "" || len(id) > maxRequestID || strings.ContainsFunc(id, func(c rune) bool { return !isIDRune(c) }) {
		in.fault("request_id", "request_id", electrical.Num("high", maxRequestID, electrical.UnitCount))
	}
	in.text("staff", r.GetStaff(), maxStaff)
	q := quoting.Request{Caller: callerOf(ctx), Staff: r.GetStaff(), ID: id, Sum: sumOf(r)}
	if tagged, ok := r.(interface{ GetEtag() string }); ok {
		q.ETag = tagged.GetEtag()
	}
	if reasoned, ok := r.(interface{ GetReason() string }); ok {
		q.Reason = reasoned.GetReason()
		in.text("reason", q.Reason, maxReason)
	}
	return q
}

func isIDRune(c rune) bool {
	return c >= 'a' && c <= 'z' || c >= 'A' && c <= 'Z' || c >= '0' && c <= '9' || c == '-' || c == '_'
}

// sumOf gives the same for the same request of the same method.
func sumOf(r proto.Message) []byte {
	raw, err := stable.Marshal(r)
	if err != nil { // invalid UTF-8 cannot come over the wire
		return nil
	}
	sum := sha256.Sum256(append([]byte(r.ProtoReflect().Descriptor().FullName()+"\n"), raw...))
	return sum[:]
}

// stable gives the same bytes for the same message.
var stable = proto.MarshalOptions{Deterministic: true}

// text checks the length of a text. One longer than any may be is told already.
func (in *intake) text(field, value string, most int) {
	if utf8.RuneCountInString(value) > most && len(value) <= maxText {
		in.fault(field, "too_long", electrical.Num("high", most, electrical.UnitCount))
	}
}

// quoteRef reads the number of a quote.
func (in *intake) quoteRef(field, text string) quoting.Ref {
	if text == "" {
		in.fault(field, "required")
		return quoting.Ref{}
	}
	ref, ok := quoting.ParseRef(text)
	if !ok {
		in.fault(field, "quote_number", electrical.Name("given", text))
	}
	return ref
}

// revision reads which revision is meant, 0 for the latest.
func (in *intake) revision(field string, n int32) int {
	const highest = 1 << 30
	if n < 0 || n > highest {
		in.fault(field, "range", electrical.Num("given", int(n), electrical.UnitCount), electrical.Num("low", 0, electrical.UnitCount), electrical.Num("high", highest, electrical.UnitCount))
	}
	return int(n)
}

// customer checks who a job is for, and the remarks to print.
func (in *intake) customer(at string, job *pb.Job) {
	c := job.GetCustomer()
	in.text(at+"customer.name", c.GetName(), maxName)
	in.text(at+"customer.phone", c.GetPhone(), maxPhone)
	in.text(at+"customer.email", c.GetEmail(), maxEmail)
	in.text(at+"customer.address", c.GetAddress(), maxAddress)
	in.text(at+"customer.reference", c.GetReference(), maxReference)
	if n := len(job.GetNotes()); n > maxNotes {
		in.fault(at+"notes", "count", electrical.Num("given", n, electrical.UnitCount), electrical.Num("low", 0, electrical.UnitCount), electrical.Num("high", maxNotes, electrical.UnitCount))
	}
	for i, note := range job.GetNotes() {
		in.text(indexed(at+"notes", i), note, maxNote)
	}
}
