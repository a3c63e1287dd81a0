package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/rpc/server"
)

// Exit codes of the daemon.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// grace is how long running calls may take to finish when the daemon is stopped.
const grace = 10 * time.Second

// settings is what the daemon is started with.
type settings struct {
	listen     string
	catalog    string
	reflection bool
}

// run is the whole program: settings, catalog, listener, server; it serves until
// the context ends.
func run(ctx context.Context, args []string, errs io.Writer) int {
	s, err := parse(args, errs)
	if err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return exitDone
		}
		return exitUsage
	}
	log := slog.New(slog.NewJSONHandler(errs, nil))
	cat, err := read(s.catalog)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: the catalog cannot be used:\n%v\n", err)
		return exitUsage
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", s.listen)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: %v\nhint: choose another address with --listen, such as 127.0.0.1:0 for any free port\n", err)
		return exitFailed
	}
	return serve(ctx, s, cat, listener, log)
}

func serve(ctx context.Context, s settings, cat *catalog.Catalog, listener net.Listener, log *slog.Logger) int {
	srv := server.New(server.Config{Catalog: cat, Now: time.Now, Log: log, Reflection: s.reflection})
	done := make(chan error, 1)
	go func() { done <- srv.Serve(listener) }()
	log.Info("serving", "address", listener.Addr().String(), "catalog", cat.Revision, "transport", "plain text, loopback only")
	select {
	case err := <-done:
		log.Error("stopped by itself", "error", err)
		return exitFailed
	case <-ctx.Done():
		log.Info("stopping")
		srv.Close(grace)
		<-done //nolint:errcheck // a service that was stopped has nothing to report
		return exitDone
	}
}

func parse(args []string, errs io.Writer) (settings, error) {
	var s settings
	flags := flag.NewFlagSet("lugbookd", flag.ContinueOnError)
	flags.SetOutput(errs)
	flags.StringVar(&s.listen, "listen", "127.0.0.1:7317", "loopback `address` to serve on; port 0 takes any free one")
	flags.StringVar(&s.catalog, "catalog", "", "`folder` of the shop's catalog; without it the invented shop answers")
	flags.BoolVar(&s.reflection, "reflection", true, "let clients ask which services there are")
	if err := flags.Parse(args); err != nil {
		return s, err
	}
	if flags.NArg() > 0 {
		err := fmt.Errorf("unexpected argument %q", flags.Arg(0))
		fmt.Fprintf(errs, "lugbookd: %v\nhint: lugbookd --help\n", err)
		return s, err
	}
	if err := loopback(s.listen); err != nil {
		fmt.Fprintf(errs, "lugbookd: %v\nhint: plain text is served on loopback alone; use 127.0.0.1 or [::1]\n", err)
		return s, err
	}
	return s, nil
}

// loopback refuses an address that other machines could reach: the service speaks
// plain text.
func loopback(address string) error {
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return fmt.Errorf("--listen %q: %w", address, err)
	}
	if ip := net.ParseIP(host); host == "localhost" || ip != nil && ip.IsLoopback() {
		return nil
	}
	return fmt.Errorf("--listen %q is not a loopback address", address)
}

// read reads the catalog in a folder, or the invented shop's.
func read(folder string) (*catalog.Catalog, error) {
	if folder == "" {
		return catalog.Read(demo.Files())
	}
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, fmt.Errorf("--catalog: there is no folder %s", folder)
	}
	return catalog.Read(os.DirFS(folder))
}
