package dial_test

import (
	"context"
	"net"
	"path/filepath"
	"testing"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/dial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
)

func TestCheck(t *testing.T) {
	t.Parallel()
	for _, c := range []struct{ address, wantErr string }{
		{"localhost:7420", ""},
		{"LOCALHOST:7420", ""},
		{"127.0.0.1:1", ""},
		{"127.8.9.10:65535", ""},
		{"[::1]:7420", ""},
		{"unix:/run/lugbook.sock", ""},
		{"unix:lugbook.sock", ""},
		{"", "is not host:port"},
		{"localhost", "is not host:port"},
		{"::1:7420", "is not host:port"},
		{"localhost:", "has no port"},
		{"localhost:0", "has no port"},
		{"localhost:65536", "has no port"},
		{"localhost:grpc", "has no port"},
		{":7420", "is not on this machine"},
		{"0.0.0.0:7420", "is not on this machine"},
		{"192.0.2.7:7420", "is not on this machine"},
		{"localhost.example.com:7420", "is not on this machine"},
		{"[2001:db8::1]:7420", "is not on this machine"},
		{"unix:", "names no socket"},
		{"unix:///", "names no socket"},
	} {
		t.Run(c.address, func(t *testing.T) {
			t.Parallel()
			err := dial.Check(c.address)
			if c.wantErr == "" {
				require.NoError(t, err)
				return
			}
			require.ErrorIs(t, err, dial.ErrAddress)
			require.ErrorContains(t, err, c.wantErr)
			_, err = dial.Open(c.address)
			require.ErrorIs(t, err, dial.ErrAddress)
		})
	}
}

// deadlineServer tells how much time the caller gave.
type deadlineServer struct {
	lugbookv1.UnimplementedQuoteServiceServer
	left chan time.Duration
}

func (s deadlineServer) PreviewQuote(ctx context.Context, _ *lugbookv1.PreviewQuoteRequest) (*lugbookv1.PreviewQuoteResponse, error) {
	if at, ok := ctx.Deadline(); ok {
		s.left <- time.Until(at)
	} else {
		s.left <- 0
	}
	return &lugbookv1.PreviewQuoteResponse{}, nil
}

func TestOpen(t *testing.T) {
	t.Setenv("HTTPS_PROXY", "http://192.0.2.1:1") // documentation range: nothing answers there
	for _, c := range []struct{ name, network, listen, address string }{
		{"loopback", "tcp", "127.0.0.1:0", ""},
		{"Unix socket", "unix", filepath.Join(t.TempDir(), "s"), "unix:"},
	} {
		t.Run(c.name, func(t *testing.T) {
			listener, err := new(net.ListenConfig).Listen(t.Context(), c.network, c.listen)
			require.NoError(t, err)
			left := make(chan time.Duration, 1)
			server := grpc.NewServer()
			lugbookv1.RegisterQuoteServiceServer(server, deadlineServer{left: left})
			done := make(chan error, 1)
			go func() { done <- server.Serve(listener) }()
			defer func() {
				server.Stop()
				require.NoError(t, <-done)
			}()

			conn, err := dial.Open(c.address + listener.Addr().String())
			require.NoError(t, err)
			defer func() { require.NoError(t, conn.Close()) }()
			client := lugbookv1.NewQuoteServiceClient(conn)

			_, err = client.PreviewQuote(t.Context(), &lugbookv1.PreviewQuoteRequest{})
			require.NoError(t, err)
			assert.InDelta(t, dial.DefaultDeadline, <-left, float64(10*time.Second))

			ctx, cancel := context.WithTimeout(t.Context(), time.Hour)
			defer cancel()
			_, err = client.PreviewQuote(ctx, &lugbookv1.PreviewQuoteRequest{})
			require.NoError(t, err)
			assert.Greater(t, <-left, 30*time.Minute, "the caller's own deadline must stand")
		})
	}
}
