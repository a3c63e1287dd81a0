package cli_test

import (
	"bytes"
	"context"
	"errors"
	"flag"
	"io"
	"net"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/clients/cli"
	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/encoding/protojson"
	"google.golang.org/protobuf/proto"
)

var update = flag.Bool("update", false, "rewrite the golden files")

// testdata is where the canned replies are, whatever folder a test works in.
var testdata, _ = filepath.Abs("testdata")

// fakeShop is a service that knows one answer to each call, and keeps the last
// request. A test makes one call at a time, so nothing is locked.
type fakeShop struct {
	lugbookv1.UnimplementedQuoteServiceServer
	lugbookv1.UnimplementedDesignServiceServer
	lugbookv1.UnimplementedCatalogServiceServer

	folder string // of the canned replies
	err    error  // returned in place of them
	fails  int    // how many calls return it; 0: all
	got    proto.Message
	calls  []proto.Message // each try of each call

	unstored error                     // returned by CreateQuote alone
	uploaded map[string]int            // bytes by name
	pieces   []*lugbookv1.CatalogPiece // of an export, in place of its own
	short    bool                      // a part of the previewed quote is short
}

// answer keeps the request and fills the reply from its file.
func (f *fakeShop) answer(request proto.Message, file string, reply proto.Message) error {
	f.got = request
	f.calls = append(f.calls, request)
	if f.err != nil && (f.fails == 0 || len(f.calls) <= f.fails) {
		return f.err
	}
	text, err := os.ReadFile(filepath.Join(f.folder, file))
	if err != nil {
		return err
	}
	return protojson.Unmarshal(text, reply)
}

func (f *fakeShop) PreviewQuote(_ context.Context, r *lugbookv1.PreviewQuoteRequest) (*lugbookv1.PreviewQuoteResponse, error) {
	reply := &lugbookv1.PreviewQuoteResponse{}
	err := f.answer(r, "quote.json", reply)
	if err == nil && r.GetUnitSystem() != lugbookv1.UnitSystem_UNIT_SYSTEM_UNSPECIFIED {
		reply.Quote.UnitSystem = r.GetUnitSystem()
	}
	if err == nil && f.short {
		reply.Quote.Shortages = []*lugbookv1.Shortage{{Text: "14 ft of cable are missing."}}
		reply.Quote.StockedWay = &lugbookv1.StockedWay{Text: "Built otherwise it costs more."}
	}
	return reply, err
}

func (f *fakeShop) SizeRun(_ context.Context, r *lugbookv1.SizeRunRequest) (*lugbookv1.SizeRunResponse, error) {
	reply := &lugbookv1.SizeRunResponse{}
	return reply, f.answer(r, "size.json", reply)
}

func (f *fakeShop) PlanTermination(_ context.Context, r *lugbookv1.PlanTerminationRequest) (*lugbookv1.PlanTerminationResponse, error) {
	reply := &lugbookv1.PlanTerminationResponse{}
	return reply, f.answer(r, "joint.json", reply)
}

func (f *fakeShop) ListParts(_ context.Context, r *lugbookv1.ListPartsRequest) (*lugbookv1.ListPartsResponse, error) {
	reply := &lugbookv1.ListPartsResponse{}
	if r.GetText() == "nothing" {
		f.got = r
		return reply, nil
	}
	err := f.answer(r, "parts.json", reply)
	if r.GetPageToken() != "" {
		reply.NextPageToken = "" // there are two pages
	}
	return reply, err
}

func (f *fakeShop) AdjustStock(_ context.Context, r *lugbookv1.AdjustStockRequest) (*lugbookv1.AdjustStockResponse, error) {
	reply := &lugbookv1.AdjustStockResponse{}
	return reply, f.answer(r, "balance.json", reply)
}

func (f *fakeShop) ListStock(_ context.Context, r *lugbookv1.ListStockRequest) (*lugbookv1.ListStockResponse, error) {
	reply := &lugbookv1.ListStockResponse{}
	return reply, f.answer(r, "stock.json", reply)
}

func (f *fakeShop) ListShortages(_ context.Context, r *lugbookv1.ListShortagesRequest) (*lugbookv1.ListShortagesResponse, error) {
	reply := &lugbookv1.ListShortagesResponse{}
	return reply, f.answer(r, "shortages.json", reply)
}

