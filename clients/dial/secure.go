package dial

import (
	"context"
	"crypto/tls"
	"crypto/x509"
	"fmt"
	"os"
	"strings"

	"google.golang.org/grpc"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/credentials/insecure"
)

// Options is how a server is spoken to; the zero Options is plain text, on this machine
// alone, without a token.
type Options struct {
	// Token tells the server who calls; empty: nothing does. It comes from whoever
	// looks after the server.
	Token string
	// TLS encrypts the connection, TLS 1.3 alone. Only so can the server be on another
	// machine.
	TLS bool
	// CA is a file of those who may have issued the server's certificate, in PEM;
	// empty: whom this machine trusts. It asks for TLS by itself.
	CA string
}

// encrypted tells that the connection is.
func (o Options) encrypted() bool { return o.TLS || o.CA != "" }

// transport gives what the connection is made with. ErrAddress where the file of issuers
// cannot be used.
func (o Options) transport() ([]grpc.DialOption, error) {
	options := []grpc.DialOption{grpc.WithTransportCredentials(insecure.NewCredentials())}
	if o.encrypted() {
		c := &tls.Config{MinVersion: tls.VersionTLS13}
		if o.CA != "" {
			raw, err := os.ReadFile(o.CA)
			if err != nil {
				return nil, fmt.Errorf("%w: read those who issue certificates: %w", ErrAddress, err)
			}
			c.RootCAs = x509.NewCertPool()
			if !c.RootCAs.AppendCertsFromPEM(raw) {
				return nil, fmt.Errorf("%w: %s holds no certificate", ErrAddress, o.CA)
			}
		}
		options = []grpc.DialOption{grpc.WithTransportCredentials(credentials.NewTLS(c))}
	}
	if o.Token != "" {
		options = append(options, grpc.WithPerRPCCredentials(bearer(strings.TrimSpace(o.Token))))
	}
	return options, nil
}

// bearer shows a token with every call.
type bearer string

// GetRequestMetadata gives the header.
func (b bearer) GetRequestMetadata(context.Context, ...string) (map[string]string, error) {
	return map[string]string{"authorization": "Bearer " + string(b)}, nil
}

// RequireTransportSecurity is false: without TLS the call does not leave the machine,
// which OpenWith sees to.
func (b bearer) RequireTransportSecurity() bool { return false }
