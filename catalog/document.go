package catalog

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"strings"

	"go.yaml.in/yaml/v3"
)

// document is one YAML file while it is read.
type document struct {
	file   string
	lines  int // of the file
	report *report
	// places finds the node of a path such as "vehicles[0].routes[2].from".
	places map[string]*yaml.Node
	// unread holds the nodes that a fault was reported of.
	unread map[*yaml.Node]bool
}

// openDocument parses a YAML file; nil where it is none, which is reported.
func openDocument(file string, raw []byte, rep *report) (*document, *yaml.Node) {
	doc := &document{file: file, lines: lineCount(raw), report: rep, places: map[string]*yaml.Node{}, unread: map[*yaml.Node]bool{}}
	root, err := parseYAML(raw)
	if err != nil {
		line, text := yamlErrorLine(err)
		rep.fault(Fault{File: file, Line: min(line, doc.lines), Problem: "is not YAML: " + text})
		return nil, nil
	}
	if doc.aliased(root) {
		return nil, nil
	}
	return doc, root
}

// lineBreaks are the line breaks of YAML 1.1, section 5.4.
var lineBreaks = strings.NewReplacer("\r\n", "\n", "\r", "\n", "\u0085", "\n", "\u2028", "\n", "\u2029", "\n")

// lineCount counts the lines of a file. The parser says that what is missing at its
// end is on the line after; that is no line, so faults are placed on the last one.
func lineCount(raw []byte) int { return strings.Count(lineBreaks.Replace(string(raw)), "\n") + 1 }

// yamlErrorLine takes the line, counted from 1, out of a parser's error. The
// parser counts it from 0 where the grammar broke and from 1 where a character
// did; it names no line 0, and the line is the one on which the broken list or
// mapping begins.
func yamlErrorLine(err error) (line int, text string) {
	text = strings.TrimPrefix(err.Error(), "yaml: ")
	if n, _ := fmt.Sscanf(text, "line %d:", &line); n == 1 {
		_, text, _ = strings.Cut(text, ": ")
	}
	for _, grammar := range []string{"node content", "',' or ']'", "',' or '}'", "'-' indicator", "key", "<document start>"} {
		if text == "did not find expected "+grammar {
			return line + 1, text
		}
	}
	return line, text
}

var errSeveralDocuments = errors.New("the file holds more than one document")

// parseYAML gives the top node of the one document in a file. The parser
// answers some malformed input with a panic of its own, which is an error here:
// a file must not bring the program down.
func parseYAML(raw []byte) (root *yaml.Node, err error) {
	defer func() {
		if v := recover(); v != nil {
			root, err = nil, fmt.Errorf("the parser gave up: %v", v)
		}
	}()
	dec := yaml.NewDecoder(bytes.NewReader(raw))
	var top yaml.Node
	switch err := dec.Decode(&top); {
	case errors.Is(err, io.EOF):
		return &yaml.Node{Kind: yaml.MappingNode, Line: 1, Column: 1}, nil
	case err != nil:
		return nil, err
	}
	if err := dec.Decode(new(yaml.Node)); !errors.Is(err, io.EOF) {
		if err == nil {
			err = errSeveralDocuments
		}
		return nil, err
	}
	if top.Kind == yaml.DocumentNode && len(top.Content) == 1 {
		return top.Content[0], nil
	}
	return &top, nil
}

// aliased reports anchors and aliases, with which a small file could stand for a
// huge one.
func (d *document) aliased(n *yaml.Node) bool {
	if n.Kind == yaml.AliasNode || n.Anchor != "" {
		d.fault(n, "anchors and aliases are not read", "the values written out")
		return true
	}
	found := false
	for _, c := range n.Content {
		found = d.aliased(c) || found
	}
	return found
}

func (d *document) fault(n *yaml.Node, problem, allowed string) {
	d.unread[n] = true
	d.report.fault(Fault{File: d.file, Line: min(n.Line, d.lines), Column: n.Column, Problem: problem, Allowed: allowed})
}

// node gives the place of a path, or of the nearest that encloses it.
func (d *document) node(path string) *yaml.Node {
	for {
		if n, ok := d.places[path]; ok {
			return n
		}
		cut := strings.LastIndexAny(path, ".[")
		if cut < 0 {
			return &yaml.Node{Line: 1, Column: 1}
		}
		path = path[:cut]
	}
}

// absent tells that a key is there without a value.
func absent(n *yaml.Node) bool { return n.Kind == yaml.ScalarNode && n.Tag == "!!null" }

// fields is a mapping: values by key, each known and there only once. Its
// methods report what is wrong and then give the zero value.
type fields struct {
	*document
	at     *yaml.Node
	path   string
	values map[string]*yaml.Node
}

// fields reads a mapping with the known keys.
func (d *document) fields(n *yaml.Node, path string, known ...string) fields {
	f := fields{document: d, at: n, path: path, values: make(map[string]*yaml.Node, len(known))}
	d.places[path] = n
	if n.Kind != yaml.MappingNode {
		d.fault(n, "not a set of keys and values", "the keys "+list(known))
		return f
	}
	for i := 0; i+1 < len(n.Content); i += 2 {
		key, value := n.Content[i], n.Content[i+1]
		switch _, ok := oneOf(key.Value, known); {
		case !ok || key.Kind != yaml.ScalarNode:
			d.fault(key, unknownWord("key", key.Value, known), list(known))
		case f.values[key.Value] != nil:
			d.fault(key, fmt.Sprintf("%s is there twice, first on line %d", key.Value, f.values[key.Value].Line), "")
		default:
			f.values[key.Value] = value
			d.places[f.join(key.Value)] = value
		}
	}
	return f
}

func (f fields) join(key string) string {
	if f.path == "" {
		return key
	}
	return f.path + "." + key
}

// has gives a key's value; false where it is not there or empty.
func (f fields) has(key string) (*yaml.Node, bool) {
	n, ok := f.values[key]
	if !ok || absent(n) {
		return nil, false
	}
	return n, true
}

// missing reports a key that must be there.
func (f fields) missing(key, allowed string) {
	if f.at.Kind != yaml.MappingNode {
		return // reported as no mapping already
	}
	n, ok := f.values[key]
	if !ok {
		n = f.at
	}
	f.fault(n, key+" is missing", allowed)
}

// items gives the nodes of a list; none where the key is not there.
func (f fields) items(key string) []*yaml.Node {
	n, ok := f.has(key)
	if !ok {
		return nil
	}
	if n.Kind != yaml.SequenceNode {
		f.fault(n, key+" is not a list", "")
		return nil
	}
	return n.Content
}

// each gives every mapping of a list.
func (f fields) each(key string, known ...string) []fields {
	var all []fields
	for i, n := range f.items(key) {
		all = append(all, f.fields(n, fmt.Sprintf("%s[%d]", f.join(key), i), known...))
	}
	return all
}

// sub gives the mapping of a key; false where the key is not there.
func (f fields) sub(key string, known ...string) (fields, bool) {
	n, ok := f.has(key)
	if !ok {
		return fields{document: f.document, at: f.at, path: f.join(key)}, false
	}
	return f.fields(n, f.join(key), known...), true
}
