package main

import (
	"os"
	"path/filepath"
	"regexp"
	"testing"

	"github.com/spf13/pflag"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// Every key stands in the document with its default, and the document has no other.
func TestTheDocumentHasEveryKey(t *testing.T) {
	raw, err := os.ReadFile(filepath.Join("..", "..", "docs", "configuration.md"))
	require.NoError(t, err)
	documented := map[string]string{}
	for _, row := range regexp.MustCompile("(?m)^\\| `([a-z_]+)` \\| ?`?([^|`]*?)`? \\| .+ \\|$").FindAllStringSubmatch(string(raw), -1) {
		documented[row[1]] = row[2]
	}
	known := map[string]string{}
	flagsFor("lugbookd", &settings{}, func(string) string { return "" }).VisitAll(func(f *pflag.Flag) {
		if f.Name == "config" {
			return
		}
		known[key(f.Name)] = f.DefValue
		if f.DefValue == "[]" {
			known[key(f.Name)] = ""
		}
	})
	known["store"] = "the user's data folder"
	assert.Equal(t, known, documented)
}
