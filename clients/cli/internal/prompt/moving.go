package prompt

import (
	"github.com/charmbracelet/bubbles/key"
	tea "github.com/charmbracelet/bubbletea"
	"github.com/charmbracelet/huh"
	"github.com/charmbracelet/lipgloss"
)

// moving is a screen while it is asked.
type moving struct {
	form        *huh.Form
	first, back bool
	moved       bool // true: the person moved through the list since they typed
}

// keys are the usual ones, and those for pages: the library's own would be typed
// into the filter.
func keys() *huh.KeyMap {
	k := huh.NewDefaultKeyMap()
	k.Select.HalfPageUp = key.NewBinding(key.WithKeys("pgup"))
	k.Select.HalfPageDown = key.NewBinding(key.WithKeys("pgdown"))
	return k
}

// Init begins.
func (m *moving) Init() tea.Cmd { return m.form.Init() }

// Update takes a key, or what else happens. Escape goes back.
func (m *moving) Update(msg tea.Msg) (tea.Model, tea.Cmd) {
	if pressed, ok := msg.(tea.KeyMsg); ok {
		if pressed.Type == tea.KeyEsc && !m.first {
			m.back = true
			return m, tea.Quit
		}
		m.keepInSight(pressed)
	}
	_, cmd := m.form.Update(msg) // the form changes in place
	return m, cmd
}

// keepInSight moves to the top of a list before a letter narrows it: what matches
// above the place where the person was would be out of sight.
func (m *moving) keepInSight(pressed tea.KeyMsg) {
	list, ok := m.form.GetFocusedField().(*huh.Select[string])
	if !ok || !list.GetFiltering() {
		return
	}
	switch pressed.Type {
	case tea.KeyUp, tea.KeyDown, tea.KeyPgUp, tea.KeyPgDown:
		m.moved = true
	case tea.KeyRunes, tea.KeySpace, tea.KeyBackspace, tea.KeyDelete:
		for m.moved {
			before, _ := list.Hovered()
			m.form.Update(tea.KeyMsg{Type: tea.KeyPgUp})
			after, _ := list.Hovered()
			m.moved = before != after
		}
	}
}

// View draws the screen, with the keys below it; nothing once it is left.
func (m *moving) View() string {
	view := m.form.View()
	if m.back || view == "" {
		return ""
	}
	hint := "↑↓: move   Enter: next   Esc: back   Ctrl+C: leave, nothing is stored"
	if m.first {
		hint = "↑↓: move   Enter: next   Ctrl+C: leave, nothing is stored"
	}
	if list, ok := m.form.GetFocusedField().(*huh.Select[string]); ok && list.GetFiltering() {
		if _, found := list.Hovered(); !found {
			hint = "Nothing matches: take letters back   Ctrl+C: leave, nothing is stored"
		}
	}
	return view + "\n\n" + lipgloss.NewStyle().Faint(true).Render(hint) + "\n"
}
