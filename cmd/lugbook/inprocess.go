package main

import (
	"context"
	"fmt"
	"io/fs"
	"log/slog"
	"net"
	"os"
	"time"

	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/rpc/server"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"
)

// inProcess is the whole service behind an in-memory connection.
type inProcess struct {
	conn   *grpc.ClientConn
	server *server.Server
	done   chan error
}

// memory is the size of the in-memory connection's buffer: room for any reply of
// a job that a person writes, so that both sides need not take turns.
const memory = 1 << 20

// largestReply is above what the server sends at the most.
const largestReply = 64 << 20

// startInProcess reads the catalog and starts the service. An empty folder means
// the invented shop. Faults of a catalog come back all together.
func startInProcess(folder string, now func() time.Time) (*inProcess, error) {
	var files fs.FS = demo.Files()
	if folder != "" {
		files = os.DirFS(folder)
	}
	cat, err := catalog.Read(files)
	if err != nil {
		return nil, fmt.Errorf("the catalog cannot be used:\n%w", err)
	}
	listener := bufconn.Listen(memory)
	s := &inProcess{server: server.New(server.Config{Catalog: cat, Now: now, Log: slog.New(slog.DiscardHandler)}), done: make(chan error, 1)}
	go func() { s.done <- s.server.Serve(listener) }()
	s.conn, err = grpc.NewClient("passthrough:in-process", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }),
		grpc.WithDefaultCallOptions(grpc.MaxCallRecvMsgSize(largestReply)))
	if err != nil {
		s.close()
		return nil, err
	}
	return s, nil
}

// close ends the service; on a service that was never started it does nothing.
func (s *inProcess) close() {
	if s == nil {
		return
	}
	if s.conn != nil {
		_ = s.conn.Close() // nothing is under way on it any more
	}
	s.server.Stop()
	<-s.done //nolint:errcheck // a service that was stopped has nothing to report
}
