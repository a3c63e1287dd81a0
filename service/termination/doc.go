// Package termination plans joints: for one end of a run it says which terminal,
// sleeve, tool and die, how far to strip, how long to cut the sleeve, what a
// sample must bear, the steps in order, and the labour that takes.
//
// It builds on catalog and service/electrical. It chooses by cost among parts
// that fit and refuses, with the constraint that binds, where none does. Prose
// is made elsewhere: steps and reasons are codes with figures.
package termination
