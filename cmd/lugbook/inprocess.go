package main

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/clients/cli"
	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/quoting"
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

// startInProcess reads the catalog and starts the service. An empty folder means
// the invented shop. The store is opened when a call needs it.
func startInProcess(folder string, store *storage.Lazy, now func() time.Time) (*inProcess, error) {
	cat, files, err := readCatalog(folder)
	if err != nil {
		return nil, err
	}
	listener := bufconn.Listen(memory)
	s := &inProcess{store: store, done: make(chan error, 1)}
	s.server = server.New(server.Config{Catalog: cat, Files: func() ([]byte, error) { return quoting.Pack(files) }, Store: store, Caller: owner, Now: now,
		Log: slog.New(slog.NewTextHandler(os.Stderr, &slog.HandlerOptions{Level: slog.LevelError}))})
	go func() { s.done <- s.server.Serve(listener) }()
	s.conn, err = grpc.NewClient("passthrough:in-process", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(largestReply)))
	if err != nil {
		return nil, errors.Join(err, s.close())
	}
	return s, nil
}

// readCatalog reads the catalog of a folder, or the invented shop's, and gives its
// files too. All faults come back together, as what the person who keeps the folder
// has to mend.
func readCatalog(folder string) (*catalog.Catalog, fs.FS, error) {
	if folder == "" {
		cat, err := catalog.Read(demo.Files())
		return cat, demo.Files(), err
	}
	malformed := func(err error) error {
		return &cli.MalformedError{Err: err, Hint: "mend the files that " + catalogFolder + " leads to, or leave it out to use the demonstration catalog"}
	}
	if info, err := os.Stat(folder); err != nil || !info.IsDir() {
		return nil, nil, malformed(fmt.Errorf("%s: there is no folder %s", catalogFolder, folder))
	}
	files := os.DirFS(folder)
	cat, err := catalog.Read(files)
	if err != nil {
		return nil, nil, malformed(fmt.Errorf("the catalog cannot be used:\n%w", err))
	}
	return cat, files, nil
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
