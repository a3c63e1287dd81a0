package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"sync"
	"time"

	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/rpc/server"

	"github.com/spf13/pflag"
)

// Exit codes of the daemon.
const (
	exitDone   = 0
	exitFailed = 1
	exitUsage  = 2
)

// run is the whole program: settings, catalog, store, listener, server; it serves
// until the context ends.
func run(ctx context.Context, args []string, errs io.Writer, env func(string) string) int {
	s, code, ok := started(args, errs, env)
	if !ok {
		return code
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
	code = listen(ctx, s, server.Config{Catalog: shop.Catalog, Files: func() ([]byte, error) { return packed, nil }, Fixed: shop.Named, Store: store, Now: time.Now, Log: log}, errs)
	if err := store.Close(); err != nil {
		log.Error("the store did not close", "error", err)
		return exitFailed
	}
	return code
}

func listen(ctx context.Context, s *settings, c server.Config, errs io.Writer) int {
	if err := s.config(&c, c.Log); err != nil {
		fmt.Fprintf(errs, "lugbookd: %v\n", err)
		return exitUsage
	}
	end, err := s.watch(ctx, &c)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: %v\n", err)
		return exitFailed
	}
	defer end()
	listener, err := s.open(ctx)
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

func serve(ctx context.Context, s *settings, srv *server.Server, log *slog.Logger, listener net.Listener) int {
	done := make(chan error, 1)
	go func() { done <- srv.Serve(listener) }()
	log.Info("serving", "address", listener.Addr().String(), "catalog", srv.Revision(), "store", storage.Shown(s.store), "transport", s.transport())
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
		srv.Close(s.grace)
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

// started reads the settings; where it gives false, the program ends with the code.
func started(args []string, errs io.Writer, env func(string) string) (*settings, int, bool) {
	s := &settings{}
	flags := flagsFor("lugbookd", s, env)
	flags.SetOutput(errs)
	flags.Usage = func() { fmt.Fprintf(errs, "lugbookd [flag …]\n%s", flags.FlagUsages()) }
	err := load(flags, args, env)
	switch {
	case errors.Is(err, pflag.ErrHelp):
		return s, exitDone, false
	case err == nil && flags.NArg() > 0:
		err = fmt.Errorf("unexpected argument %q", flags.Arg(0))
	case err == nil:
		err = s.check()
	}
	if err == nil {
		return s, exitDone, true
	}
	hint := "lugbookd --help"
	var f fault
	if errors.As(err, &f) && f.hint != "" {
		hint = f.hint
	}
	fmt.Fprintf(errs, "lugbookd: %v\nhint: %s\n", err, hint)
	return s, exitUsage, false
}

// checkConfig says whether the daemon could start with these settings, as far as can be
// told without starting it.
func checkConfig(args []string, out, errs io.Writer, env func(string) string) int {
	s, code, ok := started(args, errs, env)
	if !ok {
		return code
	}
	if _, _, err := read(s.catalog); err != nil {
		fmt.Fprintf(errs, "lugbookd: the catalog cannot be used:\n%v\n", err)
		return exitUsage
	}
	if err := s.config(&server.Config{}, slog.New(slog.DiscardHandler)); err != nil {
		fmt.Fprintf(errs, "lugbookd: %v\n", err)
		return exitUsage
	}
	fmt.Fprintf(out, "in order: %s on %s, quotes in %s\n", s.transport(), s.listen, storage.Shown(s.store))
	return exitDone
}
