package rpc

import (
	"encoding/base64"
	"encoding/binary"
	"hash/fnv"
	"math"

	"example.com/lugbook/service/electrical"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// Page sizes: the contract's default and the most that one reply holds.
const (
	defaultPage = 50
	largestPage = 1000
)

// page is which part of a list a request asks for: from where, in the list's own way
// of counting, and how much. Its token is bound to the revision of what is listed,
// if it has one, and to the other fields of the request, so that a token of another
// list is refused instead of giving a page that belongs to neither.
type page struct {
	from, size int
	sum        uint64
}

// page reads the paging fields of a list request.
func (in *intake) page(size int32, token, revision string, request proto.Message) page {
	p := page{size: int(size), sum: checksum(revision, request)}
	switch {
	case size < 0:
		in.fault("page_size", "range", electrical.Num("given", int(size), electrical.UnitCount), electrical.Num("low", 0, electrical.UnitCount), electrical.Num("high", largestPage, electrical.UnitCount))
	case size == 0:
		p.size = defaultPage
	case size > largestPage:
		p.size = largestPage
	}
	if token == "" {
		return p
	}
	raw, err := base64.RawURLEncoding.DecodeString(token)
	if err == nil && len(raw) == 16 {
		p.from = int(binary.BigEndian.Uint64(raw[8:]) & math.MaxInt64)
	}
	if p.token(p.from) != token { // of another list, damaged, or spelled in a way of its own
		in.fault("page_token", "page_token")
	}
	return p
}

// checksum covers the revision and every field of the request but the paging ones.
func checksum(revision string, request proto.Message) uint64 {
	bare := proto.Clone(request)
	m := bare.ProtoReflect()
	for _, name := range []protoreflect.Name{"page_size", "page_token"} {
		if fd := m.Descriptor().Fields().ByName(name); fd != nil {
			m.Clear(fd)
		}
	}
	raw, err := proto.MarshalOptions{Deterministic: true}.Marshal(bare)
	if err != nil { // invalid UTF-8 cannot come over the wire
		return 0
	}
	h := fnv.New64a()
	h.Write([]byte(revision))
	h.Write(raw)
	return h.Sum64()
}

// span is from, included, to to, excluded.
type span struct{ from, to int }

// cut gives the span of a list of n and the token of the next page, "" at the end.
func (p page) cut(n int) (span, string) {
	from := min(p.from, n)
	to := min(from+p.size, n)
	if to == n {
		return span{from, to}, ""
	}
	return span{from, to}, p.token(to)
}

// token gives the token of the page that begins at a place.
func (p page) token(from int) string {
	raw := make([]byte, 16)
	binary.BigEndian.PutUint64(raw, p.sum)
	binary.BigEndian.PutUint64(raw[8:], uint64(from))
	return base64.RawURLEncoding.EncodeToString(raw)
}
