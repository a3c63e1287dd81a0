package cli_test

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/protoadapt"
)

// refusal makes the error of a call.
func refusal(t *testing.T, code codes.Code, message string, details ...protoadapt.MessageV1) error {
	t.Helper()
	st, err := status.New(code, message).WithDetails(details...)
	require.NoError(t, err)
	return st.Err()
}

// because is the ErrorInfo of a reason.
func because(reason lugbookv1.ErrorReason, metadata map[string]string) *errdetails.ErrorInfo {
	return &errdetails.ErrorInfo{Reason: strings.TrimPrefix(reason.String(), "ERROR_REASON_"), Domain: "lugbook.example.com", Metadata: metadata}
}

// bad is a BadRequest of fields and descriptions by turns.
func bad(pairs ...string) *errdetails.BadRequest {
	b := &errdetails.BadRequest{}
	for i := 0; i < len(pairs); i += 2 {
		b.FieldViolations = append(b.FieldViolations, &errdetails.BadRequest_FieldViolation{Field: pairs[i], Description: pairs[i+1]})
	}
	return b
}

func TestRefusals(t *testing.T) {
	t.Parallel()
	const quoteHelp, sizeHelp = "hint: \"lugbook quote --help\" explains what may be given\n", "hint: \"lugbook size --help\" explains what may be given\n"
	ptr := func(v float64) *float64 { return &v }
	for _, c := range []struct {
		name, line string
		err        error
		code       cli.ExitCode
		want       string
	}{
		{"fields of a file", "quote -",
			refusal(t, codes.InvalidArgument, "the job has 3 faults", because(lugbookv1.ErrorReason_ERROR_REASON_INVALID_FIELD, nil), bad(
				"source.job.system.devices[0].input_power_w", "must be above 0 and at most 50000",
				"system.devices[0].min_v", "must be below the nominal voltage",
				"language", "is no language tag")),
			cli.Misused, "lugbook: the job has 3 faults\n" +
				"stdin:7:20: system.devices[0].input_power_w: must be above 0 and at most 50000\n" +
				"stdin:4:7: system.devices[0].min_v: must be below the nominal voltage\n" +
				"--lang: is no language tag\n" + quoteHelp},
		{"zone that the vehicle lacks", "quote -",
			refusal(t, codes.InvalidArgument, "the vehicle has no zone galley", because(lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_ZONE, nil),
				bad("source.job.system.devices[0].zone", "galley is not one of engine, living")),
			cli.Misused, "lugbook: the vehicle has no zone galley\n" +
				"stdin:6:13: system.devices[0].zone: galley is not one of engine, living\n" +
				"hint: \"lugbook catalog vehicles ID\" shows the zones of a vehicle and the ways between them\n"},
		{"vehicle that the catalog lacks", "quote -",
			refusal(t, codes.InvalidArgument, "no such vehicle", because(lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_VEHICLE, nil), bad("source.job.vehicle_id", "camper-van is not in the catalog")),
			cli.Misused, "lugbook: no such vehicle\nstdin:1:13: vehicle_id: camper-van is not in the catalog\nhint: \"lugbook catalog vehicles\" lists the vehicles\n"},
		{"fields behind flags", "size --current 60A --length 5m",
			refusal(t, codes.InvalidArgument, "2 fields are out of range", bad("length_m", "at most 100", "audio.channels", "at most 16", "rating", "required", "new_field", "odd")),
			cli.Misused, "lugbook: 2 fields are out of range\n--length: at most 100\n--watts: at most 16\n--current or --watts: required\nnew_field: odd\n" + sizeHelp},
		{"field behind a flag of joint", "joint --conductor 4 --stud M99",
			refusal(t, codes.InvalidArgument, "unknown stud", bad("landing.stud", "M99 is no stud")),
			cli.Misused, "lugbook: unknown stud\n--stud: M99 is no stud\nhint: \"lugbook joint --help\" explains what may be given\n"},
		{"job that cannot be met", "quote -",
			refusal(t, codes.FailedPrecondition, "the job cannot be met", because(lugbookv1.ErrorReason_ERROR_REASON_JOB_UNMET, nil),
				&lugbookv1.Unmet{Constraint: "drop_over_limit", At: "fridge", Figures: []*lugbookv1.Figure{
					{Key: "drop_percent", Value: ptr(12.3), Unit: "%", Label: "drop"}, {Key: "limit_percent", Value: ptr(10), Unit: "%"}},
					Nearest: []string{"A run of 4 m meets it with 10 AWG.", "A 24 V supply meets it."}},
				&lugbookv1.Unmet{Constraint: "no_fuse"}),
			cli.Failed, "lugbook: the job cannot be met\ndrop_over_limit at fridge: drop 12.3%, limit percent 10%\n" +
				"nearest: A run of 4 m meets it with 10 AWG.\nnearest: A 24 V supply meets it.\nno_fuse\n" +
				"hint: change what binds, or take one of the nearest, and ask again\n"},
		{"state that does not allow it", "size --current 1 --length 1m",
			refusal(t, codes.FailedPrecondition, "not now", &errdetails.PreconditionFailure{Violations: []*errdetails.PreconditionFailure_Violation{
				{Type: "STATE", Subject: "quote 7", Description: "is accepted already"}}}),
			cli.Failed, "lugbook: not now\nquote 7: is accepted already\n"},
		{"vehicle not found", "catalog vehicles nosuch",
			refusal(t, codes.NotFound, "the catalog has no vehicle nosuch", because(lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_VEHICLE, nil)),
			cli.Failed, "lugbook: the catalog has no vehicle nosuch\nhint: \"lugbook catalog vehicles\" lists the vehicles\n"},
		{"page token of another list", "catalog parts --page-token x",
			refusal(t, codes.InvalidArgument, "the page token is not of this list", because(lugbookv1.ErrorReason_ERROR_REASON_PAGE_TOKEN_INVALID, nil), bad("page_token", "not issued here")),
			cli.Misused, "lugbook: the page token is not of this list\n--page-token: not issued here\nhint: begin again without --page-token\n"},
		{"cost that is not theirs to see", "quote - --cost",
			refusal(t, codes.PermissionDenied, "cost is for the owner"),
			cli.Failed, "lugbook: cost is for the owner\nhint: leave --cost out, or ask as the owner\n"},
		{"failure of the service", "catalog vehicles",
			refusal(t, codes.Internal, "the service failed", because(lugbookv1.ErrorReason_ERROR_REASON_INTERNAL, map[string]string{"request_id": "7f3c2a"})),
			cli.Failed, "lugbook: the service failed\nhint: the server's log has the cause under the request id 7f3c2a\n"},
		{"unknown part", "catalog parts", refusal(t, codes.NotFound, "no such part", because(lugbookv1.ErrorReason_ERROR_REASON_UNKNOWN_PART, nil)),
			cli.Failed, "lugbook: no such part\nhint: \"lugbook catalog parts\" lists the parts\n"},
		{"server that is gone", "quote -", refusal(t, codes.Unavailable, "dial tcp: connection refused"),
			cli.Failed, "lugbook: the server does not answer\nhint: start the server, or leave --address and LUGBOOK_ADDRESS out to ask in this process\n"},
		{"server that is slow", "quote -", refusal(t, codes.DeadlineExceeded, "context deadline exceeded"),
			cli.Failed, "lugbook: the server took too long\nhint: ask again; a large job may be divided\n"},
		{"server of another version", "quote -", refusal(t, codes.Unimplemented, "unknown service"),
			cli.Failed, "lugbook: the server does not know this call; it is of another version\n"},
		{"reason in full", "catalog parts", refusal(t, codes.NotFound, "no such part", &errdetails.ErrorInfo{Reason: "ERROR_REASON_UNKNOWN_PART"}),
			cli.Failed, "lugbook: no such part\nhint: \"lugbook catalog parts\" lists the parts\n"},
		{"reason of a later version", "catalog parts", refusal(t, codes.NotFound, "no such part", &errdetails.ErrorInfo{Reason: "NEW"}),
			cli.Failed, "lugbook: no such part\n"},
		{"message that repeats the violation", "size --current 60A --length 500m",
			refusal(t, codes.InvalidArgument, "length_m: 500 is above 100", bad("length_m", "500 is above 100")),
			cli.Misused, "lugbook: what was given has a fault\n--length: 500 is above 100\n" + sizeHelp},
		{"no message", "quote -", refusal(t, codes.Aborted, ""), cli.Failed, "lugbook: the service answered Aborted and gave no reason\n"},
		{"text that would steer the terminal", "size --current 1 --length 1m",
			refusal(t, codes.InvalidArgument, "red \x1b[31m\nlugbook: ok", bad("length_m", "a\x07b\nc")),
			cli.Misused, "lugbook: red [31m lugbook: ok\n--length: ab c\n" + sizeHelp},
	} {
		t.Run(c.name, func(t *testing.T) {
			t.Parallel()
			assert.Equal(t, result{c.code, "", c.want}, (&fakeShop{err: c.err}).run(t, tinyJob, words(c.line)...))
		})
	}
}

