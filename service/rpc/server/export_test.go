package server

import (
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc"

	"google.golang.org/grpc"
)

// Interceptors gives what calls pass through, without the services behind it.
func Interceptors(c Config) (grpc.UnaryServerInterceptor, grpc.StreamServerInterceptor) {
	g := guardOf(c, rpc.NewRefusals(quoting.New(quoting.Config{Catalog: c.Catalog, Store: c.Store, Now: c.Now})))
	return g.unary, g.stream
}
