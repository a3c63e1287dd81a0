package cli

import (
	"errors"
	"fmt"
	"io"
	"strings"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli/internal/page"
	"example.com/lugbook/clients/jobfile"
	"github.com/spf13/cobra"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// callError is a call that the service refused or failed.
type callError struct {
	status *status.Status
	units  lugbookv1.UnitSystem // of figures
	// place says where the caller wrote a field of the request: a flag, or a place
	// in a file and the field's path. It is never nil.
	place func(fieldPath string) string
	// again says how to try once more where nobody answered, or is empty.
	again string
}

func (e *callError) Error() string { return e.status.Message() }

// callFault wraps the error of a call.
func (s *session) callFault(err error, place func(fieldPath string) string) error {
	return &callError{status: status.Convert(err), units: s.units, place: place}
}

// tell writes an error: what happened in one line, the particulars in one line
// each, and at the end a line with what helps.
func (c *CLI) tell(cmd *cobra.Command, err error) {
	var (
		f      *failure
		call   *callError
		faults jobfile.Faults
		t      = teller{c.Stderr}
	)
	switch {
	case errors.As(err, &faults):
		t.line("lugbook: %s", counted(len(faults), "fault", "the file"))
		t.lines(faults.Error())
		t.hint(`"lugbook help job-files" says what may be written`)
	case errors.As(err, &call):
		t.call(call, cmd)
	case errors.As(err, &f):
		t.lines("lugbook: " + f.Error()) // several where a catalog has faults
		t.hint(f.hint)
	default:
		t.line("lugbook: %s", page.Clean(err.Error()))
		t.hint(fmt.Sprintf("%q shows how the command is used", cmd.CommandPath()+" --help"))
	}
}

// counted says how many faults a thing has.
func counted(n int, what, of string) string {
	if n == 1 {
		return fmt.Sprintf("%s has a %s", of, what)
	}
	return fmt.Sprintf("%s has %d %ss", of, n, what)
}

// teller writes lines of an error.
type teller struct{ w io.Writer }

// line writes a line; there is nobody left to tell where that fails.
func (t teller) line(format string, args ...any) { fmt.Fprintf(t.w, format+"\n", args...) }

// lines writes several lines, each without what would steer a terminal.
func (t teller) lines(text string) {
	for line := range strings.Lines(text) {
		t.line("%s", page.Clean(strings.TrimSuffix(line, "\n")))
	}
}

// hint writes what helps, if anything does.
func (t teller) hint(text string) {
	if text != "" {
		t.line("hint: %s", page.Clean(text))
	}
}

// call writes what a status says.
func (t teller) call(e *callError, cmd *cobra.Command) {
	t.line("lugbook: %s", e.headline())
	info := t.particulars(e)
	if noAnswer(e.status.Code()) && e.again != "" {
		t.hint(e.again)
		return
	}
	t.hint(adviceFor(e.status.Code(), info.GetReason(), info.GetMetadata(), cmd))
}

// particulars writes what a status says beside its message, and gives the reason
// behind it, nil for none.
func (t teller) particulars(e *callError) *errdetails.ErrorInfo {
	var info *errdetails.ErrorInfo
	for _, detail := range e.status.Details() {
		switch d := detail.(type) {
		case *errdetails.BadRequest:
			for _, v := range d.GetFieldViolations() {
				t.line("%s: %s", page.Clean(e.place(v.GetField())), page.Clean(v.GetDescription()))
			}
		case *errdetails.PreconditionFailure:
			for _, v := range d.GetViolations() {
				t.line("%s: %s", page.Clean(v.GetSubject()), page.Clean(v.GetDescription()))
			}
		case *lugbookv1.Unmet:
			t.unmet(d, e.units)
		case *errdetails.ErrorInfo:
			info = d
		}
	}
	return info
}

// headline says what happened. The messages of the transport are for those who
// write programs, so ours take their place; and so they do where the service
// repeats a violation as its message, which follows with its place.
func (e *callError) headline() string {
	for _, detail := range e.status.Details() {
		if d, ok := detail.(*errdetails.BadRequest); ok {
			for _, v := range d.GetFieldViolations() {
				if v.GetField() != "" && strings.HasPrefix(e.status.Message(), v.GetField()) {
					return counted(len(d.GetFieldViolations()), "fault", "what was given")
				}
			}
		}
	}
	switch e.status.Code() {
	case codes.Unavailable:
		if text := page.Clean(e.status.Message()); text != "" && e.explained() {
			return text
		}
		return "the server does not answer"
	case codes.DeadlineExceeded:
		return "the server took too long"
	case codes.Canceled:
		return "stopped"
	case codes.Unimplemented:
		return "the server does not know this call; it is of another version"
	}
	if text := page.Clean(e.status.Message()); text != "" {
		return text
	}
	return "the service answered " + e.status.Code().String() + " and gave no reason"
}

// explained tells that the service itself gave the reason, and not the transport.
func (e *callError) explained() bool {
	for _, detail := range e.status.Details() {
		if _, ok := detail.(*errdetails.ErrorInfo); ok {
			return true
		}
	}
	return false
}

// noAnswer tells that it is not known whether a call was done.
func noAnswer(code codes.Code) bool {
	return code == codes.Unavailable || code == codes.DeadlineExceeded
}

// unmet writes one constraint that binds and what would meet it.
func (t teller) unmet(u *lugbookv1.Unmet, units lugbookv1.UnitSystem) {
	text := u.GetConstraint()
	if u.GetAt() != "" {
		text += " at " + u.GetAt()
	}
	if figures := figureList(u.GetFigures(), units); figures != "" {
		text += ": " + figures
	}
	t.line("%s", page.Clean(text))
	for _, nearest := range u.GetNearest() {
		t.line("nearest: %s", page.Clean(nearest))
	}
}
