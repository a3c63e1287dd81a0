package main

import (
	"context"
	"errors"
	"flag"
	"fmt"
	"io"
	"log/slog"
	"net"
	"sync"
	"time"

	"example.com/lugbook/cmd/internal/storage"
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
	store      string
	reflection bool
}

// run is the whole program: settings, catalog, store, listener, server; it serves
// until the context ends.
func run(ctx context.Context, args []string, errs io.Writer, env func(string) string) int {
	s, err := parse(args, errs, env)
	if err != nil {
		if errors.Is(err, flag.ErrHelp) {
			return exitDone
		}
		return exitUsage
	}
	log := slog.New(slog.NewJSONHandler(errs, nil))
	shop, packed, err := read(s.catalog)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: the catalog cannot be used:\n%v\n", err)
		return exitUsage
	}
	store, err := storage.Open(ctx, s.store)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: the quotes in %s cannot be used: %v\nhint: choose another place with --store\n", storage.Shown(s.store), err)
		return exitFailed
	}
	code := listen(ctx, s, server.Config{Catalog: shop.Catalog, Files: func() ([]byte, error) { return packed, nil }, Fixed: shop.Named, Store: store, Now: time.Now, Log: log, Reflection: s.reflection}, errs)
	if err := store.Close(); err != nil {
		log.Error("the store did not close", "error", err)
		return exitFailed
	}
	return code
}

func listen(ctx context.Context, s settings, c server.Config, errs io.Writer) int {
	listener, err := (&net.ListenConfig{}).Listen(ctx, "tcp", s.listen)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: %v\nhint: choose another address with --listen, such as 127.0.0.1:0 for any free port\n", err)
		return exitFailed
	}
	srv := server.New(c)
	if _, err := srv.Follow(ctx); err != nil { // the invented shop must not answer in its place
		_ = listener.Close() // nobody was served on it
		fmt.Fprintf(errs, "lugbookd: the catalog in force cannot be used: %v\nhint: name another with --catalog, or start a version of the program that reads it\n", err)
		return exitFailed
	}
	return serve(ctx, s, srv, c.Log, listener)
}

func serve(ctx context.Context, s settings, srv *server.Server, log *slog.Logger, listener net.Listener) int {
	done := make(chan error, 1)
	go func() { done <- srv.Serve(listener) }()
	log.Info("serving", "address", listener.Addr().String(), "catalog", srv.Revision(), "store", storage.Shown(s.store), "transport", "plain text, loopback only")
	tending, stop := context.WithCancel(ctx)
	ticks := time.NewTicker(followEvery)
	defer ticks.Stop()
	var chores sync.WaitGroup
	chores.Go(func() { forget(tending, srv, log) })
	chores.Go(func() { follow(tending, srv, log, ticks.C) })
	defer chores.Wait()
	defer stop()
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

// forget erases the customers whose time is up, at once and then every day, until the
// context ends.
func forget(ctx context.Context, srv *server.Server, log *slog.Logger) {
	const day = 24 * time.Hour
	daily := time.NewTicker(day)
	defer daily.Stop()
	for {
		switch count, err := srv.ForgetOld(ctx); {
		case ctx.Err() != nil:
			return
		case err != nil:
			log.Error("customers were not forgotten", "error", err)
		case count > 0:
			log.Info("customers forgotten", "quotes", count)
		}
		select {
		case <-ctx.Done():
			return
		case <-daily.C:
		}
	}
}

func parse(args []string, errs io.Writer, env func(string) string) (settings, error) {
	var s settings
	usual, err := storage.DefaultPath(env)
	if err != nil {
		usual = "" // refused below, unless the flag says where
	}
	flags := flag.NewFlagSet("lugbookd", flag.ContinueOnError)
	flags.SetOutput(errs)
	flags.StringVar(&s.listen, "listen", "127.0.0.1:7317", "loopback `address` to serve on; port 0 takes any free one")
	flags.StringVar(&s.catalog, "catalog", "", "`folder` or workbook (.xlsx) of the shop's catalog; without it the one that was imported answers, or else the invented shop")
	flags.StringVar(&s.store, "store", usual, "`file` that holds the quotes, made where it is missing, or the postgres:// URL of a database")
	flags.BoolVar(&s.reflection, "reflection", true, "let clients ask which services there are")
	if err := flags.Parse(args); err != nil {
		return s, err
	}
	if flags.NArg() > 0 {
		err := fmt.Errorf("unexpected argument %q", flags.Arg(0))
		fmt.Fprintf(errs, "lugbookd: %v\nhint: lugbookd --help\n", err)
		return s, err
	}
	if s.store == "" {
		err := errors.New("--store names no place for the quotes")
		fmt.Fprintf(errs, "lugbookd: %v\nhint: name a file, such as --store quotes.db, or the postgres:// URL of a database\n", err)
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
