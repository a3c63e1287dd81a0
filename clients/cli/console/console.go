// Package console plays a person at a terminal: it waits for what stands on the
// screen and types. Tests use it on commands that ask.
package console

import (
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"sync"
	"time"

	"github.com/creack/pty"
)

// Keys that are not letters, as a terminal sends them.
const (
	Enter  = "\r"
	Down   = "\x1b[B"
	Escape = "\x1b"
	CtrlC  = "\x03"
	CtrlD  = "\x04"

	Backspace = "\x7f"
)

// Size of the screen, that of the smallest usual terminal.
const (
	columns = 80
	rows    = 24
)

// Console is a terminal with a person before it. Open makes one.
type Console struct {
	person, program *os.File // the two ends

	mu      sync.Mutex
	written strings.Builder // all that the program wrote
	seen    int             // how much of it, without its colours, was waited for already
	more    chan struct{}   // told when something was written
	ended   chan struct{}   // closed when nothing more can come
}

// Open makes a terminal. The caller closes it.
func Open() (*Console, error) {
	person, program, err := pty.Open()
	if err != nil {
		return nil, fmt.Errorf("open a pseudo-terminal: %w", err)
	}
	if err := pty.Setsize(person, &pty.Winsize{Rows: rows, Cols: columns}); err != nil {
		return nil, fmt.Errorf("set the size of the terminal: %w", err)
	}
	c := &Console{person: person, program: program, more: make(chan struct{}, 1), ended: make(chan struct{})}
	go c.read()
	return c, nil
}

// TTY gives the end that the program reads from and writes to.
func (c *Console) TTY() *os.File { return c.program }

// read keeps what the program writes.
func (c *Console) read() {
	defer close(c.ended)
	_, _ = io.Copy(c, c.person) // it ends when the terminal is closed
}

// Write takes what the program wrote; the reader of the terminal calls it.
func (c *Console) Write(b []byte) (int, error) {
	c.mu.Lock()
	c.written.Write(b)
	c.mu.Unlock()
	select {
	case c.more <- struct{}{}:
	default: // it was told already
	}
	return len(b), nil
}

// Type types a text.
func (c *Console) Type(text string) error {
	_, err := c.person.WriteString(text)
	return err
}

// WaitFor waits until a text was written since the last one that was waited for.
// The error says what was written in its place.
func (c *Console) WaitFor(text string, limit time.Duration) error {
	timer := time.NewTimer(limit)
	defer timer.Stop()
	for {
		if c.found(text) {
			return nil
		}
		select {
		case <-c.more:
		case <-c.ended:
			if c.found(text) {
				return nil
			}
			return fmt.Errorf("the terminal was closed before %q; on the screen: %q", text, c.unseen())
		case <-timer.C:
			return fmt.Errorf("%q did not come within %v; on the screen: %q", text, limit, c.unseen())
		}
	}
}

// colours are the control sequences that change how letters look.
var colours = regexp.MustCompile("\x1b\\[[0-9;]*m")

// found tells that a text was written, whatever its colours, and goes on behind it.
func (c *Console) found(text string) bool {
	c.mu.Lock()
	defer c.mu.Unlock()
	at := strings.Index(c.plain()[c.seen:], text)
	if at < 0 {
		return false
	}
	c.seen += at + len(text)
	return true
}

// plain gives all that was written, without its colours.
func (c *Console) plain() string { return colours.ReplaceAllString(c.written.String(), "") }

// shown is how much of the screen an error tells, in bytes.
const shown = 4000

// unseen gives what was written since the text that was waited for last: its
// beginning, where a cursor blinks on.
func (c *Console) unseen() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	text := c.plain()[c.seen:]
	return text[:min(len(text), shown)]
}

// endMark is written behind the last that a program wrote; no program writes it.
const endMark = "\x00end"

// Screen gives all that was written to the terminal by a program that has ended.
func (c *Console) Screen(limit time.Duration) (string, error) {
	if _, err := c.program.WriteString(endMark); err != nil {
		return "", fmt.Errorf("write to the terminal: %w", err)
	}
	err := c.WaitFor(endMark, limit)
	return strings.ReplaceAll(c.Written(), endMark, ""), err
}

// Written gives what was written so far.
func (c *Console) Written() string {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.written.String()
}

// Close closes the person's end, and nothing is read any more. The program's end
// closes when nobody uses it: what draws screens may look at it a little longer.
func (c *Console) Close() error { return c.person.Close() }
