package server_test

import (
	"context"
	"testing"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/access"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/quoting/quotingtest"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/status"
	"google.golang.org/protobuf/proto"
)

func TestWhoShowsWhatIsAnsweredHow(t *testing.T) {
	conn, secrets, _ := guardedShop(t, nil)
	good := secrets[quoting.Public]
	for name, c := range map[string]struct {
		header []string
		want   codes.Code
	}{
		"nothing":             {nil, codes.Unauthenticated},
		"a token":             {[]string{"Bearer " + good}, codes.OK},
		"a small bearer":      {[]string{"bearer " + good}, codes.OK},
		"another scheme":      {[]string{"Basic " + good}, codes.Unauthenticated},
		"no scheme":           {[]string{good}, codes.Unauthenticated},
		"a token and another": {[]string{"Bearer " + good, "Bearer " + good}, codes.Unauthenticated},
		"an empty token":      {[]string{"Bearer "}, codes.Unauthenticated},
		"a longer token":      {[]string{"Bearer " + good + "a"}, codes.Unauthenticated},
		"a token cut short":   {[]string{"Bearer " + good[:len(good)-1]}, codes.Unauthenticated},
		"another secret":      {[]string{"Bearer " + good[:len(good)-1] + "-"}, codes.Unauthenticated},
	} {
		t.Run(name, func(t *testing.T) {
			ctx := metadata.NewOutgoingContext(t.Context(), metadata.MD{"authorization": c.header})
			_, err := pb.NewCatalogServiceClient(conn).ListVehicles(ctx, &pb.ListVehiclesRequest{})
			assert.Equal(t, c.want, status.Code(err), "%v", err)
			_, err = grpc_health_v1.NewHealthClient(conn).Check(ctx, &grpc_health_v1.HealthCheckRequest{})
			assert.NoError(t, err, "health is for everybody")
		})
	}
}

// The end of nobody's rights: the first token, even one that was revoked.
func TestNobodyIsTheOwnerUntilThereIsAToken(t *testing.T) {
	store := quotingtest.NewStore()
	conn, _, _ := guardedShop(t, func(c *server.Config) {
		c.Store, c.Access = store, &server.Access{Tokens: access.NewKeys(store), Nobody: quoting.Owner, UntilToken: true}
	})
	_, err := pb.NewCatalogServiceClient(conn).GetPart(t.Context(), &pb.GetPartRequest{Sku: "FU-ANL-100", IncludeCost: true})
	require.NoError(t, err)
	tokens(t, store)
	conn, _, _ = guardedShop(t, func(c *server.Config) {
		c.Store, c.Access = store, &server.Access{Tokens: access.NewKeys(store), Nobody: quoting.Owner, UntilToken: true}
	})
	_, err = pb.NewCatalogServiceClient(conn).GetPart(t.Context(), &pb.GetPartRequest{Sku: "FU-ANL-100"})
	require.Equal(t, codes.Unauthenticated, status.Code(err))
}

// A flood of wrong tokens is told to wait, and keeps nobody from the same address out.
func TestAFloodOfWrongTokens(t *testing.T) {
	conn, secrets, _ := guardedShop(t, nil)
	catalog := pb.NewCatalogServiceClient(conn)
	counts := map[codes.Code]int{}
	for range 500 {
		_, err := catalog.ListVehicles(shown(t.Context(), "lugbook_wrong"), &pb.ListVehiclesRequest{})
		counts[status.Code(err)]++
	}
	assert.Len(t, counts, 2)
	assert.GreaterOrEqual(t, counts[codes.Unauthenticated], 20)
	assert.Greater(t, counts[codes.ResourceExhausted], 400)
	_, err := catalog.ListVehicles(shown(t.Context(), secrets[quoting.Public]), &pb.ListVehiclesRequest{})
	require.NoError(t, err)
}

func TestTooManyCallsAreToldWhenToComeAgain(t *testing.T) {
	conn, secrets, _ := guardedShop(t, func(c *server.Config) {
		c.Rates = map[server.Class]server.Rate{server.Look: {PerSecond: 0.001, Burst: 2}}
	})
	catalog := pb.NewCatalogServiceClient(conn)
	call := func(role quoting.Role) error {
		_, err := catalog.GetPart(shown(t.Context(), secrets[role]), &pb.GetPartRequest{Sku: "FU-ANL-100"})
		return err
	}
	for range 2 {
		require.NoError(t, call(quoting.Public))
		require.NoError(t, call(quoting.Counter))
	}
	err := call(quoting.Public)
	require.Equal(t, codes.ResourceExhausted, status.Code(err))
	var retry *errdetails.RetryInfo
	for _, d := range status.Convert(err).Details() {
		if r, ok := d.(*errdetails.RetryInfo); ok {
			retry = r
		}
	}
	require.NotNil(t, retry)
	assert.Greater(t, retry.GetRetryDelay().AsDuration().Seconds(), 500.0)
	require.NoError(t, call(quoting.Owner), "others are served")
}

// The shop's limit of discounts is the counter's; what the owner gave stays.
func TestDiscountsByRole(t *testing.T) {
	folder := shopFiles(t)
	rules := folder["shop.yaml"]
	rules.Data = append(append([]byte{}, rules.Data...), "\ndiscount_limits: {counter: 5}\n"...)
	cat, _ := readShop(t, folder)
	conn, secrets, _ := guardedShop(t, func(c *server.Config) { c.Catalog, c.Files = cat, nil })
	quotes := pb.NewQuoteServiceClient(conn)
	as := func(role quoting.Role) context.Context { return shown(t.Context(), secrets[role]) }
	with := func(percent float64) *pb.QuoteSource {
		j := lampsJob(1)
		j.Terms = &pb.JobTerms{DiscountPercent: proto.Float64(percent), DiscountReason: "trade"}
		return ofJob(j)
	}
	for _, c := range []struct {
		role    quoting.Role
		percent float64
		want    codes.Code
	}{{quoting.Counter, 5, codes.OK}, {quoting.Counter, 6, codes.InvalidArgument}, {quoting.Owner, 60, codes.OK}, {quoting.Public, 1, codes.PermissionDenied}} {
		_, err := quotes.PreviewQuote(as(c.role), &pb.PreviewQuoteRequest{Source: with(c.percent)})
		assert.Equal(t, c.want, status.Code(err), "%s gives %g: %v", c.role, c.percent, err)
	}
	made, err := quotes.CreateQuote(as(quoting.Owner), &pb.CreateQuoteRequest{Source: with(60), RequestId: "a"})
	require.NoError(t, err)
	number := made.GetQuote().GetNumber()
	_, err = quotes.ReviseQuote(as(quoting.Counter), &pb.ReviseQuoteRequest{Number: number, RequestId: "b", Reason: "prices"})
	require.NoError(t, err, "the discount was given by who might")
	_, err = quotes.CreateQuote(as(quoting.Counter), &pb.CreateQuoteRequest{Source: ofNumber(number), RequestId: "c"})
	assert.Equal(t, codes.InvalidArgument, status.Code(err), "and not for another quote")
	_, err = quotes.ReviseQuote(as(quoting.Counter), &pb.ReviseQuoteRequest{Number: number, Job: with(30).GetJob(), RequestId: "d"})
	assert.Equal(t, codes.InvalidArgument, status.Code(err), "nor anew")
	shownNow, err := quotes.GetQuote(as(quoting.Counter), &pb.GetQuoteRequest{Number: number, IncludeHistory: true})
	require.NoError(t, err)
	assert.Equal(t, "the-owner", shownNow.GetHistory()[0].GetCaller())
}
