package cli

import (
	"errors"
	"fmt"

	"example.com/lugbook/clients/jobfile"
	"google.golang.org/grpc/codes"
)

// ExitCode is what the process tells its caller.
type ExitCode int

// The exit codes.
const (
	// Done: the command did what was asked, also where the reply holds conflicts
	// with a maker's figures.
	Done ExitCode = 0
	// Failed: the service failed or refused, or a well-formed job cannot be met.
	Failed ExitCode = 1
	// Misused: a command, flag or file is wrong, or its contents contradict
	// themselves.
	Misused ExitCode = 2
	// FaultsFound: the check was made and found faults.
	FaultsFound ExitCode = 3
)

// failure is an error that knows its exit code and what helps.
type failure struct {
	code ExitCode
	err  error
	hint string // what to do, or empty
}

func (f *failure) Error() string { return f.err.Error() }
func (f *failure) Unwrap() error { return f.err }

// MalformedError is the error of [Options.Conn] where what the person gave to start
// the service with is malformed, such as a catalog with faults: the command then
// ends with [Misused].
type MalformedError struct {
	Err  error  // what is wrong, on several lines where there are several faults
	Hint string // what to do, or empty
}

// Error says what is wrong.
func (e *MalformedError) Error() string { return e.Err.Error() }

// Unwrap gives the error within.
func (e *MalformedError) Unwrap() error { return e.Err }

// startFault makes the failure of a service that did not start.
func startFault(err error) *failure {
	var malformed *MalformedError
	if errors.As(err, &malformed) {
		return &failure{code: Misused, err: malformed, hint: malformed.Hint}
	}
	return &failure{code: Failed, err: fmt.Errorf("start the service: %w", err)}
}

// misuse makes the failure of a wrong command line.
func misuse(hint, format string, args ...any) *failure {
	return &failure{code: Misused, err: fmt.Errorf(format, args...), hint: hint}
}

// exitCode gives the exit code of a command's error. Errors without a type of
// ours are those of the command-line parser.
func exitCode(err error) ExitCode {
	var (
		f      *failure
		call   *callError
		faults jobfile.Faults
	)
	switch {
	case err == nil:
		return Done
	case errors.As(err, &f):
		return f.code
	case errors.As(err, &call):
		return call.code()
	case errors.As(err, &faults):
		return Misused
	}
	return Misused
}

// code gives the exit code of a refused or failed call.
func (e *callError) code() ExitCode {
	if e.status.Code() == codes.InvalidArgument {
		return Misused
	}
	return Failed
}
