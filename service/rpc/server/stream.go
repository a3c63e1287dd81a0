package server

import (
	"context"
	"time"

	"example.com/lugbook/service/rpc"

	"google.golang.org/grpc"
	"google.golang.org/grpc/status"
)

// stream is what a call passes through in which the caller sends or receives many
// messages.
func (g guard) stream(srv any, s grpc.ServerStream, info *grpc.StreamServerInfo, handle grpc.StreamHandler) (err error) {
	c := &call{method: info.FullMethod, start: time.Now()}
	ctx := s.Context()
	defer func() { err = g.ended(ctx, c, err) }()
	defer g.recover(ctx, c, &err)
	row, err := g.admit(ctx, c)
	if err != nil {
		return err
	}
	if err := g.may(c, row, nil); err != nil {
		return err
	}
	limited := ctx
	if row.Longest > 0 {
		var cancel context.CancelFunc
		limited, cancel = context.WithTimeout(ctx, row.Longest)
		defer cancel()
	}
	return handle(srv, &guarded{ServerStream: s, guard: g, call: c, row: row, ctx: rpc.WithCaller(limited, c.caller.Caller)})
}

// guarded is a stream whose messages are looked at, and whose time is limited.
type guarded struct {
	grpc.ServerStream
	guard guard
	call  *call
	row   Row
	ctx   context.Context //nolint:containedctx // a stream has the context of its call
}

// Context gives the context of the call.
func (g *guarded) Context() context.Context { return g.ctx }

// RecvMsg receives a message, and refuses one that is not for the caller. The stream
// itself knows nothing of how long the call may take, so who sends nothing is waited for
// aside; the waiting ends with the call.
func (g *guarded) RecvMsg(m any) error {
	got := make(chan error, 1)
	go func() { got <- g.ServerStream.RecvMsg(m) }()
	select {
	case err := <-got:
		if err != nil {
			return err
		}
		return g.guard.may(g.call, g.row, m)
	case <-g.ctx.Done():
		return status.FromContextError(g.ctx.Err()).Err()
	}
}

// SendMsg sends a message without what is not for the caller.
func (g *guarded) SendMsg(m any) error {
	redact(m, g.call.caller.Role)
	return g.ServerStream.SendMsg(m)
}
