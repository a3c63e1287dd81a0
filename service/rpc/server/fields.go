package server

import (
	"sync"

	"example.com/lugbook/service/quoting"

	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// fields lists the fields that are not for everybody who may call a method, with the
// role that may do least of those they are for. Set in a request by somebody else, they
// have it refused; from a reply to somebody else they are removed, whatever the handler
// put there. Cost and margin are the owner's; what is on the shelf, who a stored quote is
// for and what staff wrote are nobody's who may not keep quotes.
var fields = map[protoreflect.FullName]quoting.Role{
	"lugbook.v1.ListPartsRequest.include_cost":     quoting.Owner,
	"lugbook.v1.GetPartRequest.include_cost":       quoting.Owner,
	"lugbook.v1.PreviewQuoteRequest.include_cost":  quoting.Owner,
	"lugbook.v1.CreateQuoteRequest.include_cost":   quoting.Owner,
	"lugbook.v1.GetQuoteRequest.include_cost":      quoting.Owner,
	"lugbook.v1.ReviseQuoteRequest.include_cost":   quoting.Owner,
	"lugbook.v1.RequoteQuoteRequest.include_cost":  quoting.Owner,
	"lugbook.v1.ListShortagesRequest.include_cost": quoting.Owner,

	"lugbook.v1.Part.cost":                       quoting.Owner,
	"lugbook.v1.Part.supplier":                   quoting.Owner,
	"lugbook.v1.Line.cost":                       quoting.Owner,
	"lugbook.v1.Line.margin":                     quoting.Owner,
	"lugbook.v1.Totals.cost":                     quoting.Owner,
	"lugbook.v1.Totals.margin":                   quoting.Owner,
	"lugbook.v1.StockShortage.supplier":          quoting.Owner,
	"lugbook.v1.ListShortagesResponse.suppliers": quoting.Owner,
	"lugbook.v1.SupplierOrder.supplier":          quoting.Owner,
	"lugbook.v1.SupplierOrder.cost":              quoting.Owner,
	"lugbook.v1.StockShortage.cost":              quoting.Owner,

	"lugbook.v1.ListPartsRequest.in_stock": quoting.Counter,
	"lugbook.v1.Part.on_hand":              quoting.Counter,
	"lugbook.v1.Line.on_hand":              quoting.Counter,
	"lugbook.v1.Line.substitute_sku":       quoting.Counter,
	"lugbook.v1.Quote.shortages":           quoting.Counter,
	"lugbook.v1.Quote.stocked_way":         quoting.Counter,
	"lugbook.v1.QuoteSource.number":        quoting.Counter,
	"lugbook.v1.JobTerms.discount_percent": quoting.Counter,
	"lugbook.v1.JobTerms.discount_reason":  quoting.Counter,
	"lugbook.v1.QuoteEvent.caller":         quoting.Counter,
	"lugbook.v1.QuoteEvent.staff":          quoting.Counter,
	"lugbook.v1.QuoteEvent.reason":         quoting.Counter,
}

// Fields gives the list of fields that are not for everybody.
func Fields() map[protoreflect.FullName]quoting.Role {
	out := make(map[protoreflect.FullName]quoting.Role, len(fields))
	for name, role := range fields {
		out[name] = role
	}
	return out
}

// routes keeps for each kind of message the fields that are listed, or lead to one:
// what there is to look at of a reply is little.
var routes sync.Map // of protoreflect.FullName to []protoreflect.FieldDescriptor

func routesOf(d protoreflect.MessageDescriptor) []protoreflect.FieldDescriptor {
	if known, ok := routes.Load(d.FullName()); ok {
		return known.([]protoreflect.FieldDescriptor) //nolint:forcetypeassert // nothing else is put there
	}
	var out []protoreflect.FieldDescriptor
	for i := range d.Fields().Len() {
		f := d.Fields().Get(i)
		_, listed := fields[f.FullName()]
		if listed || leads(f.Message(), map[protoreflect.FullName]bool{}) {
			out = append(out, f)
		}
	}
	routes.Store(d.FullName(), out)
	return out
}

// leads tells that a message may hold a listed field, at any depth.
func leads(d protoreflect.MessageDescriptor, seen map[protoreflect.FullName]bool) bool {
	if d == nil || seen[d.FullName()] {
		return false
	}
	seen[d.FullName()] = true
	for i := range d.Fields().Len() {
		f := d.Fields().Get(i)
		if _, listed := fields[f.FullName()]; listed || leads(f.Message(), seen) {
			return true
		}
	}
	return false
}

// each calls do for every listed field of a message that is set and not for a role,
// with its path, until do gives false.
func each(m protoreflect.Message, role quoting.Role, path string, do func(m protoreflect.Message, f protoreflect.FieldDescriptor, path string) bool) bool {
	for _, f := range routesOf(m.Descriptor()) {
		if !m.Has(f) {
			continue
		}
		at := path + string(f.Name())
		if least, listed := fields[f.FullName()]; listed && !atLeast(role, least) {
			if !do(m, f, at) {
				return false
			}
			continue
		}
		if !within(m.Get(f), f, func(inner protoreflect.Message) bool { return each(inner, role, at+".", do) }) {
			return false
		}
	}
	return true
}

// within calls do for every message that a field holds, until it gives false.
func within(v protoreflect.Value, f protoreflect.FieldDescriptor, do func(protoreflect.Message) bool) bool {
	switch {
	case f.Message() == nil:
	case f.IsMap():
		going := true
		v.Map().Range(func(_ protoreflect.MapKey, inner protoreflect.Value) bool {
			if f.MapValue().Message() != nil {
				going = do(inner.Message())
			}
			return going
		})
		return going
	case f.IsList():
		for i := range v.List().Len() {
			if !do(v.List().Get(i).Message()) {
				return false
			}
		}
	default:
		return do(v.Message())
	}
	return true
}

// asked gives the path of the first field of a request that is not for a role; empty:
// there is none.
func asked(request any, role quoting.Role) string {
	m, ok := request.(proto.Message)
	if !ok {
		return ""
	}
	found := ""
	each(m.ProtoReflect(), role, "", func(_ protoreflect.Message, _ protoreflect.FieldDescriptor, path string) bool {
		found = path
		return false
	})
	return found
}

// redact removes from a reply what is not for a role.
func redact(reply any, role quoting.Role) {
	m, ok := reply.(proto.Message)
	if !ok || m == nil || !m.ProtoReflect().IsValid() {
		return
	}
	each(m.ProtoReflect(), role, "", func(m protoreflect.Message, f protoreflect.FieldDescriptor, _ string) bool {
		m.Clear(f)
		return true
	})
}