func TestFaultsOfFile(t *testing.T) {
	t.Parallel()
	name := filepath.Join(t.TempDir(), "van.yaml")
	require.NoError(t, os.WriteFile(name, []byte("vehicel_id: x\nsystem:\n  devices: [{current: 5}]\n"), 0o600))
	got := new(fakeShop).run(t, "", "quote", name)
	assert.Equal(t, result{cli.Misused, "", "lugbook: the file has 2 faults\n" +
		name + ":1:1: unknown key \"vehicel_id\" (did you mean \"vehicle_id\"?); allowed: customer, vehicle, vehicle_id, system, terms, notes\n" +
		name + ":3:23: current_a: \"5\" is not a current: it has no unit; write A, mA or kA\n" +
		"hint: \"lugbook help job-files\" says what may be written\n"}, got)

	got = new(fakeShop).run(t, "", "quote", "-")
	assert.Equal(t, result{cli.Misused, "", "lugbook: the file has a fault\nstdin:1:1: the file is empty\n" +
		"hint: \"lugbook help job-files\" says what may be written\n"}, got)
}

func TestFilesThatCannotBeRead(t *testing.T) {
	t.Parallel()
	folder := t.TempDir()
	missing := filepath.Join(folder, "no.yaml")
	assert.Equal(t, result{cli.Misused, "", "lugbook: there is no file " + missing + "\nhint: a job file is named by its path; - is standard input\n"},
		new(fakeShop).run(t, "", "quote", missing))
	assert.Equal(t, result{cli.Misused, "", "lugbook: " + folder + " is a folder\nhint: name a file in it\n"},
		new(fakeShop).run(t, "", "quote", folder))
}

