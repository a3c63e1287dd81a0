// Package layers_test holds the tree to its own order: imports point downwards
// only, the domain stays pure, packages have telling names, and nothing strays to
// the top folder. The order itself stands in rules_test.go.
package layers_test

import (
	"bytes"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"path"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// listed is what the go command tells of a package.
type listed struct {
	ImportPath, Name string
	Module           struct{ Path, Dir string }
	Imports          []string
	TestImports      []string
	XTestImports     []string
}

// folder gives the package's place in the tree.
func (p *listed) folder() string { return strings.TrimPrefix(p.ImportPath, p.Module.Path+"/") }

// list asks the go command for every package of the module.
func list(t *testing.T) []listed {
	t.Helper()
	cmd := exec.CommandContext(t.Context(), "go", "list", "-json=ImportPath,Name,Module,Imports,TestImports,XTestImports", "../../../...")
	var faults bytes.Buffer
	cmd.Stderr = &faults
	out, err := cmd.Output()
	require.NoError(t, err, faults.String())
	var packages []listed
	decoder := json.NewDecoder(bytes.NewReader(out))
	for {
		var p listed
		err := decoder.Decode(&p)
		if errors.Is(err, io.EOF) {
			return packages
		}
		require.NoError(t, err)
		packages = append(packages, p)
	}
}

func TestImportsPointDownwards(t *testing.T) {
	packages := list(t)
	require.Greater(t, len(packages), 10, "the whole tree is listed")
	for i := range packages {
		p := &packages[i]
		_, placed := layerOf(p.folder())
		assert.True(t, placed, "%s belongs to no layer: give it a place in rules_test.go", p.folder())
		for _, to := range p.Imports {
			assertArrow(t, p, to, false)
		}
		for _, to := range slices.Concat(p.TestImports, p.XTestImports) {
			assertArrow(t, p, to, true)
		}
	}
}

func assertArrow(t *testing.T, p *listed, to string, byTest bool) {
	t.Helper()
	if target, ok := strings.CutPrefix(to, p.Module.Path+"/"); ok {
		assert.Empty(t, wrong(p.folder(), target, byTest))
	}
}

// The rules themselves: what must be refused is, what must pass does.
func TestRules(t *testing.T) {
	tests := []struct {
		name, from, to string
		byTest         bool
		refused        string // a part of the answer; empty = allowed
	}{
		{"electrical on quantities", electrical, quantities, false, ""},
		{"electrical on the catalog", electrical, shopCatalog, false, "bottom of the domain"},
		{"quantities on anything", quantities, electrical, false, "leaf"},
		{"the catalog on its shop", shopCatalog, demo, false, "parts"},
		{"the catalog's tests on its shop", shopCatalog, demo, true, ""},
		{"design on pricing", design, pricing, false, "priced"},
		{"design on the contract", design, contract, false, "sent"},
		{"design on the invented shop", design, demo, false, "priced"},
		{"design's tests on the invented shop", design, demo, true, ""},
		{"pricing on design", pricing, design, false, ""},
		{"wording on design", wording, design, false, "codes and figures"},
		{"a document on electrical", document, electrical, false, ""},
		{"a document on the contract", document, contract, false, "renders"},
		{"a document on the handlers", document, rpc, false, "renders"},
		{"quoting on the store", quoting, store, false, "use cases"},
		{"the store on the use cases", store, quoting, false, ""},
		{"the store on quantities", store, quantities, false, "opaque"},
		{"the store's database on the contract", store + "/sqlite", contract, false, "opaque"},
		{"handlers on the contract", rpc, contract, false, ""},
		{"handlers on the store", rpc + "/server", store, false, "use cases"},
		{"a client on the contract", "clients/cli", contract, false, ""},
		{"a client on another", "clients/cli", "clients/jobfile", false, ""},
		{"a client on the catalog", "clients/cli", shopCatalog, false, "nothing of service or catalog"},
		{"a client's test on the service", "clients/cli", rpc, true, "nothing of service or catalog"},
		{"a client on a program", "clients/cli", "cmd/lugbook", false, "nothing of service"},
		{"a program on everything", "cmd/lugbook", rpc + "/server", false, ""},
		{"a program on the invented shop", "cmd/lugbook", demo, false, ""},
		{"a program on another", "cmd/lugbook", "cmd/lugbookd", false, ""},
		{"a new folder", "service/surprise", quantities, false, "no layer"},
		{"on a new folder", design, "service/surprise", false, "no layer"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := wrong(tt.from, tt.to, tt.byTest)
			if tt.refused == "" {
				assert.Empty(t, got)
			} else {
				assert.Contains(t, got, tt.refused)
			}
		})
	}
}

func TestDomainIsPure(t *testing.T) {
	seen := 0
	packages := list(t)
	for i := range packages {
		p := &packages[i]
		if l, _ := layerOf(p.folder()); !l.pure {
			continue
		}
		seen++
		for _, to := range p.Imports {
			assert.NotContains(t, impure, to, "%s must not depend on the machine it runs on", p.folder())
		}
	}
	require.Greater(t, seen, 5, "the domain is listed")
}

func TestPackagesHaveTellingNames(t *testing.T) {
	packages := list(t)
	for i := range packages {
		p := &packages[i]
		assert.NotContains(t, vague, p.Name, p.folder())
		assert.NotContains(t, vague, path.Base(p.folder()), p.folder())
	}
}

func TestTopFolderHoldsNothingElse(t *testing.T) {
	root := list(t)[0].Module.Dir
	ignored := ignoredNames(t, root)
	entries, err := os.ReadDir(root)
	require.NoError(t, err)
	for _, e := range entries {
		if strings.HasPrefix(e.Name(), ".") || matches(t, ignored, e.Name()) {
			continue
		}
		assert.Contains(t, topLevel, e.Name(), "a new entry at the top needs a reason and a place in rules_test.go")
	}
}

// ignoredNames gives the patterns of .gitignore for names at the top.
func ignoredNames(t *testing.T, root string) []string {
	t.Helper()
	raw, err := os.ReadFile(filepath.Join(root, ".gitignore"))
	require.NoError(t, err)
	var names []string
	for line := range strings.Lines(string(raw)) {
		if name := strings.Trim(strings.TrimSpace(line), "/"); name != "" && !strings.Contains(name, "/") {
			names = append(names, name)
		}
	}
	return names
}

func matches(t *testing.T, patterns []string, name string) bool {
	t.Helper()
	for _, p := range patterns {
		ok, err := path.Match(p, name)
		require.NoError(t, err, p)
		if ok {
			return true
		}
	}
	return false
}
