package cli

import (
	"context"
	"fmt"
	"time"

	lugbookv1 "example.com/lugbook/api/lugbook/v1"
	"google.golang.org/genproto/googleapis/rpc/errdetails"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// How often a call is tried that nobody answers, and how long to wait before the
// second try; the wait doubles with each. Together under two seconds (own choice):
// a server that restarts is back by then, and a person at the counter still waits.
const (
	tries       = 4
	firstWait   = 200 * time.Millisecond
	longestWait = 2 * time.Second
)

// stored makes one call about stored quotes.
func stored[Q, R any](ctx context.Context, s *session,
	method func(lugbookv1.QuoteServiceClient, context.Context, Q, ...grpc.CallOption) (R, error), request Q, place func(string) string,
) (R, error) {
	return patiently(ctx, s, lugbookv1.NewQuoteServiceClient, method, request, place)
}

// patiently makes one call about what is stored. Where the server or its store cannot
// be reached it tries again with the same request, which the contract makes safe.
func patiently[C, Q, R any](ctx context.Context, s *session, clientOf func(grpc.ClientConnInterface) C,
	method func(C, context.Context, Q, ...grpc.CallOption) (R, error), request Q, place func(string) string,
) (R, error) {
	var none R
	conn, done, err := s.connect(ctx)
	if err != nil {
		return none, err
	}
	defer done()
	client := clientOf(conn)
	for try := 1; ; try++ {
		reply, err := method(client, ctx, request)
		if err == nil {
			return reply, nil
		}
		if status.Code(err) != codes.Unavailable || try == tries || !pause(ctx, waitAfter(err, try)) {
			return none, &callError{status: status.Convert(err), units: s.units, place: place, again: s.howAgain(request)}
		}
	}
}

// waitAfter says how long to wait before the next try: as the service asks, else
// twice as long each time.
func waitAfter(err error, try int) time.Duration {
	for _, detail := range status.Convert(err).Details() {
		if info, ok := detail.(*errdetails.RetryInfo); ok {
			return min(info.GetRetryDelay().AsDuration(), longestWait)
		}
	}
	return min(firstWait<<(try-1), longestWait)
}

// pause waits; it tells false where the command was stopped meanwhile.
func pause(ctx context.Context, wait time.Duration) bool {
	timer := time.NewTimer(wait)
	defer timer.Stop()
	select {
	case <-timer.C:
		return true
	case <-ctx.Done():
		return false
	}
}

// howAgain says how to try once more. A change of which it is not known whether it
// was done is repeated under its id; reading needs no care.
func (s *session) howAgain(request any) string {
	if r, ok := request.(interface{ GetRequestId() string }); ok {
		return fmt.Sprintf("try the same again with --request-id %s; it is done once, even if this try was done after all", r.GetRequestId())
	}
	if s.address == "" { // there is no server to start
		return "nothing was changed; try again"
	}
	return ""
}
