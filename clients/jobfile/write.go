package jobfile

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"

	"go.yaml.in/yaml/v3"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// Write gives a message as a file that [Read] reads back into an equal one: fields
// in the order of the contract under their own names, words short, nothing that is
// not set. The error tells that the text of a field cannot be held by YAML.
func Write(m proto.Message) ([]byte, error) {
	var b bytes.Buffer
	encoder := yaml.NewEncoder(&b)
	encoder.SetIndent(2)
	if err := encoder.Encode(messageNode(m.ProtoReflect())); err != nil {
		return nil, fmt.Errorf("write %s as YAML: %w", m.ProtoReflect().Descriptor().Name(), err)
	}
	if err := encoder.Close(); err != nil {
		return nil, fmt.Errorf("end the YAML: %w", err)
	}
	return b.Bytes(), nil
}

// messageNode gives a message as keys and values.
func messageNode(m protoreflect.Message) *yaml.Node {
	node := &yaml.Node{Kind: yaml.MappingNode}
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		fd := fields.Get(i)
		if !m.Has(fd) {
			continue
		}
		node.Content = append(node.Content, textNode(string(fd.Name())), fieldNode(fd, m.Get(fd)))
	}
	return node
}

// fieldNode gives the value of a field, or the list of its values.
func fieldNode(fd protoreflect.FieldDescriptor, v protoreflect.Value) *yaml.Node {
	if !fd.IsList() {
		return valueNode(fd, v)
	}
	node := &yaml.Node{Kind: yaml.SequenceNode}
	for i := range v.List().Len() {
		node.Content = append(node.Content, valueNode(fd, v.List().Get(i)))
	}
	return node
}

// valueNode gives one value.
func valueNode(fd protoreflect.FieldDescriptor, v protoreflect.Value) *yaml.Node {
	plain := func(text string) *yaml.Node { return &yaml.Node{Kind: yaml.ScalarNode, Value: text} }
	switch fd.Kind() {
	case protoreflect.MessageKind:
		return messageNode(v.Message())
	case protoreflect.EnumKind:
		return plain(Word(fd.Enum(), v.Enum())) // empty, which is not given, for one of a later version
	case protoreflect.StringKind:
		return textNode(v.String())
	case protoreflect.DoubleKind:
		return plain(strconv.FormatFloat(v.Float(), 'f', -1, 64))
	case protoreflect.BoolKind:
		return plain(strconv.FormatBool(v.Bool()))
	}
	return plain(v.String())
}

// textNode gives a text, in quotes where YAML would read it as something else.
func textNode(text string) *yaml.Node {
	node := &yaml.Node{}
	node.SetString(text)
	if !isBlock(text) {
		node.Style = yaml.DoubleQuotedStyle
	}
	return node
}

// isBlock tells that a text may stand as lines of a block, or is of one line: none
// of its lines is empty or has space at an end, which YAML would take for its own.
func isBlock(text string) bool {
	if !strings.Contains(text, "\n") {
		return true
	}
	for line := range strings.SplitSeq(text, "\n") {
		if line == "" || strings.TrimSpace(line) != line {
			return false
		}
	}
	return true
}
