package rpc

import "context"

// callerKey is where a context keeps who calls.
type callerKey struct{}

// unnamedCaller is who calls where nothing was found out about it.
const unnamedCaller = "local"

// WithCaller gives a context that knows who calls. An interceptor sets it before any
// handler runs; what is done to a quote is written down under this name, and request
// ids are told apart by it.
func WithCaller(ctx context.Context, name string) context.Context {
	if name == "" {
		return ctx
	}
	return context.WithValue(ctx, callerKey{}, name)
}

func callerOf(ctx context.Context) string {
	if name, ok := ctx.Value(callerKey{}).(string); ok {
		return name
	}
	return unnamedCaller
}
