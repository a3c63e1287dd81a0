// Package electrical holds the shared electrical rules: pure functions on typed
// quantities that say how large a conductor, how strong a fuse and how many
// volts. It does no I/O and keeps no state; the tables it reads are embedded
// and carry their source.
//
// It is the bottom of the domain: it imports api/quantity and nothing else of
// the project. Every layer that needs a number by rule takes it from here.
//
// Rounding is to the safe side and happens once, where a stocked size or rating
// is chosen; of every band of values the unfavourable end is taken.
package electrical
