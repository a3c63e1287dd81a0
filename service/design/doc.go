// Package design turns a vehicle and the devices to be fed into a sized answer:
// circuits with their runs, overcurrent devices and ends, each with the reason
// for it, at the least cost that the rules allow.
//
// It builds on service/electrical (what is allowed), service/termination (how an
// end is made) and catalog (what there is and what it costs). It does no I/O and
// the same input gives the same design. A job that cannot be met comes back as
// *Unmet with the constraint that binds and the nearest thing that would meet
// it; a malformed one as Violations with every fault.
package design
