package server

import (
	"context"
	"crypto/rand"
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
	log    *slog.Logger
	caller string // who is taken to call
}

// identify tells the handlers who calls.
func (g guard) identify(ctx context.Context, req any, _ *grpc.UnaryServerInfo, handle grpc.UnaryHandler) (any, error) {
	return handle(rpc.WithCaller(ctx, g.caller), req)
}

// longest is how long a call without a deadline of its own may take: far above
// the slowest call of any size, and short enough to free a stuck caller.
const longest = 30 * time.Second

// deadline gives a call that has no deadline the longest one.
func (g guard) deadline(ctx context.Context, req any, _ *grpc.UnaryServerInfo, handle grpc.UnaryHandler) (any, error) {
	if _, ok := ctx.Deadline(); !ok {
		limited, cancel := context.WithTimeout(ctx, longest)
		defer cancel()
		ctx = limited
	}
	return handle(ctx, req)
}

// recover turns a panic into INTERNAL; the stack goes to the log alone.
func (g guard) recover(ctx context.Context, req any, info *grpc.UnaryServerInfo, handle grpc.UnaryHandler) (_ any, err error) {
	defer func() {
		if p := recover(); p != nil {
			g.log.LogAttrs(ctx, slog.LevelError, "panic", slog.String("method", info.FullMethod), slog.Any("panic", p), slog.String("stack", string(debug.Stack())))
			err = status.Error(codes.Internal, "")
		}
	}()
	return handle(ctx, req)
}

// access writes one line a call, without the caller's data, and hides errors that
// are not meant for callers behind a number that the log can be searched for.
func (g guard) access(ctx context.Context, req any, info *grpc.UnaryServerInfo, handle grpc.UnaryHandler) (any, error) {
	start := time.Now()
	reply, err := handle(ctx, req)
	return reply, g.ended(ctx, info.FullMethod, start, err)
}

// ended writes the line of a call and gives the error that its caller sees.
func (g guard) ended(ctx context.Context, method string, start time.Time, err error) error {
	s, told := status.FromError(err)
	if err != nil && (!told || s.Code() == codes.Internal || s.Code() == codes.Unknown) {
		id := rand.Text()
		g.log.LogAttrs(ctx, slog.LevelError, "internal error", slog.String("id", id), slog.String("method", method), slog.Any("error", err))
		err = status.Errorf(codes.Internal, "Something went wrong inside the service. Tell the shop's owner this number: %s", id)
		s, _ = status.FromError(err)
	}
	g.log.LogAttrs(ctx, slog.LevelInfo, "call", slog.String("method", method), slog.String("code", s.Code().String()), slog.Duration("took", time.Since(start)))
	return err
}

// stream is access and recover for calls in which the caller sends or receives many
// messages. They get no deadline here: watching the service's health lasts as long as
// the watcher likes, and what a caller may send is bounded by its size.
func (g guard) stream(srv any, stream grpc.ServerStream, info *grpc.StreamServerInfo, handle grpc.StreamHandler) (err error) {
	ctx, start := stream.Context(), time.Now()
	defer func() { err = g.ended(ctx, info.FullMethod, start, err) }()
	defer func() {
		if p := recover(); p != nil {
			g.log.LogAttrs(ctx, slog.LevelError, "panic", slog.String("method", info.FullMethod), slog.Any("panic", p), slog.String("stack", string(debug.Stack())))
			err = status.Error(codes.Internal, "")
		}
	}()
	return handle(srv, identified{stream, rpc.WithCaller(ctx, g.caller)})
}

// identified is a stream whose handler is told who calls.
type identified struct {
	grpc.ServerStream
	ctx context.Context //nolint:containedctx // a stream hands its context out; this is how another is put in its place
}

func (s identified) Context() context.Context { return s.ctx }
