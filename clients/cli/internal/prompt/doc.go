// Package prompt asks people on a terminal, a screen of questions at a time: with
// lists to move through, or, in its plain form, line by line for terminals that
// cannot move the cursor and for screen readers.
package prompt
