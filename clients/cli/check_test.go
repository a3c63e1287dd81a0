package cli_test

import (
	"errors"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// folder writes files of so many bytes and gives their folder.
func folder(t *testing.T, sizes map[string]int) string {
	t.Helper()
	dir := t.TempDir()
	for name, size := range sizes {
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), []byte(strings.Repeat("x", size)), 0o644))
	}
	return dir
}

// A catalog goes over whole, and nothing that lies beside it.
func TestCheckSendsTheCatalog(t *testing.T) {
	t.Parallel()
	dir := folder(t, map[string]int{"fuses.csv": 600_000, "shop.yaml": 0, "catalog.xlsx": 10, "old.xlsx": 5, ".hidden.csv": 1, "~$catalog.xlsx": 1, "notes.txt": 3})
	for path, want := range map[string]map[string]int{
		"":             {"fuses.csv": 600_000, "shop.yaml": 0, "catalog.xlsx": 10, "old.xlsx": 5},
		"catalog.xlsx": {"shop.yaml": 0, "catalog.xlsx": 10},
	} {
		shop := new(fakeShop)
		got := shop.run(t, "", "catalog", "check", filepath.Join(dir, path))
		assert.Equal(t, cli.Done, got.code, got.errors)
		assert.Equal(t, want, shop.uploaded)
	}
}

func TestCheckExitCodes(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		files map[string]int
		path  string
		code  cli.ExitCode
		out   string
		errs  string
	}{
		{map[string]int{"fine.csv": 1}, "", cli.Done, "advice: No stocked holder", ""},
		{map[string]int{"faults.csv": 1}, "", cli.FaultsFound, "fault: catalog.xlsx/fuses:7:9: rating_a: \"sixty\" is not a number; allowed:", "lugbook: the catalog has faults: 2\n"},
		{map[string]int{"gaps.csv": 1}, "", cli.FaultsFound, "stops work at: BUS-06, truck/frame", "lugbook: the catalog has faults: 1\n"},
		{nil, "", cli.Misused, "", "holds no file of a catalog"},
		{nil, "nowhere", cli.Misused, "", "there is no such folder or file"},
		{map[string]int{"a.txt": 1}, "a.txt", cli.Misused, "", "is neither a folder nor a workbook"},
	} {
		got := new(fakeShop).run(t, "", "catalog", "check", filepath.Join(folder(t, c.files), c.path))
		assert.Equal(t, c.code, got.code, got.errors)
		assert.Contains(t, got.out, c.out)
		assert.Contains(t, got.errors, c.errs)
	}
	broken := &fakeShop{err: errors.New("broken")}
	assert.Equal(t, cli.Failed, broken.run(t, "", "catalog", "check").code)
}
