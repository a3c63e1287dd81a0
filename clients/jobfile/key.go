package jobfile

import (
	"fmt"
	"strings"

	"example.com/lugbook/api/quantity"
	"go.yaml.in/yaml/v3"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// key is a field as a file may name it.
type key struct {
	field protoreflect.FieldDescriptor
	unit  string // suffix of the field's name that states its unit, or empty
	bare  bool   // the key states the unit, so a number needs none
	size  bool   // a conductor's size, in gauge or mm²
}

// key finds the field that a key names.
func (r *reader) key(n *yaml.Node, md protoreflect.MessageDescriptor) (key, bool) {
	if n.Kind != yaml.ScalarNode {
		if n.Kind != yaml.AliasNode { // told by forms
			r.fault(n, "a key is one word, not "+describe(n))
		}
		return key{}, false
	}
	if k, ok := findKey(md, n.Value); ok {
		return k, true
	}
	names, suggest := fieldNames(md), ""
	if len(r.faults) < maxShown { // a guess takes time, and nobody reads the ten thousandth
		suggest = Nearest(n.Value, names)
	}
	r.misspelt(n, "unknown key "+quoted(n.Value), suggest, names)
	return key{}, false
}

// findKey gives the field of that name, or else the one that has the name
// without its unit.
func findKey(md protoreflect.MessageDescriptor, name string) (key, bool) {
	fields := md.Fields()
	if fd := fields.ByName(protoreflect.Name(name)); fd != nil {
		return key{field: fd, unit: unitSuffix(fd), bare: true}, true
	}
	for i := range fields.Len() {
		fd := fields.Get(i)
		if unit := unitSuffix(fd); unit != "" && string(fd.Name()) == name+"_"+unit {
			return key{field: fd, unit: unit}, true
		}
	}
	if isConductor(md) && name == "size" {
		return key{field: fields.ByName("awg"), size: true}, true
	}
	return key{}, false
}

// unitSuffix gives the end of a number field's name that states its unit, such
// as "mohm" of internal_resistance_mohm, or nothing.
func unitSuffix(fd protoreflect.FieldDescriptor) string {
	if fd.Kind() != protoreflect.DoubleKind {
		return ""
	}
	name := string(fd.Name())
	suffix := name[strings.LastIndexByte(name, '_')+1:]
	if _, _, ok := quantity.UnitOf(suffix); !ok {
		return ""
	}
	return suffix
}

// fieldNames gives the names of a message's fields in the order of the contract.
func fieldNames(md protoreflect.MessageDescriptor) []string {
	fields := md.Fields()
	names := make([]string, fields.Len())
	for i := range names {
		names[i] = string(fields.Get(i).Name())
	}
	return names
}

// exampleKey shows how a message begins.
func exampleKey(md protoreflect.MessageDescriptor) string {
	if md.Fields().Len() == 0 {
		return "none"
	}
	return "\"" + string(md.Fields().Get(0).Name()) + ":\""
}

// givenKeys remembers which fields of one mapping were written.
type givenKeys struct {
	r      *reader
	fields map[protoreflect.Name]*yaml.Node
	oneofs map[protoreflect.Name]*yaml.Node
}

// first tells that the field was not written before, nor another member of its
// oneof; else it notes the fault. A key without a value takes no member's place.
func (g *givenKeys) first(n, value *yaml.Node, k key) bool {
	name := k.field.Name()
	if before, twice := g.fields[name]; twice {
		g.r.fault(n, fmt.Sprintf("%s is given twice; it stands at line %d already", name, before.Line))
		return false
	}
	g.fields[name] = n
	oneof := k.field.ContainingOneof()
	if oneof == nil || oneof.IsSynthetic() || isNull(value) {
		return true
	}
	if before, twice := g.oneofs[oneof.Name()]; twice {
		g.r.misspelt(n, fmt.Sprintf("two %ss: %s stands at line %d already; give one",
			oneof.Name(), before.Value, before.Line), "", members(oneof))
		return false
	}
	g.oneofs[oneof.Name()] = n
	return true
}

// members gives the fields of a oneof.
func members(oneof protoreflect.OneofDescriptor) []string {
	names := make([]string, oneof.Fields().Len())
	for i := range names {
		names[i] = string(oneof.Fields().Get(i).Name())
	}
	return names
}