// brokenPipe takes nothing.
type brokenPipe struct{}

func (brokenPipe) Write([]byte) (int, error) { return 0, errors.New("broken pipe") }

func TestResultThatCannotBeWritten(t *testing.T) {
	t.Parallel()
	conn := new(fakeShop).connect(t)
	for _, line := range []string{"catalog vehicles", "catalog vehicles --output json", "version"} {
		var told bytes.Buffer
		app := cli.New(cli.Options{
			Conn:   func(context.Context) (grpc.ClientConnInterface, error) { return conn, nil },
			Stdout: brokenPipe{}, Stderr: &told,
		})
		assert.Equal(t, int(cli.Failed), app.Run(t.Context(), words(line)))
		assert.Equal(t, "lugbook: write the result: broken pipe\n", told.String())
	}
}

func TestServiceThatDoesNotStart(t *testing.T) {
	t.Parallel()
	var told bytes.Buffer
	app := cli.New(cli.Options{
		Conn: func(context.Context) (grpc.ClientConnInterface, error) {
			return nil, errors.New("catalog is broken:\nfuses.csv:2:1: no price")
		},
		Stdout: &bytes.Buffer{}, Stderr: &told,
	})
	for _, line := range []string{"size --current 1 --length 1m", "joint --conductor 4 --stud M8", "catalog parts", "catalog vehicles", "catalog vehicles x"} {
		told.Reset()
		assert.Equal(t, int(cli.Failed), app.Run(t.Context(), words(line)))
		assert.Equal(t, "lugbook: start the service: catalog is broken:\nfuses.csv:2:1: no price\n", told.String())
	}
}

func TestInputThatIsMalformedFromTheStart(t *testing.T) {
	t.Parallel()
	var told bytes.Buffer
	fault := errors.New("the catalog has faults:\nfuses.csv:2:1: no price")
	app := cli.New(cli.Options{
		Conn: func(context.Context) (grpc.ClientConnInterface, error) {
			return nil, fmt.Errorf("begin: %w", &cli.MalformedError{Err: fault, Hint: "mend it"})
		},
		Stdout: &bytes.Buffer{}, Stderr: &told,
	})
	assert.Equal(t, int(cli.Misused), app.Run(t.Context(), words("catalog vehicles")))
	assert.Equal(t, "lugbook: the catalog has faults:\nfuses.csv:2:1: no price\nhint: mend it\n", told.String())
	require.ErrorIs(t, &cli.MalformedError{Err: fault}, fault)
}

func TestStopped(t *testing.T) {
	t.Parallel()
	conn := new(fakeShop).connect(t)
	ctx, cancel := context.WithCancel(t.Context())
	cancel()
	var told bytes.Buffer
	app := cli.New(cli.Options{
		Conn:  func(context.Context) (grpc.ClientConnInterface, error) { return conn, nil },
		Stdin: strings.NewReader(tinyJob), Stdout: &bytes.Buffer{}, Stderr: &told,
	})
	assert.Equal(t, int(cli.Failed), app.Run(ctx, []string{"quote", "-"}))
	assert.Equal(t, "lugbook: stopped\n", told.String())
}
