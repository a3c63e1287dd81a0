package server_test

import (
	"bytes"
	"context"
	"encoding/binary"
	"io"
	"net"
	"os"
	"runtime"
	"strconv"
	"sync"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"go.uber.org/goleak"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/status"
)

// listening is a server on a real listener.
type listening struct {
	address string
	secrets map[quoting.Role]string
	conn    *grpc.ClientConn
}

// listen serves on loopback; at the end no goroutine of it may be left.
func listen(t *testing.T, connections int, bend func(*server.Config)) *listening {
	t.Helper()
	before := goleak.IgnoreCurrent()
	tcp, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	s, secrets := guardedServer(t, func(c *server.Config) {
		if bend != nil {
			bend(c)
		}
	})
	done := make(chan error, 1)
	go func() { done <- s.Serve(server.Bounded(tcp, connections, connections)) }()
	l := &listening{address: tcp.Addr().String(), secrets: secrets}
	l.conn = l.dial(t)
	t.Cleanup(func() {
		require.NoError(t, l.conn.Close())
		s.Close(time.Second)
		require.NoError(t, <-done)
		goleak.VerifyNone(t, before)
	})
	return l
}

func (l *listening) dial(t *testing.T) *grpc.ClientConn {
	t.Helper()
	conn, err := grpc.NewClient("passthrough:///"+l.address, grpc.WithTransportCredentials(insecure.NewCredentials()), grpc.WithNoProxy())
	require.NoError(t, err)
	return conn
}

// served checks that a caller is served in good time.
func (l *listening) served(t *testing.T) {
	t.Helper()
	ctx, cancel := context.WithTimeout(shown(t.Context(), l.secrets[quoting.Public]), 20*time.Second)
	defer cancel()
	_, err := pb.NewCatalogServiceClient(l.conn).GetPart(ctx, &pb.GetPartRequest{Sku: "FU-ANL-100"})
	require.NoError(t, err)
}

func (l *listening) raw(t *testing.T) net.Conn {
	t.Helper()
	c, err := new(net.Dialer).DialContext(t.Context(), "tcp", l.address)
	require.NoError(t, err)
	t.Cleanup(func() { _ = c.Close() })
	return c
}

// preface is how a client of HTTP/2 begins.
const preface = "PRI * HTTP/2.0\r\n\r\nSM\r\n\r\n"

// frame is a frame of HTTP/2: its length, kind, flags and stream, and what is in it.
func frame(length uint32, kind, flags byte, stream uint32, body []byte) []byte {
	head := binary.BigEndian.AppendUint32(nil, length<<8|uint32(kind))
	return append(binary.BigEndian.AppendUint32(append(head, flags), stream), body...)
}

// Whatever comes in place of calls, it is ended, and others are served meanwhile.
func TestGarbageInPlaceOfCalls(t *testing.T) {
	l := listen(t, 1000, nil)
	settings := string(frame(0, 4, 0, 0, nil))
	for name, sent := range map[string]string{
		"another protocol":      "GET / HTTP/1.1\r\nHost: shop\r\n\r\n",
		"a handshake":           "\x16\x03\x01\x02\x00\x01\x00\x01\xfc\x03\x03" + string(make([]byte, 500)),
		"noise":                 string(bytes.Repeat([]byte{0xfe, 0x01, 0x7f}, 5000)),
		"an oversized frame":    preface + settings + string(frame(1<<24-1, 0, 0, 1, make([]byte, 1000))),
		"a malformed frame":     preface + settings + string(frame(3, 4, 0, 0, []byte{1, 2, 3})),
		"headers that are none": preface + settings + string(frame(5, 1, 4, 1, []byte{0xff, 0xff, 0xff, 0xff, 0xff})),
	} {
		t.Run(name, func(t *testing.T) {
			c := l.raw(t)
			_, _ = c.Write([]byte(sent)) // the server may have ended it already
			l.served(t)
			require.NoError(t, c.SetReadDeadline(time.Now().Add(30*time.Second)))
			_, err := io.Copy(io.Discard, c)
			var late net.Error
			assert.False(t, errorsAs(err, &late) && late.Timeout(), "the connection is ended")
		})
	}
}

func errorsAs(err error, to *net.Error) bool {
	e, ok := err.(net.Error) //nolint:errorlint // what a connection gives is not wrapped
	if ok {
		*to = e
	}
	return ok
}

// idle is how many idle streams there are: LUGBOOK_IDLE_STREAMS makes it more.
func idle(t *testing.T) int {
	t.Helper()
	if text := os.Getenv("LUGBOOK_IDLE_STREAMS"); text != "" {
		n, err := strconv.Atoi(text)
		require.NoError(t, err)
		return n
	}
	return 500
}

