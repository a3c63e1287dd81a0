// Package coverage looks through a catalog for what it lacks: which stocked
// conductor cannot be ended where the shop's own vehicles, holders, blocks and
// equipment would have it, and which parts go with nothing. It plans every such end
// with package termination, so that it calls a gap what a job would call one.
//
//	report := coverage.Check(cat)
//
// Like the rest of the domain it returns codes and figures; the wording makes the
// sentences.
package coverage
