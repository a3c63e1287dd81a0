package server

import (
	"context"
	"log/slog"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc"

	"google.golang.org/grpc"
	"google.golang.org/grpc/health"
	"google.golang.org/grpc/health/grpc_health_v1"
	"google.golang.org/grpc/keepalive"
	"google.golang.org/grpc/reflection"
)

// Config is what a server is built from.
type Config struct {
	Catalog    *catalog.Catalog       // answers while the store has none in force
	Files      func() ([]byte, error) // gives the catalog's folder, as quoting.PackPlain does; it is kept with the quotes
	Fixed      bool                   // Catalog answers whatever the store has in force, and none can be imported
	Store      quoting.Store          // where quotes are kept; nil: nowhere, and asking for them is refused
	Caller     string                 // who is taken to call; empty: somebody local
	Now        func() time.Time
	Log        *slog.Logger
	Reflection bool // serve the description of the services
}

// Limits of the transport.
const (
	// A job file is at most 1 MiB; the message of one is smaller.
	maxReceive = 2 << 20
	// The reply for the largest job, 1000 devices, is about 12 MiB.
	maxSend = 32 << 20
	// One connection may ask this much at a time; more waits.
	maxStreams = 256
	// Idle and old connections end, so that load spreads after a restart.
	maxIdle = 15 * time.Minute
	maxAge  = time.Hour
)

// Server is the grpc.Server with its health.
type Server struct {
	*grpc.Server
	health  *health.Server
	quoting *quoting.Service
}

// New builds a server. It is serving once a
// listener is given to Serve.
func New(c Config) *Server {
	guard := guard{log: c.Log, caller: c.Caller}
	s := grpc.NewServer(
		grpc.ChainUnaryInterceptor(guard.access, guard.recover, guard.deadline, guard.identify), grpc.ChainStreamInterceptor(guard.stream),
		grpc.MaxRecvMsgSize(maxReceive), grpc.MaxSendMsgSize(maxSend), grpc.MaxConcurrentStreams(maxStreams),
		grpc.KeepaliveParams(keepalive.ServerParameters{MaxConnectionIdle: maxIdle, MaxConnectionAge: maxAge}),
	)
	use := quoting.New(quoting.Config{Catalog: c.Catalog, Files: c.Files, Fixed: c.Fixed, Store: c.Store, Now: c.Now})
	pb.RegisterDesignServiceServer(s, rpc.NewDesignService(use))
	pb.RegisterQuoteServiceServer(s, rpc.NewQuoteService(use))
	pb.RegisterCatalogServiceServer(s, rpc.NewCatalogService(use))
	h := health.NewServer()
	for name := range s.GetServiceInfo() {
		h.SetServingStatus(name, grpc_health_v1.HealthCheckResponse_SERVING)
	}
	grpc_health_v1.RegisterHealthServer(s, h)
	if c.Reflection {
		reflection.Register(s)
	}
	return &Server{s, h, use}
}

// ForgetOld erases the customers whose time is up, and gives from how many quotes.
func (s *Server) ForgetOld(ctx context.Context) (int, error) { return s.quoting.ForgetOld(ctx) }

// Follow works from the catalog that the store has in force from now on, and tells
// whether that changed anything. Where it cannot be read the old one stays.
func (s *Server) Follow(ctx context.Context) (bool, error) { return s.quoting.Follow(ctx) }

// Revision gives the revision of the catalog that answers.
func (s *Server) Revision() string { return s.quoting.Current().Revision() }

// Close stops the server: it reports that it is not serving, finishes what runs,
// and after the grace time cuts off what still does.
func (s *Server) Close(grace time.Duration) {
	s.health.Shutdown()
	done := make(chan struct{})
	go func() {
		s.GracefulStop()
		close(done)
	}()
	select {
	case <-done:
	case <-time.After(grace):
		s.Stop()
		<-done
	}
}
