package main

import (
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"

	"example.com/lugbook/clients/cli/console"
	"github.com/rogpeppe/go-internal/testscript"
)

// patience is how long a screen may take to come: far more than it does, so that a
// busy machine fails nothing.
const patience = time.Minute

// keys are the words of a script of answers for keys that are not letters.
var keys = strings.NewReplacer("{enter}", console.Enter, "{down}", console.Down, "{esc}", console.Escape, "{ctrl+c}", console.CtrlC, "{ctrl+d}", console.CtrlD)

// asked runs a command on a terminal, where somebody answers: "asked 0 answers
// lugbook quotes create". A line of the file answers is "wait TEXT", for what has to
// stand on the screen, or "type TEXT". All that was written goes to the file screen.
func asked(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 3 {
		ts.Fatalf("usage: asked code answers command [argument …]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	terminal, err := console.Open()
	ts.Check(err)
	defer func() { ts.Check(terminal.Close()) }()
	command := onTerminal(ts, terminal, args[2], args[3:])
	ts.Check(command.Start())
	play(ts, terminal, command, ts.ReadFile(args[1]))
	ended := make(chan error, 1)
	go func() { ended <- command.Wait() }()
	select {
	case err = <-ended:
	case <-time.After(patience):
		ts.Check(command.Process.Kill())
		ts.Fatalf("it goes on asking; on the screen: %q", terminal.Written())
	}
	screen, unread := terminal.Screen(patience)
	ts.Check(unread)
	ts.Check(os.WriteFile(ts.MkAbs("screen"), []byte(strings.ReplaceAll(screen, "\r\n", "\n")), 0o600))
	ts.Logf("[screen]\n%q", screen)
	got := 0
	var exit *exec.ExitError
	if errors.As(err, &exit) {
		got = exit.ExitCode()
	} else {
		ts.Check(err)
	}
	if got != want || crashed.MatchString(screen) {
		ts.Fatalf("exit code %d, want %d", got, want)
	}
}

// play waits and types as the script of answers says.
func play(ts *testscript.TestScript, terminal *console.Console, command *exec.Cmd, answers string) {
	for line := range strings.Lines(answers) {
		verb, text, _ := strings.Cut(strings.TrimSpace(line), " ")
		var err error
		switch verb {
		case "wait":
			err = terminal.WaitFor(text, patience)
		case "type":
			err = terminal.Type(keys.Replace(text))
		case "", "#":
		default:
			ts.Fatalf("a line of answers is wait TEXT or type TEXT, not %q", line)
		}
		if err != nil {
			ts.Check(command.Process.Kill())
			ts.Fatalf("%s: %v", strings.TrimSpace(line), err)
		}
	}
}

// onTerminal makes a command whose three streams are a terminal, which is its own.
func onTerminal(ts *testscript.TestScript, terminal *console.Console, name string, args []string) *exec.Cmd {
	path := ""
	for _, folder := range filepath.SplitList(ts.Getenv("PATH")) {
		if info, err := os.Stat(filepath.Join(folder, name)); path == "" && err == nil && !info.IsDir() {
			path = filepath.Join(folder, name)
		}
	}
	command := exec.Command(path, args...) //nolint:noctx // the script names it, and the end of the script ends it
	command.Dir = ts.MkAbs(".")
	for _, key := range []string{"PATH", "HOME", "XDG_DATA_HOME", "TMPDIR", "TERM", "LUGBOOK_STORE", "LUGBOOK_STAFF", "LUGBOOK_ADDRESS"} {
		command.Env = append(command.Env, key+"="+ts.Getenv(key))
	}
	command.Stdin, command.Stdout, command.Stderr = terminal.TTY(), terminal.TTY(), terminal.TTY()
	command.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	return command
}
