package prompt

import (
	"context"
	"errors"
)

// What an answer can be in place of one.
var (
	// ErrBack: the person wants the screen before this one.
	ErrBack = errors.New("go back")
	// ErrStopped: the person wants to leave.
	ErrStopped = errors.New("stopped by the person asked")
)

// Asker asks the questions of a screen.
type Asker interface {
	// Ask asks, and sets the Value of each field to its answer. It changes none
	// where it returns an error: ErrBack, ErrStopped, or the context's.
	Ask(ctx context.Context, screen Screen) error
	// Tell writes a text above the next screen. It ends with a line feed.
	Tell(text string)
}

// Screen is a few questions that belong together.
type Screen struct {
	Title  string // what they are about
	Fields []Field
	First  bool // true: there is no screen before this one to go back to
}

// Field is one question.
type Field struct {
	Label   string             // the question, in a few words
	Help    string             // what may be answered, or empty
	Choices []Choice           // one of them is the answer; none: a line of text is
	Filter  bool               // true: typing narrows the choices
	Value   *string            // the answer that is taken on Enter alone, then the given one
	Check   func(string) error // says what is wrong with a line of text; nil takes any
}

// Choice is an answer that can be picked.
type Choice struct {
	Value string // what the answer is then, unique among the choices of a field
	Label string // how it is shown
}

// check says what is wrong with a text.
func (f Field) check(text string) error {
	if f.Check == nil {
		return nil
	}
	return f.Check(text)
}
