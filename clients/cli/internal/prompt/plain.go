package prompt

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"strings"

	"github.com/charmbracelet/huh"
	"github.com/muesli/cancelreader"
)

// Answers of the plain form that are not answers.
const (
	backKey  = "<" // to the screen before
	clearKey = "-" // no text, where Enter alone keeps the one there is
)

// askPlain asks line by line.
func (t *Terminal) askPlain(ctx context.Context, screen Screen, answers []string) error {
	cancelable, err := cancelreader.NewReader(t.in)
	if err != nil {
		return fmt.Errorf("read from the terminal: %w", err)
	}
	stop := context.AfterFunc(ctx, func() { cancelable.Cancel() })
	defer func() {
		stop()
		_ = cancelable.Close() // the terminal itself stays open
	}()
	in := &lines{r: cancelable}
	t.Tell("\n" + screen.Title + "\n\n")
	for i, f := range screen.Fields {
		if err := t.plainField(f, &answers[i], in, screen.First); err != nil {
			return err
		}
		if ctx.Err() != nil {
			return context.Cause(ctx)
		}
		if in.ended {
			return ErrStopped
		}
		t.Tell("\n")
	}
	return nil
}

// plainField asks one question.
func (t *Terminal) plainField(f Field, answer *string, in io.Reader, first bool) error {
	if f.Help != "" && !f.Filter { // it says how to move, and here nothing moves
		t.Tell(f.Help + "\n")
	}
	if len(f.Choices) > 0 {
		return t.plainChoice(f, answer, in, first)
	}
	keeps := ""
	switch {
	case *answer != "" && f.check("") == nil:
		keeps = fmt.Sprintf(" (Enter: %s, %s: none)", *answer, clearKey)
	case *answer != "":
		keeps = fmt.Sprintf(" (Enter: %s)", *answer)
	}
	given := *answer
	check := func(text string) error {
		switch strings.TrimSpace(text) {
		case backKey:
			return nil
		case clearKey:
			return f.check("")
		case "":
			return f.check(*answer)
		}
		return f.check(text)
	}
	if err := huh.NewInput().Title(f.Label+keeps+":").Validate(check).Value(&given).RunAccessible(t.out, in); err != nil {
		return fmt.Errorf("ask on the terminal: %w", err)
	}
	switch {
	case given == backKey && !first:
		return ErrBack
	case given == backKey, given == clearKey:
		given = ""
	}
	*answer = given
	return nil
}

// goBack is the value of the choice that goes back; no answer is a line feed.
const goBack = "\n"

// plainChoice asks for the number of a choice.
func (t *Terminal) plainChoice(f Field, answer *string, in io.Reader, first bool) error {
	options := make([]huh.Option[string], 0, len(f.Choices)+1)
	enter := 1
	for i, c := range f.Choices {
		options = append(options, huh.NewOption(c.Label, c.Value))
		if c.Value == *answer {
			enter = i + 1
		}
	}
	if !first {
		options = append(options, huh.NewOption("(go back)", goBack))
	}
	given := *answer
	title := fmt.Sprintf("%s (Enter: %d)", f.Label, enter)
	if err := huh.NewSelect[string]().Title(title).Options(options...).Value(&given).WithTheme(theme()).RunAccessible(t.out, in); err != nil {
		return fmt.Errorf("ask on the terminal: %w", err)
	}
	if given == goBack {
		return ErrBack
	}
	*answer = given
	return nil
}

// lines reads no further than to the end of a line, so that what is typed ahead is
// there for the next question. It remembers that there is no more.
type lines struct {
	r     io.Reader
	ended bool
}

// Read reads up to the end of a line, byte by byte: people do not type fast.
func (l *lines) Read(b []byte) (int, error) {
	var one [1]byte
	n := 0
	for n < len(b) {
		read, err := l.r.Read(one[:])
		if read == 1 {
			b[n] = one[0]
			n++
			if bytes.IndexByte(one[:], '\n') == 0 {
				return n, nil
			}
		}
		if err != nil {
			l.ended = true
			if errors.Is(err, cancelreader.ErrCanceled) {
				err = io.EOF
			}
			return n, err
		}
	}
	return n, nil
}
