package rpc

import (
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"
	"unicode"

	"example.com/lugbook/api/quantity"
	"example.com/lugbook/service/design"
	"example.com/lugbook/service/electrical"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// intake turns a request into domain types and keeps what cannot be turned.
type intake struct {
	bad design.Violations
}

func (in *intake) fault(field, code string, figures ...electrical.Figure) {
	in.bad = append(in.bad, design.Violation{Field: field, Code: code, Figures: figures})
}

// newIntake begins with what no field of any request may be: a number that is
// not finite, or a text that is endless or holds control characters.
func newIntake(request proto.Message) *intake {
	in := &intake{}
	in.walk("", request.ProtoReflect())
	slices.SortStableFunc(in.bad, func(a, b design.Violation) int {
		switch {
		case a.Field < b.Field:
			return -1
		case a.Field > b.Field:
			return 1
		}
		return 0
	})
	return in
}

// maxText is the longest text that any field takes; the contract's own bounds
// are shorter and checked where the field is used.
const maxText = 4096

func (in *intake) walk(at string, m protoreflect.Message) {
	m.Range(func(fd protoreflect.FieldDescriptor, v protoreflect.Value) bool {
		path := string(fd.Name())
		if at != "" {
			path = at + "." + path
		}
		if !fd.IsList() {
			in.visit(path, fd, v)
			return true
		}
		for i := range v.List().Len() {
			in.visit(fmt.Sprintf("%s[%d]", path, i), fd, v.List().Get(i))
		}
		return true
	})
}

func (in *intake) visit(path string, fd protoreflect.FieldDescriptor, v protoreflect.Value) {
	switch fd.Kind() {
	case protoreflect.MessageKind:
		in.walk(path, v.Message())
	case protoreflect.DoubleKind:
		if f := v.Float(); math.IsNaN(f) || math.IsInf(f, 0) {
			in.fault(path, "not_finite")
		}
	case protoreflect.StringKind:
		if len(v.String()) > maxText {
			in.fault(path, "too_long", electrical.Num("high", maxText, electrical.UnitCount))
		}
		if strings.ContainsFunc(v.String(), isControl) {
			in.fault(path, "control_character")
		}
	}
}

// isControl tells characters that no text needs and that some stores, terminals and
// documents choke on. Line ends and tabs are none of them.
func isControl(r rune) bool { return unicode.IsControl(r) && !strings.ContainsRune("\n\r\t", r) }

// size reads a conductor size as it is spelled.
func (in *intake) size(field, text string) quantity.Size {
	s, err := quantity.ParseSize(text)
	if err != nil {
		in.fault(field, "as_stated", electrical.Name("problem", problemOf(err)), electrical.Name("allowed", ""))
	}
	return s
}

// problemOf gives what a quantity's own error says.
func problemOf(err error) string {
	var q *quantity.Error
	if errors.As(err, &q) {
		return q.Error()
	}
	return err.Error()
}

// merge adds the faults that validation found, one a field: what could not be
// read is not reported again as missing.
func (in *intake) merge(found design.Violations, prefix string) design.Violations {
	seen := map[string]bool{}
	for _, v := range in.bad {
		seen[v.Field] = true
	}
	out := in.bad
	for _, v := range found {
		v.Field = prefix + v.Field
		if !seen[v.Field] {
			out = append(out, v)
		}
	}
	return out
}
