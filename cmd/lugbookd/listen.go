package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"strings"

	"example.com/lugbook/service/access"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc/server"
)

// unixScheme begins the address of a Unix socket.
const unixScheme = "unix:"

// noRole is how one says that callers without a token may do nothing.
const noRole = "none"

// fault is a setting that cannot be, and what helps.
type fault struct {
	error
	hint string
}

func (s *settings) encrypted() bool { return s.tls.Certificate != "" }

// check refuses settings that contradict each other or leave a door open.
func (s *settings) check() error {
	if s.store == "" {
		return fault{errors.New("--store names no place for the quotes"), "name a file, such as --store quotes.db, or the postgres:// URL of a database"}
	}
	if (s.tls.Certificate == "") != (s.tls.Key == "") {
		return fault{errors.New("--tls-cert and --tls-key go together"), "give both, or neither for plain text on loopback"}
	}
	if s.tls.ClientCA != "" && !s.encrypted() {
		return fault{errors.New("--tls-client-ca without --tls-cert"), "callers show certificates only where the server does"}
	}
	here, err := s.atHome(s.listen)
	if err != nil {
		return fault{fmt.Errorf("--listen %q: %w", s.listen, err), ""}
	}
	if !here && !s.encrypted() && !s.plainText {
		return fault{fmt.Errorf("--listen %q is not a loopback address", s.listen),
			"plain text is served on loopback alone; use 127.0.0.1 or [::1], or encrypt with --tls-cert and --tls-key"}
	}
	if s.loopbackRole != "" && (!here || s.encrypted()) {
		return fault{errors.New("--loopback-role is for plain text on loopback"), "other machines, and whoever comes by TLS, show a token or a certificate"}
	}
	if s.metrics != "" {
		if home, err := s.atHome(s.metrics); err != nil || !home || strings.HasPrefix(s.metrics, unixScheme) {
			return fault{fmt.Errorf("--metrics %q is not a loopback address", s.metrics), "figures are served on this machine alone, such as 127.0.0.1:9317"}
		}
	}
	if s.connections < 1 || s.perAddress < 1 {
		return fault{errors.New("--connections and --connections-per-address are 1 and up"), ""}
	}
	for class, r := range s.rates {
		if !(r.PerSecond > 0) {
			return fault{fmt.Errorf("--rate-%s is above 0", class), ""}
		}
	}
	_, err = s.access(nil)
	return err
}

// atHome tells that only this machine reaches an address.
func (s *settings) atHome(address string) (bool, error) {
	if path, ok := strings.CutPrefix(address, unixScheme); ok {
		if strings.Trim(path, "/") == "" {
			return false, errors.New("it names no socket; write unix:/path/to/socket")
		}
		return true, nil
	}
	host, _, err := net.SplitHostPort(address)
	if err != nil {
		return false, err
	}
	ip := net.ParseIP(host)
	return host == "localhost" || ip != nil && ip.IsLoopback(), nil
}

// access gives who may do what over a store.
func (s *settings) access(store quoting.Store) (*server.Access, error) {
	a := &server.Access{Tokens: access.NewKeys(store), Certificates: map[string]quoting.Role{}}
	for _, pair := range s.certificates {
		name, role, ok := strings.Cut(pair, "=")
		if !ok || name == "" {
			return nil, fault{fmt.Errorf("--certificates: %q is not name=role", pair), "such as till-1.shop.example=counter"}
		}
		r, err := access.ParseRole(role)
		if err != nil {
			return nil, fault{fmt.Errorf("--certificates: %s: %w", name, err), ""}
		}
		a.Certificates[name] = r
	}
	here, err := s.atHome(s.listen)
	if err != nil {
		return nil, err
	}
	switch {
	case !here || s.encrypted() || s.loopbackRole == noRole:
	case s.loopbackRole == "":
		a.Nobody, a.UntilToken = quoting.Owner, true
	default:
		if a.Nobody, err = access.ParseRole(s.loopbackRole); err != nil {
			return nil, fault{fmt.Errorf("--loopback-role: %w, or %s", err, noRole), ""}
		}
	}
	return a, nil
}

// open opens the listener.
func (s *settings) open(ctx context.Context) (net.Listener, error) {
	kind, address := "tcp", s.listen
	if path, ok := strings.CutPrefix(s.listen, unixScheme); ok {
		kind, address = "unix", path
	}
	listener, err := (&net.ListenConfig{}).Listen(ctx, kind, address)
	if err != nil {
		return nil, err
	}
	return server.Bounded(listener, s.connections, s.perAddress), nil
}

// transport says how callers are spoken to.
func (s *settings) transport() string {
	here, _ := s.atHome(s.listen)
	switch {
	case s.encrypted():
		return "TLS 1.3"
	case here:
		return "plain text, loopback only"
	}
	return "plain text, readable on the way"
}

// encryption gives the configuration of TLS, nil for plain text.
func (s *settings) config(c *server.Config, log *slog.Logger) (err error) {
	if s.encrypted() {
		if c.TLS, err = s.tls.TLS(log); err != nil {
			return err
		}
	}
	c.Rates = map[server.Class]server.Rate{}
	for class, r := range s.rates {
		burst := max(1, int(r.PerSecond*2), server.Rates()[class].Burst)
		c.Rates[class] = server.Rate{PerSecond: r.PerSecond, Burst: burst}
	}
	c.Reflection = s.reflection
	c.Access, err = s.access(c.Store)
	return err
}
