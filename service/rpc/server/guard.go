package server

import (
	"context"
	"crypto/rand"
	"errors"
	"log/slog"
	"runtime/debug"
	"time"

	"example.com/lugbook/service/rpc"

	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/status"
)

// guard is what every call passes through.
type guard struct {
	log      *slog.Logger
	watch    func(method, code string, took time.Duration)
	identity identity
	limits   *limits
	refusal  rpc.Refusals
}

// call is what the log tells of a call.
type call struct {
	method string
	start  time.Time
	caller caller
}

// admit finds out who makes a call of a method, and whether it may.
func (g guard) admit(ctx context.Context, c *call) (Row, error) {
	row, ok := table[c.method]
	if !ok { // a test keeps it from being so
		return row, status.Error(codes.Unimplemented, "")
	}
	from := peerOf(ctx)
	if row.Least == "" {
		return row, g.tooMany(g.limits.take(caller{}, from, row.Class))
	}
	who, err := g.identity.who(ctx)
	if errors.Is(err, errBadToken) {
		if err := g.tooMany(g.limits.wrong(from)); err != nil {
			return row, err
		}
		return row, g.refusal.UnknownToken()
	}
	if err != nil {
		return row, err
	}
	c.caller = who
	return row, g.tooMany(g.limits.take(who, from, row.Class))
}

func (g guard) tooMany(wait time.Duration) error {
	if wait > 0 {
		return g.refusal.TooMany(wait)
	}
	return nil
}

// may refuses a request that is not for the caller.
func (g guard) may(c *call, row Row, request any) error {
	if !row.May(c.caller.Role) {
		return g.refusal.Method(request, c.caller.Role)
	}
	if path := asked(request, c.caller.Role); path != "" && row.Least != "" {
		return g.refusal.Field(request, c.caller.Role, path)
	}
	return nil
}

// unary is what a call of one request and one reply passes through.
func (g guard) unary(ctx context.Context, request any, info *grpc.UnaryServerInfo, handle grpc.UnaryHandler) (reply any, err error) {
	c := &call{method: info.FullMethod, start: time.Now()}
	defer func() { err = g.ended(ctx, c, err) }()
	defer g.recover(ctx, c, &err)
	row, err := g.admit(ctx, c)
	if err != nil {
		return nil, err
	}
	if err := g.may(c, row, request); err != nil {
		return nil, err
	}
	if row.Longest > 0 {
		limited, cancel := context.WithTimeout(ctx, row.Longest)
		defer cancel()
		ctx = limited
	}
	reply, err = handle(rpc.WithCaller(ctx, c.caller.Caller), request)
	if err != nil {
		return nil, err
	}
	redact(reply, c.caller.Role)
	return reply, nil
}

// recover turns a panic into INTERNAL; the stack goes to the log alone.
func (g guard) recover(ctx context.Context, c *call, err *error) {
	if p := recover(); p != nil {
		g.log.LogAttrs(ctx, slog.LevelError, "panic", slog.String("method", c.method), slog.Any("panic", p), slog.String("stack", string(debug.Stack())))
		*err = status.Error(codes.Internal, "")
	}
}

// ended writes one line a call, without the caller's data, and hides errors that are
// not meant for callers behind a number that the log can be searched for.
func (g guard) ended(ctx context.Context, c *call, err error) error {
	s, told := status.FromError(err)
	if errors.Is(err, context.DeadlineExceeded) || errors.Is(err, context.Canceled) {
		s, told = status.FromContextError(err), true
		err = s.Err()
	}
	if err != nil && (!told || s.Code() == codes.Internal || s.Code() == codes.Unknown) {
		id := rand.Text()
		g.log.LogAttrs(ctx, slog.LevelError, "internal error", slog.String("id", id), slog.String("method", c.method), slog.Any("error", err))
		err = status.Errorf(codes.Internal, "Something went wrong inside the service. Tell the shop's owner this number: %s", id)
		s, _ = status.FromError(err)
	}
	took := time.Since(c.start)
	g.log.LogAttrs(ctx, slog.LevelInfo, "call", slog.String("method", c.method), slog.String("code", s.Code().String()),
		slog.String("caller", c.caller.Name), slog.String("role", string(c.caller.Role)), slog.Duration("took", took))
	if g.watch != nil {
		g.watch(c.method, s.Code().String(), took)
	}
	return err
}
