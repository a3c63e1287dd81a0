package catalog_test

import (
	"os"
	"regexp"
	"strings"
	"testing"
	"testing/fstest"

	"example.com/lugbook/catalog"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// TestDocumentation reads the examples of docs/catalog.md as a catalog, and
// looks for every column in the table of its file.
func TestDocumentation(t *testing.T) {
	raw, err := os.ReadFile("../docs/catalog.md")
	require.NoError(t, err)
	text := string(raw)

	folder := fstest.MapFS{}
	for _, example := range regexp.MustCompile("(?s)```(?:csv|yaml) (\\S+)\n(.*?)```").FindAllStringSubmatch(text, -1) {
		folder[example[1]] = &fstest.MapFile{Data: []byte(example[2])}
	}
	assert.Empty(t, read(t, folder).Advice)

	_, common, found := strings.Cut(text, "## Common columns\n")
	require.True(t, found)
	common, _, _ = strings.Cut(common, "\n## ")
	for _, file := range catalog.Files() {
		_, section, found := strings.Cut(text, "\n## "+file+"\n")
		require.True(t, found, file)
		section, _, _ = strings.Cut(section, "\n## ")
		if file != "tools.csv" && file != "labour.csv" {
			section += common
		}
		for _, column := range catalog.Columns(file) {
			assert.Contains(t, section, "| `"+column+"` |", "%s: %s", file, column)
		}
	}
}
