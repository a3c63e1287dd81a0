package main

import (
	"context"
	"io"
	"runtime/debug"
	"time"

	"example.com/lugbook/clients/cli"

	"google.golang.org/grpc"
)

// catalogFolder names the environment variable with the shop's catalog folder;
// without it the invented shop answers.
const catalogFolder = "LUGBOOK_CATALOG"

// run is the whole program: it hands the command line a connection to a service
// in this process, made only when a command needs one.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer, env func(string) string) int {
	var service *inProcess
	defer func() { service.close() }()
	line := cli.New(cli.Options{
		Stdin: in, Stdout: out, Stderr: errs, Version: version(),
		Conn: func(context.Context) (grpc.ClientConnInterface, error) {
			var err error
			service, err = startInProcess(env(catalogFolder), time.Now)
			if err != nil {
				return nil, err
			}
			return service.conn, nil
		},
	})
	return line.Run(ctx, args)
}

// version is what the build knows of itself.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unknown"
}
