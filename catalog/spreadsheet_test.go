package catalog_test

import (
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"testing/fstest"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// asShown has LibreOffice write every sheet of a workbook to a CSV file of its own:
// commas, double quotes, UTF-8, from the first row, cells as they are shown.
const asShown = "csv:Text - txt - csv (StarCalc):44,34,76,1,,0,false,true,false,false,false,-1"

// TestSpreadsheetProgramAgrees has a spreadsheet program save the workbook of a shop as
// CSV files, which must be the same catalog.
func TestSpreadsheetProgramAgrees(t *testing.T) {
	program, err := exec.LookPath("soffice")
	if err != nil {
		if os.Getenv("LUGBOOK_REQUIRE_SPREADSHEET") == "1" {
			require.NoError(t, err, "apt-get install libreoffice-calc")
		}
		t.Skip("soffice is missing: apt-get install libreoffice-calc")
	}
	for name, folder := range map[string]fstest.MapFS{"minimal": minimal(t), "demo": demoFolder(t)} {
		t.Run(name, func(t *testing.T) {
			scratch := t.TempDir()
			book := inWorkbook(t, folder)
			require.NoError(t, os.WriteFile(filepath.Join(scratch, "catalog.xlsx"), book["catalog.xlsx"].Data, 0o600))
			ctx, stop := context.WithCancel(t.Context())
			defer stop()
			said, err := exec.CommandContext(ctx, program, "-env:UserInstallation=file://"+scratch+"/profile", "--headless", "--norestore",
				"--convert-to", asShown, "--outdir", scratch, filepath.Join(scratch, "catalog.xlsx")).CombinedOutput()
			require.NoError(t, err, string(said))

			saved := fstest.MapFS{}
			for file, content := range folder {
				if !strings.HasSuffix(file, ".csv") {
					saved[file] = content
					continue
				}
				raw, err := os.ReadFile(filepath.Join(scratch, "catalog-"+file))
				require.NoError(t, err, string(said))
				saved[file] = &fstest.MapFile{Data: raw}
			}
			want := read(t, folder)
			assert.Equal(t, want.Revision, read(t, saved).Revision, "CSV from the program")
			assert.Equal(t, want.Revision, read(t, book).Revision, "the workbook itself")
		})
	}
}
