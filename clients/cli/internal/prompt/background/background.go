// Package background settles, before any command runs, that the colour of the
// terminal's background is not asked for. The library that draws screens asks the
// terminal while it is loaded, also for commands that ask nothing: that writes
// control characters to the terminal and waits five seconds for one that does not
// answer. Screens here use the terminal's own colours and need no answer.
//
// Packages without dependencies on each other are initialised in the order of
// their import paths (Go specification, Package initialization), and the path of
// this one stands before that of the library. A test runs the program on a
// terminal and finds nothing asked.
package background

import "github.com/charmbracelet/lipgloss"

// Settled tells that nothing will be asked.
var Settled = settle()

// settle states a background, so that nobody looks for it.
func settle() bool {
	lipgloss.SetHasDarkBackground(true)
	return true
}
