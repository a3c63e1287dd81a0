package jobfile

import (
	"bytes"
	"errors"
	"fmt"
	"io"
	"regexp"
	"strconv"
	"strings"
	"unicode/utf8"

	"go.yaml.in/yaml/v3"
)

const (
	// MaxBytes is the largest file that is read, 1 MiB: a job of 500 devices with
	// everything stated takes a fifth of it.
	MaxBytes = 1 << 20
	// MaxDepth is how deeply lists and mappings may be nested; the contract's
	// messages need less than ten levels.
	MaxDepth = 32
)

// byteOrderMark is what some editors put in front of UTF-8.
const byteOrderMark = "\ufeff"

// errLine finds the line number in the parser's errors.
var errLine = regexp.MustCompile(`^yaml: (?:line (\d+): )?`)

// document reads the one YAML document of a file. The error is a [Fault], or
// what the reader failed with.
func document(name string, r io.Reader) (*yaml.Node, error) {
	text, err := io.ReadAll(io.LimitReader(r, MaxBytes+1))
	if err != nil {
		return nil, fmt.Errorf("read %s: %w", name, err)
	}
	if len(text) > MaxBytes {
		return nil, Fault{File: name, Line: 1, Column: 1, What: "the file is larger than 1 MiB"}
	}
	text = bytes.TrimPrefix(text, []byte(byteOrderMark))
	if at := foreignByte(text); at >= 0 {
		line, column := place(text, at)
		return nil, Fault{File: name, Line: line, Column: column, What: "this is not text: the file must be YAML in UTF-8"}
	}
	return parse(name, text)
}

// foreignByte gives the index of the first byte that UTF-8 text does not hold,
// or -1.
func foreignByte(text []byte) int {
	for at := 0; at < len(text); {
		r, size := utf8.DecodeRune(text[at:])
		if r == 0 || r == utf8.RuneError && size <= 1 {
			return at
		}
		at += size
	}
	return -1
}

// place gives line and column of a byte.
func place(text []byte, at int) (line, column int) {
	before := text[:at]
	start := bytes.LastIndexByte(before, '\n') + 1
	return bytes.Count(before, []byte{'\n'}) + 1, utf8.RuneCount(before[start:]) + 1
}

// parse gives the root of the only document in the text.
func parse(name string, text []byte) (*yaml.Node, error) {
	var doc, second yaml.Node
	decoder := yaml.NewDecoder(bytes.NewReader(text))
	if err := decoder.Decode(&doc); err != nil && !errors.Is(err, io.EOF) {
		return nil, broken(name, err)
	}
	if doc.Kind != yaml.DocumentNode || len(doc.Content) == 0 || isNull(doc.Content[0]) {
		return nil, Fault{File: name, Line: 1, Column: 1, What: "the file is empty"}
	}
	switch err := decoder.Decode(&second); {
	case errors.Is(err, io.EOF):
		return doc.Content[0], nil
	case err != nil:
		return nil, broken(name, err)
	}
	return nil, Fault{
		File: name, Line: max(second.Line, 1), Column: max(second.Column, 1),
		What: "a second document begins here; write one to a file",
	}
}

// broken turns an error of the YAML parser into a fault.
func broken(name string, err error) Fault {
	message := err.Error()
	line := 1
	if m := errLine.FindStringSubmatch(message); m != nil {
		message = message[len(m[0]):]
		if n, bad := strconv.Atoi(m[1]); bad == nil {
			line = max(n, 1)
		}
	}
	message = strings.Join(strings.Fields(message), " ")
	if strings.Contains(message, "cannot start any token") {
		message += "; indent by spaces, not tabs, and put text with special characters in quotes"
	}
	return Fault{File: name, Line: line, Column: 1, What: "this is not valid YAML: " + message}
}

// isNull tells that a key or a list item has no value.
func isNull(n *yaml.Node) bool {
	return n.Kind == yaml.ScalarNode && n.Style&yaml.TaggedStyle == 0 && n.ShortTag() == "!!null"
}

// forms reports what a file may not use anywhere: anchors, aliases, tags and
// nesting beyond MaxDepth. deep tells of the last.
func (r *reader) forms(n *yaml.Node, depth int) (deep bool) {
	if depth > MaxDepth {
		r.fault(n, fmt.Sprintf("lists and mappings are nested more than %d deep", MaxDepth))
		return true
	}
	switch {
	case n.Kind == yaml.AliasNode:
		r.fault(n, "aliases (*"+n.Value+") are not read; write the value out")
	case n.Anchor != "":
		r.fault(n, "anchors (&"+n.Anchor+") are not read; write the value out where it is needed")
	}
	if n.Style&yaml.TaggedStyle != 0 {
		r.fault(n, "tags ("+quoted(n.Tag)+") are not read; write the plain value")
	}
	for _, child := range n.Content {
		if r.forms(child, depth+1) {
			return true
		}
	}
	return false
}
