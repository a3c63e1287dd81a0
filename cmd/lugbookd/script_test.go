package main

import (
	"bufio"
	"context"
	"encoding/json"
	"errors"
	"io"
	"net/http"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"syscall"
	"testing"
	"time"

	"example.com/lugbook/clients/cli"

	"github.com/rogpeppe/go-internal/testscript"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health/grpc_health_v1"
)

// TestMain lets the test binary stand in for two programs: the daemon, and a
// command line that has no service of its own, so that its answers are the
// daemon's.
func TestMain(m *testing.M) {
	testscript.Main(m, map[string]func(){"lugbookd": main, "lugbook": remoteOnly})
}

// remoteOnly runs the command line without a service in its process.
func remoteOnly() {
	line := cli.New(cli.Options{
		Stdin: os.Stdin, Stdout: os.Stdout, Stderr: os.Stderr,
		Conn: func(context.Context) (grpc.ClientConnInterface, error) {
			return nil, errors.New("there is none here; use --address")
		},
	})
	os.Exit(line.Run(context.Background(), os.Args[1:]))
}

// TestScripts runs every script of testdata/script.
func TestScripts(t *testing.T) {
	t.Parallel()
	testscript.Run(t, testscript.Params{
		Dir:                 filepath.Join("testdata", "script"),
		RequireExplicitExec: true,
		RequireUniqueNames:  true,
		Setup: func(env *testscript.Env) error {
			env.Setenv("XDG_DATA_HOME", filepath.Join(env.WorkDir, "data"))
			env.Values[daemonKey{}] = new(daemon)
			return os.CopyFS(filepath.Join(env.WorkDir, "examples"), os.DirFS(filepath.Join("..", "..", "docs", "examples")))
		},
		Cmds: map[string]func(*testscript.TestScript, bool, []string){
			"exits": exits, "start": start, "stop": stop, "health": health, "figures": figures, "edit": edit,
		},
	})
}

// patience is how long a script waits for what should take well under a second,
// on a machine that has other work too.
const patience = 30 * time.Second

// daemonKey keeps a script's daemon among its values.
type daemonKey struct{}

// daemon is a lugbookd that a script started.
type daemon struct {
	process *exec.Cmd
	rest    chan string // what it wrote after it told its address, once it ended
}

// start starts a lugbookd with the given flags, waits until it tells its address
// and puts that into $ADDRESS.
func start(ts *testscript.TestScript, neg bool, args []string) {
	d, ok := ts.Value(daemonKey{}).(*daemon)
	if neg || !ok || d.process != nil {
		ts.Fatalf("usage: start [flag …], before or after a stop")
	}
	ctx, cancel := context.WithTimeout(context.Background(), 2*patience)
	ts.Defer(cancel) // ends a daemon that the script did not
	d.process = exec.CommandContext(ctx, "lugbookd", args...)
	d.process.Dir, d.process.Env = ts.MkAbs("."), append(os.Environ(), "XDG_DATA_HOME="+ts.Getenv("XDG_DATA_HOME"))
	log, err := d.process.StderrPipe()
	ts.Check(err)
	ts.Check(d.process.Start())
	reader := bufio.NewReader(log)
	var line struct{ Msg, Address string }
	for line.Msg != "serving" {
		next, err := reader.ReadString('\n')
		ts.Check(err)
		if err := json.Unmarshal([]byte(next), &line); err != nil {
			ts.Fatalf("the daemon began with %s", next)
		}
		if line.Msg == "figures served" {
			ts.Setenv("FIGURES", line.Address)
		}
	}
	ts.Setenv("ADDRESS", line.Address)
	d.rest = make(chan string, 1)
	go func() {
		rest, _ := io.ReadAll(reader) // an error ends the log, as the process's end does
		d.rest <- string(rest)
	}()
}

// stop asks the daemon to end, as a service manager does, and checks that it does
// so by itself with exit code 0. Its log becomes the file daemon.log.
func stop(ts *testscript.TestScript, neg bool, args []string) {
	d, ok := ts.Value(daemonKey{}).(*daemon)
	if neg || !ok || d.process == nil || len(args) > 0 {
		ts.Fatalf("usage: stop, after start")
	}
	ts.Check(d.process.Process.Signal(syscall.SIGTERM))
	log := <-d.rest
	if err := d.process.Wait(); err != nil {
		ts.Fatalf("the daemon ended with %v: %s", err, log)
	}
	d.process = nil
	ts.Check(os.WriteFile(ts.MkAbs("daemon.log"), []byte(log), 0o600))
}

// health asks the daemon how a service is: "health SERVING lugbook.v1.QuoteService".
func health(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 1 || len(args) > 2 {
		ts.Fatalf("usage: health status [service]")
	}
	service := strings.Join(args[1:], "")
	conn, err := grpc.NewClient("passthrough:///"+ts.Getenv("ADDRESS"), grpc.WithTransportCredentials(insecure.NewCredentials()), grpc.WithNoProxy())
	ts.Check(err)
	ts.Defer(func() { _ = conn.Close() }) // nothing is under way on it
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	reply, err := grpc_health_v1.NewHealthClient(conn).Check(ctx, &grpc_health_v1.HealthCheckRequest{Service: service})
	ts.Check(err)
	if got := reply.GetStatus().String(); got != args[0] {
		ts.Fatalf("service %q is %s, want %s", service, got, args[0])
	}
}

// figures asks the daemon for its figures, which become the file figures.txt.
func figures(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) > 0 {
		ts.Fatalf("usage: figures")
	}
	ctx, cancel := context.WithTimeout(context.Background(), patience)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+ts.Getenv("FIGURES")+"/metrics", nil)
	ts.Check(err)
	reply, err := http.DefaultClient.Do(request)
	ts.Check(err)
	defer reply.Body.Close()
	raw, err := io.ReadAll(reply.Body)
	ts.Check(err)
	ts.Check(os.WriteFile(ts.MkAbs("figures.txt"), raw, 0o600))
}

// crashed is what a Go program that fell over leaves behind.
var crashed = regexp.MustCompile(`(?m)^(panic:|goroutine \d+ \[|fatal error:)`)

// exits runs a command and checks its exit code exactly: "exits 2 lugbookd
// --listen :0". A crash exits with 2 as well and is told apart by what it prints.
func exits(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) < 2 {
		ts.Fatalf("usage: exits code command [argument …]")
	}
	want, err := strconv.Atoi(args[0])
	ts.Check(err)
	got := 0
	if err := ts.Exec(args[1], args[2:]...); err != nil {
		var exit *exec.ExitError
		if !errors.As(err, &exit) {
			ts.Fatalf("run %s: %v", args[1], err)
		}
		got = exit.ExitCode()
	}
	switch {
	case got != want:
		ts.Fatalf("exit code %d, want %d", got, want)
	case crashed.MatchString(ts.ReadFile("stderr")):
		ts.Fatalf("the program crashed")
	}
}

// edit replaces what matches in a file, which something must: "edit file pattern text".
func edit(ts *testscript.TestScript, neg bool, args []string) {
	if neg || len(args) != 3 {
		ts.Fatalf("usage: edit file pattern text")
	}
	pattern, err := regexp.Compile(args[1])
	ts.Check(err)
	text := ts.ReadFile(args[0])
	if !pattern.MatchString(text) {
		ts.Fatalf("nothing in %s matches %s", args[0], args[1])
	}
	ts.Check(os.WriteFile(ts.MkAbs(args[0]), []byte(pattern.ReplaceAllString(text, args[2])), 0o600))
}
