package jobfile

import (
	"example.com/lugbook/api/quantity"
	"go.yaml.in/yaml/v3"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// conductorName is the message whose size may be written alone.
const conductorName protoreflect.FullName = "lugbook.v1.Conductor"

// isConductor tells that a message is a conductor.
func isConductor(md protoreflect.MessageDescriptor) bool {
	return md.FullName() == conductorName
}

// conductor reads a conductor given as its size alone.
func (r *reader) conductor(n *yaml.Node, into protoreflect.Message) {
	size, err := quantity.ParseSize(n.Value)
	if err != nil {
		r.fault(n, err.Error())
		return
	}
	fields := into.Descriptor().Fields()
	if size.IsAWG() {
		into.Set(fields.ByName("awg"), protoreflect.ValueOfString(size.Label()))
		return
	}
	into.Set(fields.ByName("area_mm2"), protoreflect.ValueOfFloat64(float64(size.Area())))
}
