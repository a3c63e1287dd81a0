// Package page lays out plain text for a terminal or a printer of fixed width:
// paragraphs, labelled values with hanging indents, and tables of which one
// column wraps. It reckons in columns of the screen, not in bytes or runes, and
// it lets no control character through, since some of the text comes from
// elsewhere.
package page