func (f *fakeShop) ListVehicles(_ context.Context, r *lugbookv1.ListVehiclesRequest) (*lugbookv1.ListVehiclesResponse, error) {
	reply := &lugbookv1.ListVehiclesResponse{}
	if r.GetText() == "nothing" {
		f.got = r
		return reply, nil
	}
	return reply, f.answer(r, "vehicles.json", reply)
}

func (f *fakeShop) GetVehicle(_ context.Context, r *lugbookv1.GetVehicleRequest) (*lugbookv1.GetVehicleResponse, error) {
	reply := &lugbookv1.GetVehicleResponse{}
	return reply, f.answer(r, "vehicle.json", reply)
}

// CheckCatalog keeps the names of the files that it is sent in uploaded, and their
// size; the reply is canned by the first one.
func (f *fakeShop) CheckCatalog(stream grpc.ClientStreamingServer[lugbookv1.CheckCatalogRequest, lugbookv1.CheckCatalogResponse]) error {
	f.uploaded = map[string]int{}
	last, file := "", "check.json"
	for {
		r, err := stream.Recv()
		if errors.Is(err, io.EOF) {
			break
		}
		if err != nil {
			return err
		}
		piece := r.GetPiece()
		if piece == nil {
			continue
		}
		if name := piece.GetFileName(); name != "" {
			last = name
		}
		f.uploaded[last] += len(piece.GetData())
	}
	if _, ok := f.uploaded["faults.csv"]; ok {
		file = "check_faults.json"
	}
	if _, ok := f.uploaded["gaps.csv"]; ok {
		file = "check_gaps.json"
	}
	reply := &lugbookv1.CheckCatalogResponse{}
	if err := f.answer(nil, file, reply); err != nil {
		return err
	}
	return stream.SendAndClose(reply)
}

// connect serves the shop over a connection in memory.
func (f *fakeShop) connect(t *testing.T) grpc.ClientConnInterface {
	t.Helper()
	if f.folder == "" {
		f.folder = testdata
	}
	listener := bufconn.Listen(1 << 20)
	server := grpc.NewServer()
	lugbookv1.RegisterQuoteServiceServer(server, f)
	lugbookv1.RegisterDesignServiceServer(server, f)
	lugbookv1.RegisterCatalogServiceServer(server, f)
	done := make(chan error, 1)
	go func() { done <- server.Serve(listener) }()
	conn, err := grpc.NewClient("passthrough:///memory",
		grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }))
	require.NoError(t, err)
	t.Cleanup(func() {
		assert.NoError(t, conn.Close())
		server.Stop()
		if err := <-done; !errors.Is(err, grpc.ErrServerStopped) { // stopped before it had begun
			assert.NoError(t, err)
		}
	})
	return conn
}

// result is what a run left behind.
type result struct {
	code        cli.ExitCode
	out, errors string
}

// run runs a command line against the shop at 80 columns.
func (f *fakeShop) run(t *testing.T, stdin string, args ...string) result {
	t.Helper()
	return f.runAt(t, 80, stdin, args...)
}

// runAt runs a command line against the shop.
func (f *fakeShop) runAt(t *testing.T, width int, stdin string, args ...string) result {
	t.Helper()
	conn := f.connect(t)
	var out, errors bytes.Buffer
	app := cli.New(cli.Options{
		Conn:  func(context.Context) (grpc.ClientConnInterface, error) { return conn, nil },
		Stdin: strings.NewReader(stdin), Stdout: &out, Stderr: &errors,
		Width: width, Location: time.UTC, Version: "1.2.3-test",
	})
	code := app.Run(t.Context(), args)
	return result{cli.ExitCode(code), out.String(), errors.String()}
}

// golden compares a text with a file, or rewrites it with -update.
func golden(t *testing.T, name, got string) {
	t.Helper()
	path := filepath.Join("testdata", name)
	if *update {
		require.NoError(t, os.WriteFile(path, []byte(got), 0o644))
	}
	want, err := os.ReadFile(path)
	require.NoError(t, err)
	assert.Equal(t, string(want), got)
}
