package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"

	"github.com/rogpeppe/go-internal/testscript"
)

// runs does what a page of the documentation says: it runs the lines of its blocks of
// shell that begin with the program's name, and writes the files of its other blocks. A
// block "csv FILE" is the whole file; a block "yaml FILE" replaces the lines of the same
// keys. A line that does not end with 0 says so: "# ends with 3".
func runs(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 1 {
		ts.Fatalf("usage: runs page.md, of the documentation")
	}
	page, err := os.ReadFile(filepath.Join("..", "..", "docs", args[0]))
	ts.Check(err)
	found := 0
	for _, block := range blocks.FindAllStringSubmatch(string(page), -1) {
		kind, file, text := block[1], block[2], block[3]
		switch {
		case kind == "sh":
			for line := range strings.Lines(text) {
				if strings.HasPrefix(line, "lugbook ") {
					found++
					runLine(ts, strings.TrimSpace(line))
				}
			}
		case kind == "csv" && file != "":
			ts.Check(os.WriteFile(ts.MkAbs(file), []byte(text), 0o600))
		case kind == "yaml" && file != "":
			replaceKeys(ts, file, text)
		}
	}
	if found == 0 {
		ts.Fatalf("%s has no commands", args[0])
	}
}

// blocks finds the blocks of a page: kind, file, text.
var blocks = regexp.MustCompile("(?s)```(\\w+)(?: (\\S+))?\n(.*?)```\n")

// ending finds the code that a line says it ends with.
var ending = regexp.MustCompile(`# ends with (\d)$`)

func runLine(ts *testscript.TestScript, line string) {
	want, got := 0, 0
	if said := ending.FindStringSubmatch(line); said != nil {
		want, _ = strconv.Atoi(said[1]) // a digit
	}
	if err := ts.Exec("sh", "-c", line); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("%s: %v", line, err)
		}
		got = exit.ExitCode()
	}
	if got != want {
		ts.Fatalf("%s: ended with %d, not %d\n%s", line, got, want, ts.ReadFile("stderr"))
	}
}

// replaceKeys replaces the lines of a YAML file that begin with the keys of some lines.
func replaceKeys(ts *testscript.TestScript, file, lines string) {
	text := ts.ReadFile(file)
	for line := range strings.Lines(lines) {
		key, _, _ := strings.Cut(line, ":")
		at := regexp.MustCompile("(?m)^" + regexp.QuoteMeta(key) + ":.*\n")
		if !at.MatchString(text) {
			ts.Fatalf("%s has no key %s", file, key)
		}
		text = at.ReplaceAllLiteralString(text, line)
	}
	ts.Check(os.WriteFile(ts.MkAbs(file), []byte(text), 0o600))
}
