package main

import (
	"bytes"
	"encoding/json"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"github.com/rogpeppe/go-internal/testscript"
)

// TestMain lets the test binary stand in for the program: scripts run it as
// lugbook, a process of its own with arguments, environment and exit code.
func TestMain(m *testing.M) { testscript.Main(m, map[string]func(){"lugbook": main}) }

// TestScripts runs every script of testdata/script.
func TestScripts(t *testing.T) {
	t.Parallel()
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			if err := os.CopyFS(filepath.Join(env.WorkDir, "demo"), os.DirFS(filepath.Join("..", "..", "catalog", "demo"))); err != nil {
				return err
			}
			return os.CopyFS(filepath.Join(env.WorkDir, "examples"), os.DirFS(filepath.Join("..", "..", "docs", "examples")))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "json": isJSON, "fill": fill, "bytes": writeBytes, "columns": columns, "without": without, "asked": asked, "runs": runs,
		},
	})
}

// crashed is what a Go program that fell over leaves behind.
var crashed = regexp.MustCompile(`(?m)^(panic:|goroutine \d+ \[|fatal error:)`)

// exits runs a command and checks its exit code exactly: "exits 2 lugbook quote
// bad.yaml". A crash of a Go program exits with 2 as well, so it is told apart by
// what it prints; and whatever fails says so in text for people, on stderr alone.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code command [argument …]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("run %s: %v", args[1], err)
		}
		got = exit.ExitCode()
	}
	told, result := ts.ReadFile("stderr"), ts.ReadFile("stdout")
	switch {
	case got != want:
		ts.Fatalf("exit code %d, want %d", got, want)
	case crashed.MatchString(told + result):
		ts.Fatalf("the program crashed")
	case want != 0 && result != "":
		ts.Fatalf("a command that failed wrote a result")
	case want != 0 && !strings.HasPrefix(told, args[1]+": "):
		ts.Fatalf("the error does not begin with the program's name")
	}
}

// isJSON checks that a file, such as stdout, is one JSON object: "json stdout".
func isJSON(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: json file")
	}
	var object map[string]any
	ts.Check(json.Unmarshal([]byte(ts.ReadFile(args[0])), &object))
	if len(object) == 0 {
		ts.Fatalf("%s is an empty object", args[0])
	}
}

// fill makes a file of so many MB of remarks, which are valid YAML: "fill 50
// big.yaml".
func fill(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: fill megabytes file")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	const line, megabyte = "# nothing to see here, and much of it\n", 1_000_000
	ts.Check(os.WriteFile(ts.MkAbs(args[1]), bytes.Repeat([]byte(line), n*megabyte/len(line)+1), 0o600))
}

// writeBytes makes a file of bytes that a script cannot hold: "bytes file
// '\x00\xff'".
func writeBytes(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: bytes file escaped")
	}
	text, err := strconv.Unquote(`"` + args[1] + `"`)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(text), 0o600))
}

// columns checks that no line of a file is wider than so many characters:
// "columns 80 stdout".
func columns(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 2 {
		ts.Fatalf("usage: columns number file")
	}
	n, err := strconv.Atoi(args[0])
	ts.Check(err)
	for line := range strings.Lines(ts.ReadFile(args[1])) {
		if len([]rune(strings.TrimSuffix(line, "\n"))) > n {
			ts.Fatalf("wider than %d columns: %s", n, line)
		}
	}
}

// without copies a file but for the lines that match: "without pattern from to".
func without(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: without pattern from to")
	}
	pattern, err := regexp.Compile(args[0])
	ts.Check(err)
	var kept strings.Builder
	for line := range strings.Lines(ts.ReadFile(args[1])) {
		if !pattern.MatchString(line) {
			kept.WriteString(line)
		}
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[2]), []byte(kept.String()), 0o600))
}
