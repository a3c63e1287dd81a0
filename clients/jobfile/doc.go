// Package jobfile reads what people write in YAML — jobs, installations as
// found, meter readings — into the request messages of the contract, and tells
// every fault with its place in the file. It imports the contract and the
// spelling of quantities, and nothing of the service.
//
//	var job lugbookv1.Job
//	source, err := jobfile.Read("van.yaml", file, &job)
//	// van.yaml:7:5: unknown key "zoen" (did you mean "zone"?); allowed: id, label, …
//
// # What may be written
//
// Keys are the field names of the message. Beyond that:
//
//   - an enum value is written short and in lower case (kind: light), with any
//     leading words of its full name (amplifier_class: class_d), or in full;
//     hyphens and spaces count as underscores;
//   - a field whose name ends in a unit takes a bare number in that unit or a
//     quantity with its unit (length_m: 5.5, length_m: 18ft);
//   - the same field may be written without the suffix, and then the value needs
//     its unit, because "length: 18" does not say whether feet or metres are
//     meant (length: 18ft, capacity: 95Ah); where the short name is a field of its
//     own, as insulation beside insulation_c, it means that field;
//   - a conductor may be written as its size alone (conductor_min: 8 AWG), where
//     a bare whole number is a gauge;
//   - numbers may stand in quotes; yes, no, on and off are truth values where one
//     is wanted;
//   - a key without a value counts as not given, so that a form with blanks is a
//     valid file.
//
// # What is refused
//
// Files over [MaxBytes], text that is not UTF-8, broken YAML, a second document,
// anchors, aliases and tags, nesting deeper than [MaxDepth], unknown and repeated
// keys, two members of a oneof, words that an enum does not have, numbers that
// are not finite. Ranges are not checked here: the service knows them, and
// [Source] leads its violations back to the file.
package jobfile
