// Command lugbookd serves Lugbook over gRPC.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
	_ "time/tzdata" // a shop's time zone is known on machines that have no such files
)

func main() { os.Exit(withSignals(os.Args[1:])) }

func withSignals(args []string) int {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	defer stop()
	if tend, ok := tending(args); ok {
		return tend(ctx, args[1:], os.Stdout, os.Stderr)
	}
	if len(args) > 0 {
		switch args[0] {
		case "token":
			return token(ctx, args[1:], os.Stdout, os.Stderr, os.Getenv)
		case "check-config":
			return checkConfig(args[1:], os.Stdout, os.Stderr, os.Getenv)
		}
	}
	return run(ctx, args, os.Stderr, os.Getenv)
}
