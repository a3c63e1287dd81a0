package main

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
	"flag"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/reflect/protoreflect"
)

var update = flag.Bool("update", false, "append the figures of new rules, or of a new catalog, to testdata/figures.txt")

// figuresFile holds one line for every example, rules version and revision of the
// invented shop: what the job came to, and a hash of every figure of it.
const figuresFile = "testdata/figures.txt"

// No figure of an example changes unless the rules get a new version, or the invented
// shop another catalog: a quote names both, and they must say how it came about.
func TestFiguresChangeOnlyWithTheRules(t *testing.T) {
	raw, err := os.ReadFile(figuresFile)
	require.NoError(t, err)
	known := map[string]string{} // rules, catalog, example and job → what it came to
	for line := range strings.Lines(string(raw)) {
		if key, figures, ok := strings.Cut(strings.TrimSpace(line), ": "); ok {
			known[key] = figures
		}
	}
	examples, err := filepath.Glob("../../docs/examples/*.yaml")
	require.NoError(t, err)
	require.Len(t, examples, 6)
	var added strings.Builder
	for _, example := range examples {
		key, figures := reckon(t, example)
		was, ok := known[key]
		if !ok {
			fmt.Fprintf(&added, "%s: %s\n", key, figures)
			continue
		}
		assert.Equal(t, was, figures, "%s: figures changed under the same rules and catalog: raise design.RulesVersion, name the change in docs/changelog.md, and append with -update", key)
	}
	if added.Len() == 0 {
		return
	}
	if !*update {
		t.Fatalf("new rules or a new catalog: see that these are the figures that are meant, then append them with -update:\n%s", added.String())
	}
	file, err := os.OpenFile(figuresFile, os.O_APPEND|os.O_WRONLY, 0)
	require.NoError(t, err)
	_, err = file.WriteString(added.String())
	require.NoError(t, err)
	require.NoError(t, file.Close())
}

// reckon quotes an example, and gives what names its figures and what they come to.
func reckon(t *testing.T, example string) (key, figures string) {
	t.Helper()
	var out, errs bytes.Buffer
	code := run(t.Context(), []string{"quote", example, "--output", "json"}, strings.NewReader(""), &out, &errs, func(string) string { return "" })
	require.Zero(t, code, errs.String())
	var reply lugbookv1.PreviewQuoteResponse
	require.NoError(t, protojson.Unmarshal(out.Bytes(), &reply))
	q := reply.GetQuote()
	hash := sha256.New()
	write(hash, "design", q.GetDesign().ProtoReflect())
	write(hash, "totals", q.GetTotals().ProtoReflect())
	for _, l := range q.GetLines() {
		write(hash, "line", l.ProtoReflect())
	}
	job := sha256.New() // an example that asks for something else is another one
	write(job, "system", q.GetSystem().ProtoReflect())
	write(job, "vehicle", q.GetVehicle().ProtoReflect())
	total := q.GetTotals().GetTotal()
	const short = 12
	return fmt.Sprintf("%s %s %s %s", q.GetRulesVersion(), q.GetCatalogRevision()[:short], filepath.Base(example), hex.EncodeToString(job.Sum(nil))[:short]),
		fmt.Sprintf("%s %s %s", total.GetAmount(), total.GetCurrencyCode(), hex.EncodeToString(hash.Sum(nil))[:short])
}

// prose are messages that say why, in words that may change without the rules.
var prose = map[protoreflect.Name]bool{"Reason": true, "SafetyNote": true, "Advice": true, "Selectivity": true}

// worded tells which texts are figures: numbers of parts, sizes, amounts and ids.
func worded(name protoreflect.Name) bool {
	switch name {
	case "id", "awg", "amount", "rate_percent", "unit", "circuit_id", "operation", "code", "fed_from", "fed_by", "zone":
		return true
	}
	return strings.HasSuffix(string(name), "sku")
}

// write puts every figure of a message into a hash, in the order of the fields. Six
// digits are more than anyone measures and fewer than machines differ in.
func write(hash io.Writer, at string, m protoreflect.Message) {
	if prose[m.Descriptor().Name()] {
		return
	}
	fields := m.Descriptor().Fields()
	for i := range fields.Len() {
		fd := fields.Get(i)
		if !m.Has(fd) {
			continue
		}
		path := at + "." + string(fd.Name())
		each := func(v protoreflect.Value) {
			switch fd.Kind() {
			case protoreflect.MessageKind:
				write(hash, path, v.Message())
			case protoreflect.DoubleKind:
				fmt.Fprintf(hash, "%s=%.6g\n", path, v.Float())
			case protoreflect.StringKind:
				if worded(fd.Name()) {
					fmt.Fprintf(hash, "%s=%s\n", path, v.String())
				}
			default:
				fmt.Fprintf(hash, "%s=%v\n", path, v.Interface())
			}
		}
		if !fd.IsList() {
			each(m.Get(fd))
			continue
		}
		for j := range m.Get(fd).List().Len() {
			each(m.Get(fd).List().Get(j))
		}
	}
}
