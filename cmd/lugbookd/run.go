package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"sync"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/quoting"
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
	cat, packed, err := read(s.catalog)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: the catalog cannot be used:\n%v\n", err)
		return exitUsage
	}
	store, err := storage.Open(ctx, s.store)
	if err != nil {
		fmt.Fprintf(errs, "lugbookd: the quotes in %s cannot be used: %v\nhint: choose another place with --store\n", storage.Shown(s.store), err)
		return exitFailed
	}
	code = listen(ctx, s, server.Config{Catalog: cat, Files: func() ([]byte, error) { return packed, nil }, Store: store, Now: time.Now, Log: log}, errs)
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
	return serve(ctx, s, c, listener)
}

func serve(ctx context.Context, s *settings, c server.Config, listener net.Listener) int {
	srv := server.New(c)
	done := make(chan error, 1)
	go func() { done <- srv.Serve(listener) }()
	c.Log.Info("serving", "address", listener.Addr().String(), "catalog", c.Catalog.Revision, "store", storage.Shown(s.store), "transport", s.transport())
	forgetting, stop := context.WithCancel(ctx)
	var daily sync.WaitGroup
	daily.Go(func() { forget(forgetting, srv, c.Log) })
	defer daily.Wait()
	defer stop()
	select {
	case err := <-done:
		c.Log.Error("stopped by itself", "error", err)
		return exitFailed
	case <-ctx.Done():
		c.Log.Info("stopping")
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

// read reads the catalog in a folder, or the invented shop's, and gives its files
// packed. What it reads in the end is the pack, so that the two are one even where
// somebody edits the folder meanwhile.
func read(folder string) (*catalog.Catalog, []byte, error) {
	files := demo.Files()
	if folder != "" {
		if info, err := os.Stat(folder); err != nil || !info.IsDir() {
			return nil, nil, fmt.Errorf("--catalog: there is no folder %s", folder)
		}
		files = os.DirFS(folder)
	}
	if _, err := catalog.Read(files); err != nil {
		return nil, nil, err
	}
	packed, err := quoting.Pack(files)
	if err != nil {
		return nil, nil, err
	}
	if files, err = quoting.Unpack(packed); err != nil {
		return nil, nil, err
	}
	cat, err := catalog.Read(files)
	return cat, packed, err
}
