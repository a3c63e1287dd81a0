package dial_test

import (
	"context"
	"net"
	"testing"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/dial"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/metadata"
)

func TestOtherMachinesAreDialledEncryptedAlone(t *testing.T) {
	t.Parallel()
	for _, address := range []string{"shop.example:7317", "192.0.2.7:7317"} {
		require.ErrorIs(t, dial.CheckWith(address, dial.Options{Token: "secret"}), dial.ErrAddress)
		require.NoError(t, dial.CheckWith(address, dial.Options{TLS: true}))
		require.NoError(t, dial.CheckWith(address, dial.Options{CA: "ca.pem"}))
	}
	require.ErrorIs(t, dial.CheckWith(":7317", dial.Options{TLS: true}), dial.ErrAddress)
	_, err := dial.OpenWith("shop.example:7317", dial.Options{CA: "nowhere.pem"})
	require.ErrorIs(t, err, dial.ErrAddress)
}

// tokenServer tells what a call shows.
type tokenServer struct {
	lugbookv1.UnimplementedQuoteServiceServer
	shown chan []string
}

func (s tokenServer) PreviewQuote(ctx context.Context, _ *lugbookv1.PreviewQuoteRequest) (*lugbookv1.PreviewQuoteResponse, error) {
	s.shown <- metadata.ValueFromIncomingContext(ctx, "authorization")
	return &lugbookv1.PreviewQuoteResponse{}, nil
}

func TestTheTokenIsShown(t *testing.T) {
	t.Parallel()
	listener, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	shown := make(chan []string, 1)
	server := grpc.NewServer()
	lugbookv1.RegisterQuoteServiceServer(server, tokenServer{shown: shown})
	done := make(chan error, 1)
	go func() { done <- server.Serve(listener) }()
	defer func() {
		server.Stop()
		require.NoError(t, <-done)
	}()
	for token, want := range map[string][]string{"": nil, "secret\n": {"Bearer secret"}} {
		conn, err := dial.OpenWith(listener.Addr().String(), dial.Options{Token: token})
		require.NoError(t, err)
		_, err = lugbookv1.NewQuoteServiceClient(conn).PreviewQuote(t.Context(), &lugbookv1.PreviewQuoteRequest{})
		require.NoError(t, err)
		assert.Equal(t, want, <-shown)
		require.NoError(t, conn.Close())
	}
}
