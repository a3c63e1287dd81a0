package prompt

import (
	"context"
	"errors"
	"fmt"
	"os"

	_ "example.com/lugbook/clients/cli/internal/prompt/background" // before the library is loaded
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"
)

// mostShown is how many choices are shown at once (own choice): with title and
// footer they fit a terminal of 20 lines.
const mostShown = 12

// Terminal asks on a terminal.
type Terminal struct {
	in, out *os.File
	plain   bool
}

// NewTerminal makes an asker that reads from one file and writes to another, both
// terminals. Plain: line by line, without moving the cursor.
func NewTerminal(in, out *os.File, plain bool) *Terminal {
	return &Terminal{in: in, out: out, plain: plain}
}

// Tell writes a text.
func (t *Terminal) Tell(text string) { fmt.Fprint(t.out, text) }

// Ask asks the questions of a screen.
func (t *Terminal) Ask(ctx context.Context, screen Screen) error {
	answers := make([]string, len(screen.Fields))
	for i, f := range screen.Fields {
		answers[i] = *f.Value
	}
	ask := t.askMoving
	if t.plain {
		ask = t.askPlain
	}
	if err := ask(ctx, screen, answers); err != nil {
		return err
	}
	for i, f := range screen.Fields {
		*f.Value = answers[i]
	}
	return nil
}

// askMoving asks with lists to move through.
func (t *Terminal) askMoving(ctx context.Context, screen Screen, answers []string) error {
	fields := make([]huh.Field, len(screen.Fields))
	for i, f := range screen.Fields {
		fields[i] = movingField(f, &answers[i])
	}
	form := huh.NewForm(huh.NewGroup(fields...).Title(screen.Title)).WithTheme(theme()).WithKeyMap(keys()).WithShowHelp(false)
	form.SubmitCmd, form.CancelCmd = tea.Quit, tea.Quit
	m := &moving{form: form, first: screen.First}
	_, err := tea.NewProgram(m, tea.WithContext(ctx), tea.WithInput(t.in), tea.WithOutput(t.out)).Run()
	switch {
	case ctx.Err() != nil:
		return context.Cause(ctx)
	case errors.Is(err, tea.ErrInterrupted) || form.State == huh.StateAborted:
		return ErrStopped
	case err != nil:
		return fmt.Errorf("ask on the terminal: %w", err)
	case m.back:
		return ErrBack
	}
	return nil
}

// movingField makes the field for a question.
func movingField(f Field, answer *string) huh.Field {
	if len(f.Choices) == 0 {
		return huh.NewInput().Title(f.Label).Description(f.Help).Validate(f.check).Value(answer)
	}
	options := make([]huh.Option[string], len(f.Choices))
	for i, c := range f.Choices {
		options[i] = huh.NewOption(c.Label, c.Value)
	}
	s := huh.NewSelect[string]().Title(f.Label).Description(f.Help).Options(options...).Value(answer)
	if len(f.Choices) > mostShown {
		s = s.Height(mostShown + 2) // with title and help
	}
	return s.Filtering(f.Filter)
}

// theme is how screens look: the terminal's own colours, so that it is read on
// light and dark alike and nothing hangs on colour.
func theme() *huh.Theme {
	t := huh.ThemeBase()
	t.Group.Title = lipgloss.NewStyle().Bold(true)
	t.Focused.Title = lipgloss.NewStyle().Bold(true)
	t.Focused.Description = lipgloss.NewStyle().Faint(true)
	t.Blurred.Description = lipgloss.NewStyle().Faint(true)
	t.Focused.SelectedOption = lipgloss.NewStyle().Bold(true)
	return t
}
