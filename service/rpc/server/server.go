package server

import (
	"context"
	"crypto/tls"
	"log/slog"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/catalog"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
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
	Caller     string                 // who is taken to call where Access is nil; empty: somebody local
	Access     *Access                // who may do what; nil: whoever can call is the owner, as within one program
	TLS        *tls.Config            // nil: plain text
	Rates      map[Class]Rate         // how often one caller may call; nil: Rates()
	Now        func() time.Time
	Log        *slog.Logger
	Reflection bool                                          // serve the description of the services
	Watch      func(method, code string, took time.Duration) // told of every call that ended; nil: nobody is
	Options    []grpc.ServerOption                           // what else the program sets, such as what watches the calls
}

// Limits of the transport.
const (
	// A job file is at most 1 MiB; the message of one is smaller.
	maxReceive = 2 << 20
	// The reply for the largest job, 1000 devices, is about 12 MiB.
	maxSend = 32 << 20
	// A token and what gRPC itself says take a tenth of it.
	maxHeaders = 16 << 10
	// One connection may ask this much at a time; more waits.
	maxStreams = 256
	// Idle and old connections end, so that load spreads after a restart.
	maxIdle = 15 * time.Minute
	maxAge  = time.Hour
	// What still runs on an old connection, such as watching the health, ends then.
	lastCall = 5 * time.Minute
	// Whoever connects has this long to begin to speak.
	greeting = 10 * time.Second
	// Silent callers are asked whether they are there, and may ask this often themselves.
	askAfter, answerWithin, askedAtMost = time.Minute, 20 * time.Second, 20 * time.Second
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
	use := quoting.New(quoting.Config{Catalog: c.Catalog, Files: c.Files, Fixed: c.Fixed, Store: c.Store, Now: c.Now})
	guard := guardOf(c, rpc.NewRefusals(use))
	transport := insecure.NewCredentials()
	if c.TLS != nil {
		transport = credentials.NewTLS(c.TLS)
	}
	s := grpc.NewServer(append(c.Options, grpc.Creds(transport),
		grpc.ChainUnaryInterceptor(guard.unary), grpc.ChainStreamInterceptor(guard.stream),
		grpc.MaxRecvMsgSize(maxReceive), grpc.MaxSendMsgSize(maxSend), grpc.MaxConcurrentStreams(maxStreams),
		grpc.ConnectionTimeout(greeting), grpc.MaxHeaderListSize(maxHeaders),
		grpc.KeepaliveParams(keepalive.ServerParameters{MaxConnectionIdle: maxIdle, MaxConnectionAge: maxAge, MaxConnectionAgeGrace: lastCall, Time: askAfter, Timeout: answerWithin}),
		grpc.KeepaliveEnforcementPolicy(keepalive.EnforcementPolicy{MinTime: askedAtMost, PermitWithoutStream: true}),
	)...)
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

func guardOf(c Config, refusals rpc.Refusals) guard {
	if c.Rates == nil {
		c.Rates = Rates()
	}
	return guard{log: c.Log, watch: c.Watch, identity: identity{access: c.Access, name: c.Caller, refusal: refusals}, limits: &limits{rates: c.Rates}, refusal: refusals}
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
