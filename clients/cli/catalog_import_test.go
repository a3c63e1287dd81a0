package cli_test

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"example.com/lugbook/clients/cli/internal/page"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
)

func TestImportPages(t *testing.T) {
	t.Parallel()
	dir := folder(t, map[string]int{"fuses.csv": 300_000, "shop.yaml": 2})
	for file, c := range map[string]struct {
		width int
		args  []string
	}{
		"import_80.txt":         {80, []string{"import", dir}},
		"import_dry_120.txt":    {120, []string{"import", dir, "--dry-run", "--all"}},
		"import.json.golden":    {80, []string{"import", dir, "--output", "json"}},
		"import_same_80.txt":    {80, []string{"import", folder(t, map[string]int{"same.csv": 1})}},
		"revisions_80.txt":      {80, []string{"revisions"}},
		"revisions.json.golden": {80, []string{"revisions", "--output", "json"}},
	} {
		shop := new(fakeShop)
		got := shop.runAt(t, c.width, "", append([]string{"catalog"}, c.args...)...)
		require.Equal(t, cli.Done, got.code, got.errors)
		golden(t, file, got.out)
		if !strings.HasSuffix(file, ".txt") {
			continue
		}
		for line := range strings.Lines(got.out) {
			assert.LessOrEqual(t, page.Width(strings.TrimSuffix(line, "\n")), c.width, line)
		}
	}
}

// A catalog is announced with its size, and goes over whole.
func TestImportAnnouncesWhatItSends(t *testing.T) {
	t.Parallel()
	shop := new(fakeShop)
	dir := folder(t, map[string]int{"fuses.csv": 600_000, "shop.yaml": 7, "notes.txt": 3})
	got := shop.run(t, "", "catalog", "import", dir, "--note", "why", "--expect", "5e0c3a91", "--dry-run", "--units", "us", "--lang", "en")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Equal(t, map[string]int{"fuses.csv": 600_000, "shop.yaml": 7}, shop.uploaded)
	want := &lugbookv1.ImportCatalogOptions{SizeBytes: 600_007, DryRun: true, Note: "why", ExpectedRevision: "5e0c3a91", UnitSystem: lugbookv1.UnitSystem_UNIT_SYSTEM_US, Language: "en"}
	assert.True(t, proto.Equal(want, shop.got), "%v", shop.got)
	assert.Equal(t, "hint: nothing was changed; without --dry-run the catalog is put in force\n", got.errors, "and no bar where there is no terminal")
}

func TestImportExitCodes(t *testing.T) {
	t.Parallel()
	sound, faulty := folder(t, map[string]int{"fuses.csv": 1}), folder(t, map[string]int{"faults.csv": 1})
	got := new(fakeShop).run(t, "", "catalog", "import", faulty)
	assert.Equal(t, result{cli.Misused, "", "lugbook: the catalog has 2 faults; nothing was imported\n" +
		"fuses.csv:7:9: rating_a: \"sixty\" is not a number; allowed: above 0\nshop.yaml: the file is missing\n" +
		"hint: mend the files and import them again; \"lugbook catalog check\" says what is missing besides\n"}, got)
	got = new(fakeShop).run(t, "", "catalog", "import", faulty, "--output", "json")
	assert.Equal(t, cli.Misused, got.code)
	assert.Contains(t, got.out, `"problem": "the file is missing"`)
	for name, c := range map[string]struct {
		args []string
		err  error
		code cli.ExitCode
		told string
	}{
		"nothing named": {[]string{"import"}, nil, cli.Misused, "not given: the folder of the catalog"},
		"two":           {[]string{"import", sound, faulty}, nil, cli.Misused, "one catalog at a time"},
		"nowhere":       {[]string{"import", filepath.Join(sound, "nowhere")}, nil, cli.Misused, "there is no such folder or file"},
		"others first":  {[]string{"import", sound}, status.Error(codes.Aborted, "Others were first."), cli.Failed, "Others were first."},
		"bad note":      {[]string{"import", sound}, status.Error(codes.InvalidArgument, "Too long."), cli.Misused, "Too long."},
	} {
		got := (&fakeShop{err: c.err}).run(t, "", append([]string{"catalog"}, c.args...)...)
		assert.Equal(t, c.code, got.code, name)
		assert.Empty(t, got.out, name)
		assert.Contains(t, got.errors, c.told, name)
	}
}

func TestExport(t *testing.T) {
	t.Parallel()
	dir := filepath.Join(t.TempDir(), "new", "folder")
	shop := new(fakeShop)
	got := shop.run(t, "", "catalog", "export", dir, "--revision", "5e0c3a91")
	require.Equal(t, cli.Done, got.code, got.errors)
	assert.Equal(t, "5e0c3a91", shop.got.(*lugbookv1.ExportCatalogRequest).GetCatalogRevision())
	assert.Equal(t, map[string]string{"fuses.csv": "sku\n1\n", "shop.yaml": "a: b"}, contents(t, dir))

	assert.Equal(t, cli.Misused, new(fakeShop).run(t, "", "catalog", "export", dir).code, "it is not empty")
	require.NoError(t, os.WriteFile(filepath.Join(dir, "letter.txt"), []byte("mine"), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "fuses.csv"), []byte("old"), 0o600))
	assert.Equal(t, cli.Done, new(fakeShop).run(t, "", "catalog", "export", dir, "--replace").code)
	assert.Equal(t, map[string]string{"fuses.csv": "sku\n1\n", "shop.yaml": "a: b", "letter.txt": "mine"}, contents(t, dir))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "tables.xlsx"), nil, 0o600))
	assert.Equal(t, cli.Misused, new(fakeShop).run(t, "", "catalog", "export", dir, "--replace").code, "the workbook would count too")
}

// What does not come whole, or was not asked for, leaves nothing behind.
func TestExportIsWholeOrNothing(t *testing.T) {
	t.Parallel()
	for name, pieces := range map[string][]*lugbookv1.CatalogPiece{
		"cut short":    {{FileName: "fuses.csv", Data: []byte("sku")}},
		"too much":     {{FileName: "fuses.csv", Data: []byte("sku\n1\n")}, {FileName: "shop.yaml", Data: []byte("a: bc")}},
		"of no file":   {{Data: []byte("sku")}},
		"out of place": {{FileName: "../fuses.csv", Data: []byte("sku")}},
		"hidden":       {{FileName: ".profile", Data: []byte("sku")}},
	} {
		dir := t.TempDir()
		got := (&fakeShop{pieces: pieces}).run(t, "", "catalog", "export", filepath.Join(dir, "here"))
		assert.Equal(t, cli.Failed, got.code, name)
		assert.Empty(t, contents(t, dir), name)
	}
	dir := t.TempDir()
	got := (&fakeShop{err: status.Error(codes.NotFound, "No such catalog.")}).run(t, "", "catalog", "export", filepath.Join(dir, "here"))
	assert.Equal(t, cli.Failed, got.code)
	assert.Empty(t, contents(t, dir))
}

// contents gives the files of a folder.
func contents(t *testing.T, dir string) map[string]string {
	t.Helper()
	all := map[string]string{}
	entries, err := os.ReadDir(dir)
	require.NoError(t, err)
	for _, e := range entries {
		text, err := os.ReadFile(filepath.Join(dir, e.Name()))
		require.NoError(t, err)
		all[e.Name()] = string(text)
	}
	return all
}
