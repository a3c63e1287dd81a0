package jobfile

import (
	"errors"
	"fmt"
	"io"

	"go.yaml.in/yaml/v3"
	"google.golang.org/protobuf/proto"
	"google.golang.org/protobuf/reflect/protoreflect"
)

// Read reads a file into a message, in place of what the message held. The name
// is the one that faults are told under. Where the file is at fault the error is
// a [Faults] that holds everything that could be found, and the message is left
// as it was; any other error is the reader's.
func Read(name string, r io.Reader, into proto.Message) (*Source, error) {
	root, err := document(name, r)
	if err != nil {
		var f Fault
		if errors.As(err, &f) {
			return nil, Faults{f}
		}
		return nil, err
	}
	rd := &reader{source: Source{name: name, marks: map[string]mark{}}}
	target := into.ProtoReflect().New()
	if !rd.forms(root, 0) {
		rd.mark("", root)
		rd.message(root, "", target)
	}
	if len(rd.faults) > 0 {
		rd.faults.sort()
		return nil, rd.faults
	}
	proto.Reset(into)
	proto.Merge(into, target.Interface())
	return &rd.source, nil
}

// reader collects marks and faults while one file is read.
type reader struct {
	source Source
	faults Faults
}

// mark remembers where a field stands.
func (r *reader) mark(path string, n *yaml.Node) {
	r.source.marks[path] = mark{n.Line, n.Column}
}

// fault notes what is wrong at a node.
func (r *reader) fault(n *yaml.Node, what string) {
	r.faults = append(r.faults, Fault{File: r.source.name, Line: n.Line, Column: n.Column, What: what})
}

// misspelt notes a word that is none of those allowed.
func (r *reader) misspelt(n *yaml.Node, what, suggest string, allowed []string) {
	r.faults = append(r.faults, Fault{
		File: r.source.name, Line: n.Line, Column: n.Column, What: what, Suggest: suggest, Allowed: allowed,
	})
}

// message reads a mapping.
func (r *reader) message(n *yaml.Node, path string, into protoreflect.Message) {
	switch {
	case n.Kind == yaml.AliasNode: // told by forms
		return
	case n.Kind != yaml.MappingNode:
		r.fault(n, "keys are wanted here, such as "+exampleKey(into.Descriptor())+", not "+describe(n))
		return
	}
	given := givenKeys{r: r, fields: map[protoreflect.Name]*yaml.Node{}, oneofs: map[protoreflect.Name]*yaml.Node{}}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		k, ok := r.key(key, into.Descriptor())
		if !ok || !given.first(key, value, k) {
			continue
		}
		at := join(path, string(k.field.Name()))
		r.mark(at, key)
		if isNull(value) {
			continue
		}
		if value.Kind == yaml.ScalarNode {
			r.mark(at, value)
		}
		r.field(value, at, k, into)
	}
}

// field reads the value of one key.
func (r *reader) field(n *yaml.Node, path string, k key, into protoreflect.Message) {
	switch fd := k.field; {
	case n.Kind == yaml.AliasNode: // told by forms
	case fd.IsMap():
		r.fault(n, string(fd.Name())+" cannot be given in a file")
	case fd.IsList():
		r.list(n, path, k, into)
	case k.size && n.Kind == yaml.ScalarNode:
		r.conductor(n, into)
	case fd.Message() != nil:
		child := into.NewField(fd)
		r.element(n, path, k, child.Message())
		into.Set(fd, child)
	default:
		if v, ok := r.scalar(n, k); ok {
			into.Set(fd, v)
		}
	}
}

// list reads a list of messages or plain values.
func (r *reader) list(n *yaml.Node, path string, k key, into protoreflect.Message) {
	if n.Kind != yaml.SequenceNode {
		r.fault(n, fmt.Sprintf("%s is a list: begin each item with \"- \"", k.field.Name()))
		return
	}
	list := into.Mutable(k.field).List()
	for i, item := range n.Content {
		at := fmt.Sprintf("%s[%d]", path, i)
		r.mark(at, item)
		switch {
		case item.Kind == yaml.AliasNode: // told by forms
		case isNull(item):
			r.fault(item, fmt.Sprintf("item %d of %s is empty", i+1, k.field.Name()))
		case k.field.Message() != nil:
			child := list.NewElement()
			r.element(item, at, k, child.Message())
			list.Append(child)
		default:
			if v, ok := r.scalar(item, k); ok {
				list.Append(v)
			}
		}
	}
}

// element reads a message, which for a conductor may be its size alone.
func (r *reader) element(n *yaml.Node, path string, k key, into protoreflect.Message) {
	if n.Kind == yaml.ScalarNode && isConductor(k.field.Message()) {
		r.conductor(n, into)
		return
	}
	r.message(n, path, into)
}
