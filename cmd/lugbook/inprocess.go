package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"os"
	"time"

	"example.com/lugbook/clients/cli"
	"example.com/lugbook/cmd/internal/shopfolder"
	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/rpc/server"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"
)

// inProcess is the whole service behind an in-memory connection.
type inProcess struct {
	conn   *grpc.ClientConn
	server *server.Server
	store  *storage.Lazy
	done   chan error
}

// owner is who calls the service in its own process: whoever can start it can read
// the files that it reads.
const owner = "owner"

// memory is the size of the in-memory connection's buffer: room for any reply of
// a job that a person writes, so that both sides need not take turns.
const memory = 1 << 20

// largestReply is above what the server sends at the most.
const largestReply = 64 << 20

// startInProcess reads the catalog that a path leads to and starts the service. Without a
// path the catalog in force in the store answers, where there is a store already, or else
// the invented shop. Otherwise the store is opened when a call needs it.
func startInProcess(ctx context.Context, path string, store *storage.Lazy, now func() time.Time) (*inProcess, error) {
	shop, err := readCatalog(path)
	if err != nil {
		return nil, err
	}
	listener := bufconn.Listen(memory)
	s := &inProcess{store: store, done: make(chan error, 1)}
	s.server = server.New(server.Config{Catalog: shop.Catalog, Files: shop.Packed, Fixed: shop.Named, Store: store, Caller: owner, Now: now,
		Log: slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelError}))})
	go func() { s.done <- s.server.Serve(listener) }()
	s.conn, err = grpc.NewClient("passthrough:in-process", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(largestReply)))
	if err != nil {
		return nil, errors.Join(err, s.close())
	}
	if !store.Absent() {
		if _, err := s.server.Follow(ctx); err != nil { // the invented shop must not answer in its place
			return nil, errors.Join(fmt.Errorf("the shop's catalog is kept with its quotes and cannot be read: %w", err), s.close())
		}
	}
	return s, nil
}

// readCatalog reads the catalog that is named, or the invented shop's. All faults come
// back together, as what the person who keeps the files has to mend.
func readCatalog(path string) (*shopfolder.Shop, error) {
	shop, err := shopfolder.Read(path)
	if err == nil || path == "" {
		return shop, err
	}
	told := fmt.Errorf("the catalog cannot be used:\n%w", err)
	if errors.Is(err, shopfolder.ErrNowhere) {
		told = fmt.Errorf("%s: %w", catalogPath, err)
	}
	return nil, &cli.MalformedError{Err: told, Hint: "mend the files that " + catalogPath + " leads to, or leave it out"}
}

// close ends the service and closes what it opened; on a service that was never
// started it does nothing.
func (s *inProcess) close() error {
	if s == nil {
		return nil
	}
	if s.conn != nil {
		_ = s.conn.Close() // nothing is under way on it any more
	}
	s.server.Stop()
	<-s.done //nolint:errcheck // a service that was stopped has nothing to report
	return s.store.Close()
}
