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
//
// # Language files
//
// A language is one file, languages/TAG.yaml. A message names figures in braces,
// "{current_a}"; a part in square brackets is left out where a figure in it is
// not given: "This is missing.[ Allowed: {allowed}.]". Numbers are never written
// into a message: they come as figures, so that the sentence and the rule cannot
// differ.
//
// A second language is a second file with the same keys. Every key is compared
// with the English file by a test, and every code of the domain's source with
// both.
package wording
