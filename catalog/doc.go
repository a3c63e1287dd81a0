// Package catalog is the shop's own world at one revision: the parts it sells,
// the labour it charges, the vehicles it knows and the rules it works by.
//
// A catalog is read from a folder of CSV and YAML files, checked whole (all
// faults at once, each with file, line and column) and then never changes; a
// change is a new revision with a hash of its own. The package may import
// service/electrical; it knows nothing of designs, money totals or transport.
package catalog
