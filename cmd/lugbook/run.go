package main

import (
	"context"
	"fmt"
	"io"
	"runtime/debug"
	"time"

	"example.com/lugbook/clients/cli"
	"example.com/lugbook/cmd/internal/storage"

	"google.golang.org/grpc"
)

// catalogFolder names the environment variable with the shop's catalog folder;
// without it the invented shop answers.
const catalogFolder = "LUGBOOK_CATALOG"

// storePlace names the environment variable with the file, or the postgres:// URL,
// that holds the quotes; without it they are in the user's data folder.
const storePlace = "LUGBOOK_STORE"

// run is the whole program: it hands the command line a connection to a service
// in this process, made only when a command needs one.
func run(ctx context.Context, args []string, in io.Reader, out, errs io.Writer, env func(string) string) int {
	var service *inProcess
	defer func() {
		if err := service.close(); err != nil {
			fmt.Fprintf(errs, "lugbook: close the quotes: %v\n", err)
		}
	}()
	line := cli.New(cli.Options{
		Stdin: in, Stdout: out, Stderr: errs, Version: version(),
		Conn: func(context.Context) (grpc.ClientConnInterface, error) {
			var err error
			service, err = startInProcess(env(catalogFolder), quotes(errs, env), time.Now)
			if err != nil {
				return nil, err
			}
			return service.conn, nil
		},
	})
	return line.Run(ctx, args)
}

// quotes is the store of quotes, opened when it is first needed. What keeps it from
// being opened is told here, where a person reads it: callers of a service are not
// told of its files. A call that is tried again does not tell it again.
func quotes(errs io.Writer, env func(string) string) *storage.Lazy {
	told := ""
	tell := func(format string, args ...any) {
		if text := fmt.Sprintf(format, args...); text != told {
			fmt.Fprintln(errs, text)
			told = text
		}
	}
	place := func() (string, error) {
		if where := env(storePlace); where != "" {
			return where, nil
		}
		return storage.DefaultPath(env)
	}
	lazy := storage.NewLazy(func(ctx context.Context) (storage.Store, error) {
		where, err := place()
		if err != nil {
			tell("lugbook: no place for the quotes: %v; name a file in %s", err, storePlace)
			return nil, err
		}
		store, err := storage.Open(ctx, where)
		if err != nil && ctx.Err() == nil {
			tell("lugbook: the quotes in %s: %v", storage.Shown(where), err)
		}
		return store, err
	})
	return lazy.Until(func() bool {
		where, err := place()
		return err == nil && storage.Exists(where)
	})
}

// version is what the build knows of itself.
func version() string {
	if info, ok := debug.ReadBuildInfo(); ok && info.Main.Version != "" {
		return info.Main.Version
	}
	return "unknown"
}
