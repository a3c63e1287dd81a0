package server

import (
	"context"
	"crypto/x509"
	"errors"
	"net"
	"net/netip"
	"strings"

	"example.com/lugbook/service/access"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc"

	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/metadata"
	"google.golang.org/grpc/peer"
)

// Access is who may do what. Over memory, within one program, there is none: who can
// start the program can read whatever it reads.
type Access struct {
	// Tokens knows callers by their tokens.
	Tokens *access.Keys
	// Certificates gives the role of callers by a name of their certificate: its common
	// name, or a DNS name, address of mail or URI of it. The transport has checked who
	// issued it.
	Certificates map[string]quoting.Role
	// Nobody is the role of a caller who shows neither; empty: refused.
	Nobody quoting.Role
	// UntilToken ends what Nobody gives once the first token was made.
	UntilToken bool
}

// identity finds out who calls.
type identity struct {
	access  *Access
	name    string // of callers where there is no access to look at
	refusal rpc.Refusals
}

// caller is who calls, and from where.
type caller struct {
	rpc.Caller
	free bool // whoever is at the machine itself: no rate is set
}

// errBadToken is a token that is none, or does not look like one.
var errBadToken = errors.New("bad token")

// who finds out who calls: by a token, else by a certificate, else as nobody. What is
// shown and wrong is not passed over. errBadToken, or the status of a refusal.
func (d identity) who(ctx context.Context) (caller, error) {
	if d.access == nil {
		return caller{rpc.Caller{Name: d.name, Role: quoting.Owner}, true}, nil
	}
	secret, shown, err := bearer(ctx)
	if err != nil {
		return caller{}, err
	}
	if shown {
		return d.byToken(ctx, secret)
	}
	if certificate := certificateOf(ctx); certificate != nil {
		return d.byCertificate(certificate)
	}
	return d.nobody(ctx)
}

func (d identity) byToken(ctx context.Context, secret string) (caller, error) {
	if d.access.Tokens == nil {
		return caller{}, errBadToken
	}
	token, err := d.access.Tokens.Find(ctx, secret)
	switch {
	case errors.Is(err, access.ErrUnknown):
		return caller{}, errBadToken
	case err != nil:
		return caller{}, d.refusal.Store(err)
	}
	return caller{Caller: rpc.Caller{Name: token.Name, Role: token.Role}}, nil
}

func (d identity) byCertificate(c *x509.Certificate) (caller, error) {
	for _, name := range namesOf(c) {
		if role, ok := d.access.Certificates[name]; ok {
			// No token has such a name: request ids of the two never meet.
			return caller{Caller: rpc.Caller{Name: "certificate " + name, Role: role}}, nil
		}
	}
	return caller{}, d.refusal.UnknownCertificate()
}

func (d identity) nobody(ctx context.Context) (caller, error) {
	if d.access.Nobody == "" {
		return caller{}, d.refusal.NoToken()
	}
	if d.access.UntilToken && d.access.Tokens != nil {
		ever, err := d.access.Tokens.Any(ctx)
		if err != nil {
			return caller{}, d.refusal.Store(err)
		}
		if ever {
			return caller{}, d.refusal.NoToken()
		}
	}
	return caller{rpc.Caller{Role: d.access.Nobody}, d.access.Nobody == quoting.Owner}, nil
}

// bearer gives the token that a call shows, and whether it shows any.
func bearer(ctx context.Context) (string, bool, error) {
	shown := metadata.ValueFromIncomingContext(ctx, "authorization")
	if len(shown) == 0 {
		return "", false, nil
	}
	scheme, secret, ok := strings.Cut(shown[0], " ")
	if len(shown) > 1 || !ok || !strings.EqualFold(scheme, "Bearer") {
		return "", true, errBadToken
	}
	return secret, true, nil
}

// certificateOf gives the certificate of the caller that the transport found in order.
func certificateOf(ctx context.Context) *x509.Certificate {
	p, ok := peer.FromContext(ctx)
	if !ok {
		return nil
	}
	info, ok := p.AuthInfo.(credentials.TLSInfo)
	if !ok || len(info.State.VerifiedChains) == 0 || len(info.State.VerifiedChains[0]) == 0 {
		return nil
	}
	return info.State.VerifiedChains[0][0]
}

// namesOf gives the names of a certificate, the more particular ones first.
func namesOf(c *x509.Certificate) []string {
	var names []string
	for _, u := range c.URIs {
		names = append(names, u.String())
	}
	names = append(names, c.DNSNames...)
	names = append(names, c.EmailAddresses...)
	return append(names, c.Subject.CommonName)
}

// hostBits is what one customer of a provider is commonly given of the IPv6 addresses.
const hostBits = 64

// peerOf gives where a call comes from: an address of IPv4, a network of IPv6, or
// whatever else the transport has.
func peerOf(ctx context.Context) string {
	p, ok := peer.FromContext(ctx)
	if !ok || p.Addr == nil {
		return ""
	}
	return network(p.Addr)
}

func network(a net.Addr) string {
	tcp, ok := a.(*net.TCPAddr)
	if !ok {
		return a.Network()
	}
	ip, ok := netip.AddrFromSlice(tcp.IP)
	if ip = ip.Unmap(); ok && ip.Is6() {
		if whole, err := ip.WithZone("").Prefix(hostBits); err == nil {
			return whole.String()
		}
	}
	return ip.String()
}
