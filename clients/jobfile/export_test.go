package jobfile

import (
	"strings"

	"google.golang.org/protobuf/reflect/protoreflect"
)

// Stem gives a field's name without its unit, and whether it has one.
func Stem(fd protoreflect.FieldDescriptor) (string, bool) {
	unit := unitSuffix(fd)
	return strings.TrimSuffix(string(fd.Name()), "_"+unit), unit != ""
}
