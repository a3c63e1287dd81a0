package rpc

import (
	"context"

	"example.com/lugbook/catalog"
	"example.com/lugbook/service/quoting"
)

// Caller is who calls: the name that what is done to a quote is written down under and
// request ids are told apart by, and what it may do.
type Caller struct {
	Name string
	Role quoting.Role
}

// callerKey is where a context keeps who calls.
type callerKey struct{}

// unnamedCaller is who calls where nothing was found out about it.
const unnamedCaller = "local"

// WithCaller gives a context that knows who calls. An interceptor sets it before any
// handler runs.
func WithCaller(ctx context.Context, c Caller) context.Context {
	return context.WithValue(ctx, callerKey{}, c)
}

// callerOf gives the name of who calls.
func callerOf(ctx context.Context) string {
	if c, ok := ctx.Value(callerKey{}).(Caller); ok && c.Name != "" {
		return c.Name
	}
	return unnamedCaller
}

// discounter gives who gives a discount. Whose role gives none never comes this far.
func discounter(ctx context.Context) catalog.Caller {
	c, _ := ctx.Value(callerKey{}).(Caller)
	return catalog.Caller(c.Role)
}
