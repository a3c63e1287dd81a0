package design

import (
	"fmt"
	"strings"

	"example.com/lugbook/service/electrical"
)

// Violation is one fault of the input: where, what, and what is allowed.
type Violation struct {
	Field   string // path in the names of the contract, e.g. "system.devices[1].zone"
	Code    string // for the wording
	Figures []electrical.Figure
}

// Violations is every fault of an input, found together.
type Violations []Violation

func (v Violations) Error() string {
	parts := make([]string, len(v))
	for i, one := range v {
		parts[i] = one.Field + ": " + one.Code
	}
	return "bad input: " + strings.Join(parts, "; ")
}

// Unmet tells that a well-formed job cannot be met: which constraint binds, where,
// and the nearest changes that would meet it.
type Unmet struct {
	Constraint string // code, e.g. "drop_conductors"
	At         string // device or circuit id
	Figures    []electrical.Figure
	Nearest    []electrical.Reason // codes with figures, nearest first
}

func (u *Unmet) Error() string { return fmt.Sprintf("%s cannot be met: %s", u.At, u.Constraint) }