// Many streams that say nothing cost little, and keep nobody else out.
func TestIdleStreams(t *testing.T) {
	l := listen(t, 2000, func(c *server.Config) { c.Rates = map[server.Class]server.Rate{} })
	l.served(t)
	var before, after runtime.MemStats
	runtime.GC()
	runtime.ReadMemStats(&before)
	const perConnection = 200
	ctx, cancel := context.WithCancel(t.Context())
	var conns []*grpc.ClientConn
	defer func() {
		cancel()
		for _, c := range conns {
			assert.NoError(t, c.Close())
		}
	}()
	n := idle(t)
	for i := range n {
		if i%perConnection == 0 {
			conns = append(conns, l.dial(t))
		}
		stream, err := grpc_health_v1.NewHealthClient(conns[len(conns)-1]).Watch(ctx, &grpc_health_v1.HealthCheckRequest{})
		require.NoError(t, err)
		_, err = stream.Recv()
		require.NoError(t, err)
	}
	l.served(t)
	runtime.GC()
	runtime.ReadMemStats(&after)
	each := (int64(after.HeapInuse+after.StackInuse) - int64(before.HeapInuse+before.StackInuse)) / int64(n)
	t.Logf("%d idle streams, %d bytes each, both ends together", n, each)
	assert.Less(t, each, int64(128<<10))
}

// Connections that never speak are as many as may be; what comes beyond is closed.
func TestConnectionsThatNeverSpeak(t *testing.T) {
	const room = 50
	l := listen(t, room, nil)
	l.served(t)
	closed := 0
	for range 3 * room {
		c := l.raw(t)
		require.NoError(t, c.SetReadDeadline(time.Now().Add(20*time.Millisecond)))
		if _, err := c.Read(make([]byte, 1)); err != nil && !os.IsTimeout(err) {
			closed++
		}
	}
	assert.GreaterOrEqual(t, closed, room)
	l.served(t)
}

// A message over the limit is refused, and so are endless headers.
func TestOversizedMessages(t *testing.T) {
	l := listen(t, 10, nil)
	ctx := shown(t.Context(), l.secrets[quoting.Public])
	_, err := pb.NewCatalogServiceClient(l.conn).ListParts(ctx, &pb.ListPartsRequest{Text: string(make([]byte, 3<<20))})
	assert.Equal(t, codes.ResourceExhausted, status.Code(err))
	_, err = pb.NewCatalogServiceClient(l.conn).ListParts(shown(t.Context(), string(bytes.Repeat([]byte("a"), 64<<10))), &pb.ListPartsRequest{})
	require.Error(t, err)
	l.served(t)
}

// hanging is a store that answers nobody, but tells tokens.
type hanging struct {
	quoting.Store
	asked chan struct{}
	once  sync.Once
}

func (h *hanging) Update(ctx context.Context, _ func(quoting.Writer) error) error {
	h.once.Do(func() { close(h.asked) })
	<-ctx.Done()
	return ctx.Err()
}

// A store that hangs holds up those who need it until their time is up, and nobody else.
func TestAStoreThatHangs(t *testing.T) {
	var store *hanging
	l := listen(t, 10, func(c *server.Config) {
		store = &hanging{Store: c.Store, asked: make(chan struct{})}
		c.Store = store
	})
	ctx, cancel := context.WithTimeout(shown(t.Context(), l.secrets[quoting.Counter]), 2*time.Second)
	defer cancel()
	failed := make(chan error, 1)
	go func() {
		_, err := pb.NewQuoteServiceClient(l.conn).CreateQuote(ctx, &pb.CreateQuoteRequest{Source: ofJob(lampsJob(1)), RequestId: "a"})
		failed <- err
	}()
	<-store.asked
	l.served(t)
	assert.Equal(t, codes.DeadlineExceeded, status.Code(<-failed))
}

// Who begins to send a catalog and falls silent is ended by the one who waits, and keeps
// nobody.
func TestASlowSender(t *testing.T) {
	l := listen(t, 10, nil)
	ctx, cancel := context.WithTimeout(shown(t.Context(), l.secrets[quoting.Owner]), 500*time.Millisecond)
	defer cancel()
	stream, err := pb.NewCatalogServiceClient(l.conn).CheckCatalog(ctx)
	require.NoError(t, err)
	require.NoError(t, stream.Send(piece("fuses.csv", []byte("sku"))))
	l.served(t)
	assert.Equal(t, codes.DeadlineExceeded, status.Code(stream.RecvMsg(&pb.CheckCatalogResponse{})))
	l.served(t)
}
