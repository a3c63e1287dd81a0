package server_test

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"io/fs"
	"log/slog"
	"net"
	"sync"
	"testing"
	"testing/fstest"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/status"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/proto"
)

// clock is a clock that tests set.
type clock struct {
	mu  sync.Mutex
	now time.Time
}

func (c *clock) Now() time.Time {
	c.mu.Lock()
	defer c.mu.Unlock()
	return c.now
}

func (c *clock) set(to time.Time) {
	c.mu.Lock()
	defer c.mu.Unlock()
	c.now = to
}

func (c *clock) pass(d time.Duration) { c.set(c.Now().Add(d)) }

// counter is a shop's service over a store in memory.
type counter struct {
	pb.QuoteServiceClient
	conn    *grpc.ClientConn
	clock   *clock
	store   *quotingtest.Store
	server  *server.Server
	catalog *catalog.Catalog
	ids     int
}

// open starts a service over a store; shop bends the files of the invented shop.
func open(t require.TestingT, store *quotingtest.Store, caller string, shop func(fstest.MapFS)) (*counter, func()) {
	return openWith(t, store, caller, shop, false)
}

// openWith is open for a catalog that somebody named, or not.
func openWith(t require.TestingT, store *quotingtest.Store, caller string, shop func(fstest.MapFS), fixed bool) (*counter, func()) {
	cat, packed := inventedShop(t)
	if shop != nil {
		folder := shopFiles(t)
		shop(folder)
		cat, packed = readShop(t, folder)
	}
	c := &counter{clock: &clock{now: now()}, store: store, catalog: cat}
	c.server = server.New(server.Config{Catalog: cat, Fixed: fixed, Files: func() ([]byte, error) { return packed, nil }, Store: store, Caller: caller, Now: c.clock.Now, Log: slog.New(slog.DiscardHandler)})
	listener := bufconn.Listen(1 << 20)
	done := make(chan error, 1)
	go func() { done <- c.server.Serve(listener) }()
	conn, err := grpc.NewClient("passthrough:memory", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }))
	require.NoError(t, err)
	c.conn, c.QuoteServiceClient = conn, pb.NewQuoteServiceClient(conn)
	return c, func() {
		require.NoError(t, conn.Close())
		c.server.Close(time.Second)
		require.NoError(t, <-done)
	}
}

// readShop reads a folder, and packs it.
func readShop(t require.TestingT, folder fs.FS) (*catalog.Catalog, []byte) {
	cat, err := catalog.Read(folder)
	require.NoError(t, err)
	packed, err := quoting.Pack(folder)
	require.NoError(t, err)
	return cat, packed
}

var (
	inventedOnce    sync.Once
	inventedCatalog *catalog.Catalog
	inventedPacked  []byte
)

// inventedShop gives the invented shop, read once for all tests.
func inventedShop(t require.TestingT) (*catalog.Catalog, []byte) {
	inventedOnce.Do(func() { inventedCatalog, inventedPacked = readShop(t, demo.Files()) })
	return inventedCatalog, inventedPacked
}

// shopFiles gives the files of the invented shop, to be changed.
func shopFiles(t require.TestingT) fstest.MapFS {
	folder := fstest.MapFS{}
	for _, name := range catalog.Files() {
		file, err := demo.Files().Open(name)
		require.NoError(t, err)
		text, err := io.ReadAll(file)
		require.NoError(t, err)
		folder[name] = &fstest.MapFile{Data: text}
	}
	return folder
}

// edit replaces a text of a file that must be there.
func edit(t require.TestingT, folder fstest.MapFS, name, old, replacement string) {
	text := folder[name].Data
	require.Contains(t, string(text), old)
	folder[name] = &fstest.MapFile{Data: bytes.Replace(text, []byte(old), []byte(replacement), 1)}
}

// shopIn puts the shop into a time zone.
func shopIn(t *testing.T, zone string) func(fstest.MapFS) {
	t.Helper()
	return func(folder fstest.MapFS) {
		edit(t, folder, "shop.yaml", "validity_days: 30", "validity_days: 30\ntime_zone: "+zone)
	}
}

func newStore() *quotingtest.Store { return quotingtest.NewStore() }

// newCounter opens a service over an empty store, with "tester" as the caller.
func newCounter(t *testing.T) *counter {
	t.Helper()
	c, stop := open(t, newStore(), "tester", nil)
	t.Cleanup(stop)
	return c
}

// id gives a request id that was not used yet.
func (c *counter) id() string {
	c.ids++
	return fmt.Sprintf("request-%d", c.ids)
}

// lampJob is the quickest job there is, for a customer.
func lampJob(customer *pb.Customer) *pb.Job {
	return &pb.Job{Customer: customer, VehicleId: "sedan", System: &pb.System{Layout: pb.LayoutChoice_LAYOUT_CHOICE_SINGLE, Devices: []*pb.Device{{
		Id: "lamp", Label: "Boot lamp", Kind: pb.DeviceKind_DEVICE_KIND_LIGHT, Zone: "boot", Rating: &pb.Device_CurrentA{CurrentA: 3}, MeasuredLengthM: proto.Float64(5),
	}}}}
}

func ofJob(j *pb.Job) *pb.QuoteSource { return &pb.QuoteSource{Source: &pb.QuoteSource_Job{Job: j}} }

func ofNumber(n string) *pb.QuoteSource {
	return &pb.QuoteSource{Source: &pb.QuoteSource_Number{Number: n}}
}

// create stores a quote of the lamp.
func (c *counter) create(t *testing.T, customer *pb.Customer) *pb.Quote {
	t.Helper()
	reply, err := c.CreateQuote(t.Context(), &pb.CreateQuoteRequest{Source: ofJob(lampJob(customer)), RequestId: c.id()})
	require.NoError(t, err)
	return reply.GetQuote()
}

// get shows a quote.
func (c *counter) get(t *testing.T, number string) *pb.Quote {
	t.Helper()
	reply, err := c.GetQuote(t.Context(), &pb.GetQuoteRequest{Number: number})
	require.NoError(t, err)
	return reply.GetQuote()
}

// refused asks for an error of a code and a reason, and gives its details.
func refused(t *testing.T, err error, code codes.Code, reason pb.ErrorReason) []any {
	t.Helper()
	s, _ := status.FromError(err)
	require.Equal(t, code, s.Code(), "%v", err)
	for _, d := range s.Details() {
		if info, ok := d.(*errdetails.ErrorInfo); ok {
			require.Equal(t, reason.String(), "ERROR_REASON_"+info.GetReason())
			return s.Details()
		}
	}
	t.Fatal("no ErrorInfo")
	return nil
}

// detail gives the one detail of a kind.
func detail[D any](t *testing.T, details []any) D {
	t.Helper()
	for _, d := range details {
		if found, ok := d.(D); ok {
			return found
		}
	}
	var none D
	t.Fatalf("no %T among the details", none)
	return none
}

// fields gives the paths of the violations.
func fields(t *testing.T, err error) []string {
	t.Helper()
	s, _ := status.FromError(err)
	require.Equal(t, codes.InvalidArgument, s.Code(), "%v", err)
	var paths []string
	for _, v := range detail[*errdetails.BadRequest](t, s.Details()).GetFieldViolations() {
		require.NotContains(t, v.GetDescription(), "violation.", "wording is missing")
		require.NotContains(t, v.GetDescription(), "{")
		paths = append(paths, v.GetField())
	}
	return paths
}
