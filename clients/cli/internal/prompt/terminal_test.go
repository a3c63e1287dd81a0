package prompt_test

import (
	"context"
	"errors"
	"testing"
	"time"

	"example.com/lugbook/clients/cli/console"
	"example.com/lugbook/clients/cli/internal/prompt"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

// patience is how long a screen may take: far more than it does, so that a busy
// machine fails nothing.
const patience = 20 * time.Second

// fruit is a screen with a question of each sort.
func fruit(name, which *string) prompt.Screen {
	return prompt.Screen{Title: "Of fruit", Fields: []prompt.Field{
		{Label: "Which?", Help: "One of these.", Value: which, Choices: []prompt.Choice{{Value: "a", Label: "apple"}, {Value: "b", Label: "blackberry"}, {Value: "c", Label: "cherry"}}},
		{Label: "Name", Help: "Not empty.", Value: name, Check: func(text string) error {
			if text == "" || text == "x" {
				return errors.New("that is no name")
			}
			return nil
		}},
	}}
}

// asking asks a screen on a terminal while do plays the person.
func asking(ctx context.Context, t *testing.T, plain bool, screen prompt.Screen, do func(c *console.Console)) error {
	t.Helper()
	c, err := console.Open()
	require.NoError(t, err)
	t.Cleanup(func() { assert.NoError(t, c.Close()) })
	asker := prompt.NewTerminal(c.TTY(), c.TTY(), plain)
	done := make(chan error, 1)
	go func() { done <- asker.Ask(ctx, screen) }()
	do(c)
	select {
	case err := <-done:
		return err
	case <-time.After(patience):
		t.Fatalf("the screen was not left; on it: %q", c.Written())
		return nil
	}
}

// plays waits for texts and types, by turns.
func plays(t *testing.T, turns ...string) func(c *console.Console) {
	t.Helper()
	return func(c *console.Console) {
		for i := 0; i+1 < len(turns); i += 2 {
			require.NoError(t, c.WaitFor(turns[i], patience))
			require.NoError(t, c.Type(turns[i+1]))
		}
	}
}

func TestMovingScreen(t *testing.T) {
	t.Parallel()
	for _, c := range []struct {
		name        string
		turns       []string
		err         error
		which, text string
	}{
		{"answers", []string{"Ctrl+C: leave", console.Down, "> blackberry", console.Enter, "┃ Name", "Ann" + console.Enter}, nil, "b", "Ann"},
		{"mended answer", []string{"Ctrl+C: leave", console.Enter, "┃ Name", "x" + console.Enter, "that is no name", "yz" + console.Enter}, nil, "a", "xyz"},
		{"back", []string{"Ctrl+C: leave", console.Down, "> blackberry", console.Escape}, prompt.ErrBack, "", ""},
		{"leave", []string{"Ctrl+C: leave", console.CtrlC}, prompt.ErrStopped, "", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			var name, which string
			require.ErrorIs(t, asking(t.Context(), t, false, fruit(&name, &which), plays(t, c.turns...)), c.err)
			assert.Equal(t, c.which, which)
			assert.Equal(t, c.text, name)
		})
	}
}

// The first screen has none before it: Escape does nothing there.
func TestNothingBeforeTheFirstScreen(t *testing.T) {
	t.Parallel()
	answer := "c"
	screen := prompt.Screen{Title: "Of fruit", First: true, Fields: []prompt.Field{{Label: "Which?", Value: &answer, Choices: []prompt.Choice{{Value: "a", Label: "apple"}, {Value: "c", Label: "cherry"}}}}}
	err := asking(t.Context(), t, false, screen, func(c *console.Console) {
		require.NoError(t, c.WaitFor("Ctrl+C: leave", patience))
		assert.NotContains(t, c.Written(), "Esc: back")
		require.NoError(t, c.Type(console.Down)) // from the given answer around to the first
		require.NoError(t, c.WaitFor("> apple", patience))
		require.NoError(t, c.Type(console.Escape+console.Escape))
		require.NoError(t, c.Type(console.Down))
		require.NoError(t, c.WaitFor("> cherry", patience))
		require.NoError(t, c.Type(console.Enter))
	})
	require.NoError(t, err)
	assert.Equal(t, "c", answer)
}

