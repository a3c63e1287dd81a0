package main

import (
	"bufio"
	"context"
	"fmt"
	"io"
	"log/slog"
	"net"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"testing"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog/demo"
	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials/insecure"
	"google.golang.org/grpc/test/bufconn"
	"google.golang.org/protobuf/proto"
)

// shop is the service over a store that lasts.
type shop struct {
	lugbookv1.QuoteServiceClient
	stop func()
}

// openShop starts the service over the store in a place, as the daemon does, by a
// clock.
func openShop(t *testing.T, where string, now func() time.Time) *shop {
	t.Helper()
	invented, packed, err := read("")
	require.NoError(t, err)
	store, err := storage.Open(t.Context(), where)
	require.NoError(t, err)
	s := server.New(server.Config{Catalog: invented.Catalog, Files: func() ([]byte, error) { return packed, nil }, Store: store, Now: now, Log: slog.New(slog.NewTextHandler(os.Stderr, nil))})
	listener := bufconn.Listen(1 << 20)
	done := make(chan error, 1)
	go func() { done <- s.Serve(listener) }()
	conn, err := grpc.NewClient("passthrough:memory", grpc.WithTransportCredentials(insecure.NewCredentials()),
		grpc.WithContextDialer(func(ctx context.Context, _ string) (net.Conn, error) { return listener.DialContext(ctx) }))
	require.NoError(t, err)
	return &shop{lugbookv1.NewQuoteServiceClient(conn), sync.OnceFunc(func() {
		require.NoError(t, conn.Close())
		s.Close(time.Second)
		require.NoError(t, <-done)
		require.NoError(t, store.Close())
	})}
}

// places gives every kind of store there is: a file, and a database where one is
// named.
func places(t *testing.T) map[string]string {
	t.Helper()
	all := map[string]string{"sqlite": filepath.Join(t.TempDir(), "new", "quotes.db")}
	if url := os.Getenv("LUGBOOK_POSTGRES_URL"); url != "" {
		all["postgres"] = url
	}
	return all
}

func lamp(customer string) *lugbookv1.QuoteSource {
	return &lugbookv1.QuoteSource{Source: &lugbookv1.QuoteSource_Job{Job: &lugbookv1.Job{
		Customer: &lugbookv1.Customer{Name: customer, Phone: "555-0144"}, VehicleId: "sedan",
		System: &lugbookv1.System{Layout: lugbookv1.LayoutChoice_LAYOUT_CHOICE_SINGLE, Devices: []*lugbookv1.Device{{
			Id: "lamp", Kind: lugbookv1.DeviceKind_DEVICE_KIND_LIGHT, Zone: "boot", Rating: &lugbookv1.Device_CurrentA{CurrentA: 3}, MeasuredLengthM: proto.Float64(5)}}},
	}}}
}

// The life of quotes over stores that last, with the service started anew between.
func TestQuotesOutliveTheService(t *testing.T) {
	for kind, where := range places(t) {
		t.Run(kind, func(t *testing.T) {
			ctx := t.Context()
			run := fmt.Sprintf("run-%d-", time.Now().UnixNano()) // a database may hold those of earlier runs
			name := "Ümit " + run
			s := openShop(t, where, time.Now)
			t.Cleanup(func() { s.stop() })
			again := func() {
				s.stop()
				s = openShop(t, where, time.Now)
			}
			create := &lugbookv1.CreateQuoteRequest{Source: lamp(name), RequestId: run + "create"}
			made, err := s.CreateQuote(ctx, create)
			require.NoError(t, err)
			number := made.GetQuote().GetNumber()
			again()
			replayed, err := s.CreateQuote(ctx, create)
			require.NoError(t, err)
			assert.True(t, proto.Equal(made, replayed))
			shown, err := s.GetQuote(ctx, &lugbookv1.GetQuoteRequest{Number: number})
			require.NoError(t, err)
			assert.True(t, proto.Equal(made.GetQuote(), shown.GetQuote()))
			for _, words := range []string{"umit " + run, "0144 " + run} {
				found, err := s.ListQuotes(ctx, &lugbookv1.ListQuotesRequest{Customer: words, States: []lugbookv1.QuoteState{lugbookv1.QuoteState_QUOTE_STATE_OPEN}})
				require.NoError(t, err)
				require.Len(t, found.GetQuotes(), 1, words)
				assert.Equal(t, number, found.GetQuotes()[0].GetNumber())
			}
			revised, err := s.ReviseQuote(ctx, &lugbookv1.ReviseQuoteRequest{Number: number, RequestId: run + "revise", Etag: made.GetQuote().GetEtag(), Reason: "again"})
			require.NoError(t, err)
			assert.Empty(t, revised.GetChanges(), "nothing has become dearer")
			accepted, err := s.AcceptQuote(ctx, &lugbookv1.AcceptQuoteRequest{Number: number, Revision: 2, RequestId: run + "accept"})
			require.NoError(t, err)
			require.NotEmpty(t, accepted.GetReservations())
			again()
			_, err = s.WithdrawQuote(ctx, &lugbookv1.WithdrawQuoteRequest{Number: number, RequestId: run + "withdraw", Etag: accepted.GetQuote().GetEtag()})
			require.NoError(t, err)
			_, err = s.EraseCustomer(ctx, &lugbookv1.EraseCustomerRequest{Numbers: []string{number}, RequestId: run + "erase"})
			require.NoError(t, err)
			again()
			shown, err = s.GetQuote(ctx, &lugbookv1.GetQuoteRequest{Number: number, IncludeHistory: true})
			require.NoError(t, err)
			assert.Nil(t, shown.GetQuote().GetCustomer())
			assert.Equal(t, lugbookv1.QuoteState_QUOTE_STATE_WITHDRAWN, shown.GetQuote().GetState())
			var deeds []lugbookv1.QuoteDeed
			for _, e := range shown.GetHistory() {
				deeds = append(deeds, e.GetDeed())
				assert.Empty(t, e.GetReason())
			}
			assert.Equal(t, []lugbookv1.QuoteDeed{lugbookv1.QuoteDeed_QUOTE_DEED_CREATED, lugbookv1.QuoteDeed_QUOTE_DEED_REVISED, lugbookv1.QuoteDeed_QUOTE_DEED_ACCEPTED,
				lugbookv1.QuoteDeed_QUOTE_DEED_WITHDRAWN, lugbookv1.QuoteDeed_QUOTE_DEED_ERASED}, deeds)
			found, err := s.ListQuotes(ctx, &lugbookv1.ListQuotesRequest{Text: "umit " + run})
			require.NoError(t, err)
			assert.Empty(t, found.GetQuotes())
		})
	}
}

