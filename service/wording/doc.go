// Package wording makes every sentence that a person reads. The domain packages
// return codes and figures; here a code becomes a sentence of a language, and a
// figure a number with its unit.
//
// It stands above service/electrical, whose figures and reasons it renders, and
// knows neither the design nor the contract.
//
//	t := wording.For("en", wording.US)
//	t.Say("load.current", electrical.Num("current_a", 60, electrical.UnitA))
//	// The device draws 60 A at most, as stated.
//
// # Codes
//
// A reason's rule is its code. Other things the domain returns take a prefix:
//
//	note.       a caution (its fact is a reason under fact.)
//	step.       a step of a termination
//	conflict.   a conflict with the maker's figures
//	advice.     something worth saying that rejects nothing
//	unmet.      the constraint that binds, of a job or of one end
//	violation.  a fault of the input
//	error.      why a call failed; instead. what can be done then
//	why.        why a line is on a quote; line.why. names it where no part does
//	stock.      what a quote takes that is not there, and what would do instead
//	exclusion.  what a quote does not include; quote. its other terms
//	curve.      what stands on a curve picture; curve.note. below it
//	point.      where a run begins or ends
//
// # Language files
//
// A language is one file, languages/TAG.yaml. A message names figures in braces,
// "{current_a}"; a part in square brackets is left out where a figure in it is
// not given: "This is missing.[ Allowed: {allowed}.]". What a rule works out or
// holds to is never written into a message: it comes as a figure, so that the
// sentence and the rule cannot differ.
//
// A second language is a second file with the same keys. Tests compare its keys
// with the English file's, and those with every code, figure and enumeration in
// the source of the domain.
package wording