func TestTypingNarrowsChoices(t *testing.T) {
	t.Parallel()
	answer := ""
	var choices []prompt.Choice
	for r := 'a'; r <= 'z'; r++ {
		choices = append(choices, prompt.Choice{Value: string(r), Label: "letter " + string(r)})
	}
	screen := prompt.Screen{Title: "Letters", First: true, Fields: []prompt.Field{{Label: "letter", Value: &answer, Choices: choices, Filter: true}}}
	err := asking(t.Context(), t, false, screen, func(c *console.Console) {
		require.NoError(t, c.WaitFor("Ctrl+C: leave", patience))
		require.NoError(t, c.Type("R Q"))
		require.NoError(t, c.WaitFor("> letter q", patience))
		require.NoError(t, c.Type(console.Enter))
	})
	require.NoError(t, err)
	assert.Equal(t, "q", answer)
}

// What matches is in sight, also where the person had moved down before.
func TestTypingAfterMoving(t *testing.T) {
	t.Parallel()
	answer := ""
	var choices []prompt.Choice
	for r := 'a'; r <= 'z'; r++ {
		choices = append(choices, prompt.Choice{Value: string(r), Label: "letter " + string(r)})
	}
	choices[2].Label = "letter c, an old one"
	screen := prompt.Screen{Title: "Letters", First: true, Fields: []prompt.Field{{Label: "letter", Value: &answer, Choices: choices, Filter: true}}}
	err := asking(t.Context(), t, false, screen, func(c *console.Console) {
		require.NoError(t, c.WaitFor("Ctrl+C: leave", patience))
		for range 20 {
			require.NoError(t, c.Type(console.Down))
		}
		require.NoError(t, c.WaitFor("> letter u", patience))
		require.NoError(t, c.Type("zz"))
		require.NoError(t, c.WaitFor("Nothing matches", patience))
		require.NoError(t, c.Type(console.Backspace+console.Backspace+"o"))
		require.NoError(t, c.WaitFor("> letter c, an old one", patience))
		require.NoError(t, c.Type(console.Enter))
	})
	require.NoError(t, err)
	assert.Equal(t, "c", answer)
}

func TestPlainScreen(t *testing.T) {
	t.Parallel()
	const ask, name = "Enter a number between 1 and 4: ", "Not empty."
	for _, c := range []struct {
		name           string
		which, text    string // before
		turns          []string
		err            error
		picked, called string
	}{
		{"answers", "", "", []string{ask, "2\n", name, "Ann\n"}, nil, "b", "Ann"},
		{"mended answers", "", "", []string{ask, "9\n", ask, "three\n", ask, "3\n", name, "\n", "that is no name", "x\n", "that is no name", "Bo\n"}, nil, "c", "Bo"},
		{"what is there already", "b", "Cy", []string{"Which? (Enter: 2)", "\n", "Name (Enter: Cy):", "\n"}, nil, "b", "Cy"},
		{"back from a choice", "b", "Cy", []string{ask, "4\n"}, prompt.ErrBack, "b", "Cy"},
		{"back from a text", "b", "Cy", []string{ask, "1\n", name, "<\n"}, prompt.ErrBack, "b", "Cy"},
		{"end of input", "b", "Cy", []string{ask, console.CtrlD}, prompt.ErrStopped, "b", "Cy"},
		{"typed ahead", "", "", []string{ask, "2\nAnn\n"}, nil, "b", "Ann"},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			which, text := c.which, c.text
			require.ErrorIs(t, asking(t.Context(), t, true, fruit(&text, &which), plays(t, c.turns...)), c.err)
			assert.Equal(t, c.picked, which)
			assert.Equal(t, c.called, text)
		})
	}
}

// A text that may be left out can be taken back.
func TestPlainTextTakenBack(t *testing.T) {
	t.Parallel()
	answer := "Ann"
	screen := prompt.Screen{Title: "Names", First: true, Fields: []prompt.Field{{Label: "Name", Value: &answer}}}
	require.NoError(t, asking(t.Context(), t, true, screen, plays(t, "Name (Enter: Ann, -: none):", "-\n")))
	assert.Empty(t, answer)
}

// A command that is stopped from outside stops asking.
func TestStoppedFromOutside(t *testing.T) {
	t.Parallel()
	for _, plain := range []bool{false, true} {
		ctx, cancel := context.WithCancel(t.Context())
		var name, which string
		err := asking(ctx, t, plain, fruit(&name, &which), func(c *console.Console) {
			require.NoError(t, c.WaitFor("One of these.", patience))
			cancel()
		})
		require.ErrorIs(t, err, context.Canceled)
	}
}