// Many make quotes at once, each sending every request twice: each is there once, and
// no number is missing or given twice.
func TestManyMakeQuotesAtOnce(t *testing.T) {
	for kind, where := range places(t) {
		t.Run(kind, func(t *testing.T) {
			s := openShop(t, where, time.Now)
			t.Cleanup(s.stop)
			run := fmt.Sprintf("many-%d-", time.Now().UnixNano())
			const callers, each = 8, 4
			var group sync.WaitGroup
			var mu sync.Mutex
			numbers := map[string]int{}
			for i := range callers {
				group.Go(func() {
					for j := range 2 * each {
						reply, err := s.CreateQuote(context.Background(), &lugbookv1.CreateQuoteRequest{Source: lamp(run), RequestId: fmt.Sprintf("%s%d-%d", run, i, j/2)})
						if err != nil {
							t.Error(err)
							return
						}
						mu.Lock()
						numbers[reply.GetQuote().GetNumber()]++
						mu.Unlock()
					}
				})
			}
			group.Wait()
			assert.Len(t, numbers, callers*each)
			for number, times := range numbers {
				assert.Equal(t, 2, times, number)
			}
			found, err := s.ListQuotes(t.Context(), &lugbookv1.ListQuotesRequest{Customer: run, PageSize: 1000})
			require.NoError(t, err)
			assert.Len(t, found.GetQuotes(), callers*each)
		})
	}
}

// The daemon erases customers whose time is up when it starts.
func TestTheDaemonForgetsAtItsStart(t *testing.T) {
	where := filepath.Join(t.TempDir(), "quotes.db")
	longAgo := func() time.Time { return time.Now().AddDate(-1, 0, 0) }
	s := openShop(t, where, longAgo)
	_, err := s.CreateQuote(t.Context(), &lugbookv1.CreateQuoteRequest{Source: lamp("Somebody"), RequestId: "old"})
	require.NoError(t, err)
	s.stop()
	s = openShop(t, where, time.Now)
	_, err = s.CreateQuote(t.Context(), &lugbookv1.CreateQuoteRequest{Source: lamp("Somebody"), RequestId: "new"})
	require.NoError(t, err)
	s.stop()

	folder := t.TempDir()
	require.NoError(t, os.CopyFS(folder, demo.Files()))
	rules, err := os.ReadFile(filepath.Join(folder, "shop.yaml"))
	require.NoError(t, err)
	require.NoError(t, os.WriteFile(filepath.Join(folder, "shop.yaml"), append(rules, "\ncustomer_retention_days: 100\n"...), 0o600))
	log, told := io.Pipe()
	ctx, cancel := context.WithTimeout(t.Context(), patience)
	defer cancel()
	ended := make(chan int, 1)
	go func() {
		ended <- run(ctx, []string{"--listen", "127.0.0.1:0", "--store", where, "--catalog", folder}, told, os.Getenv)
		_ = told.Close() // it never fails
	}()
	lines := bufio.NewScanner(log)
	for lines.Scan() {
		if strings.Contains(lines.Text(), "customers forgotten") {
			assert.Contains(t, lines.Text(), `"quotes":1`)
			cancel()
		}
	}
	require.NoError(t, lines.Err())
	require.ErrorIs(t, ctx.Err(), context.Canceled, "it told before the time was up")
	assert.Equal(t, exitDone, <-ended)

	s = openShop(t, where, time.Now)
	defer s.stop()
	for number, named := range map[string]bool{"1": false, "2": true} {
		shown, err := s.GetQuote(t.Context(), &lugbookv1.GetQuoteRequest{Number: number})
		require.NoError(t, err)
		assert.Equal(t, named, shown.GetQuote().GetCustomer() != nil, number)
	}
}
