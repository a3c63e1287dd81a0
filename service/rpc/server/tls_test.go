package server_test

import (
	"context"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"crypto/x509/pkix"
	"encoding/pem"
	"log/slog"
	"math/big"
	"net"
	"os"
	"path/filepath"
	"testing"
	"time"

	pb "example.com/lugbook/api/lugbook/v1"
	"example.com/lugbook/service/quoting"
	"example.com/lugbook/service/rpc/server"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"google.golang.org/grpc"
	"google.golang.org/grpc/codes"
	"google.golang.org/grpc/credentials"
	"google.golang.org/grpc/status"
)

// issuer issues certificates.
type issuer struct {
	certificate *x509.Certificate
	key         *ecdsa.PrivateKey
	pem         []byte
}

func newIssuer(t *testing.T) *issuer {
	t.Helper()
	key, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: big.NewInt(1), Subject: pkix.Name{CommonName: "issuer"}, NotAfter: time.Now().Add(time.Hour), IsCA: true, BasicConstraintsValid: true, KeyUsage: x509.KeyUsageCertSign}
	raw, err := x509.CreateCertificate(rand.Reader, template, template, key.Public(), key)
	require.NoError(t, err)
	c, err := x509.ParseCertificate(raw)
	require.NoError(t, err)
	return &issuer{c, key, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw})}
}

// issue gives a certificate and its key for a name.
func (i *issuer) issue(t *testing.T, name string, serial int64) (certificate, key []byte) {
	t.Helper()
	k, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	require.NoError(t, err)
	template := &x509.Certificate{SerialNumber: big.NewInt(serial), Subject: pkix.Name{CommonName: name}, NotAfter: time.Now().Add(time.Hour), DNSNames: []string{name},
		IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}, ExtKeyUsage: []x509.ExtKeyUsage{x509.ExtKeyUsageServerAuth, x509.ExtKeyUsageClientAuth}}
	raw, err := x509.CreateCertificate(rand.Reader, template, i.certificate, k.Public(), i.key)
	require.NoError(t, err)
	der, err := x509.MarshalPKCS8PrivateKey(k)
	require.NoError(t, err)
	return pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: raw}), pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: der})
}

func (i *issuer) pool() *x509.CertPool {
	pool := x509.NewCertPool()
	pool.AddCert(i.certificate)
	return pool
}

// secured is a server behind a real listener with TLS.
type secured struct {
	address string
	issuer  *issuer
	files   server.Files
	secrets map[quoting.Role]string
}

func serveTLS(t *testing.T, roles map[string]quoting.Role) *secured {
	t.Helper()
	s := &secured{issuer: newIssuer(t)}
	folder := t.TempDir()
	s.files = server.Files{Certificate: filepath.Join(folder, "cert.pem"), Key: filepath.Join(folder, "key.pem"), ClientCA: filepath.Join(folder, "ca.pem")}
	require.NoError(t, os.WriteFile(s.files.ClientCA, s.issuer.pem, 0o600))
	s.swap(t, 100)
	config, err := s.files.TLS(slog.New(slog.DiscardHandler))
	require.NoError(t, err)
	listener, err := new(net.ListenConfig).Listen(t.Context(), "tcp", "127.0.0.1:0")
	require.NoError(t, err)
	s.address = listener.Addr().String()
	built, secrets := guardedServer(t, func(c *server.Config) { c.TLS, c.Access.Certificates = config, roles })
	s.secrets = secrets
	done := make(chan error, 1)
	go func() { done <- built.Serve(listener) }()
	t.Cleanup(func() {
		built.Close(time.Second)
		require.NoError(t, <-done)
	})
	return s
}

// swap puts another certificate in place, as a program that renews them does.
func (s *secured) swap(t *testing.T, serial int64) {
	t.Helper()
	certificate, key := s.issuer.issue(t, "shop.example", serial)
	for name, raw := range map[string][]byte{s.files.Certificate: certificate, s.files.Key: key} {
		require.NoError(t, os.WriteFile(name+".new", raw, 0o600))
		require.NoError(t, os.Rename(name+".new", name))
	}
}

func (s *secured) dial(t *testing.T, c *tls.Config) *grpc.ClientConn {
	t.Helper()
	c.RootCAs = s.issuer.pool()
	conn, err := grpc.NewClient("passthrough:///"+s.address, grpc.WithTransportCredentials(credentials.NewTLS(c)), grpc.WithNoProxy())
	require.NoError(t, err)
	t.Cleanup(func() { _ = conn.Close() })
	return conn
}

// The handshake, by versions and suites: nothing older than TLS 1.3 comes through.
func TestHandshakes(t *testing.T) {
	s := serveTLS(t, nil)
	suites := append(tls.CipherSuites(), tls.InsecureCipherSuites()...)
	for _, version := range []uint16{tls.VersionTLS10, tls.VersionTLS11, tls.VersionTLS12, tls.VersionTLS13} {
		for _, suite := range suites {
			conn, err := (&tls.Dialer{Config: &tls.Config{RootCAs: s.issuer.pool(), MinVersion: version, MaxVersion: version, CipherSuites: []uint16{suite.ID}, NextProtos: []string{"h2"}}}).
				DialContext(t.Context(), "tcp", s.address)
			if version != tls.VersionTLS13 {
				require.Error(t, err, "%s with %s", tls.VersionName(version), suite.Name)
				continue
			}
			require.NoError(t, err)
			state := conn.(*tls.Conn).ConnectionState() //nolint:forcetypeassert // what the dialer gives
			assert.Contains(t, []uint16{tls.TLS_AES_128_GCM_SHA256, tls.TLS_AES_256_GCM_SHA384, tls.TLS_CHACHA20_POLY1305_SHA256}, state.CipherSuite)
			assert.Equal(t, "h2", state.NegotiatedProtocol)
			require.NoError(t, conn.Close())
		}
	}
}

func TestCertificatesOfCallers(t *testing.T) {
	s := serveTLS(t, map[string]quoting.Role{"till-1.shop.example": quoting.Counter})
	stranger := newIssuer(t)
	call := func(by *issuer, name string) error {
		c := &tls.Config{}
		if by != nil {
			certificate, key := by.issue(t, name, 7)
			pair, err := tls.X509KeyPair(certificate, key)
			require.NoError(t, err)
			c.GetClientCertificate = func(*tls.CertificateRequestInfo) (*tls.Certificate, error) { return &pair, nil }
		}
		_, err := pb.NewQuoteServiceClient(s.dial(t, c)).ListQuotes(t.Context(), &pb.ListQuotesRequest{})
		return err
	}
	require.NoError(t, call(s.issuer, "till-1.shop.example"))
	assert.Equal(t, codes.Unauthenticated, status.Code(call(s.issuer, "till-2.shop.example")), "in order, and of no role")
	assert.Equal(t, codes.Unauthenticated, status.Code(call(nil, "")), "none at all")
	assert.Equal(t, codes.Unavailable, status.Code(call(stranger, "till-1.shop.example")), "the handshake fails")
}

// Certificates are swapped while calls run: none fails, and new connections see the new one.
func TestCertificatesSwappedUnderLoad(t *testing.T) {
	s := serveTLS(t, nil)
	ctx, cancel := context.WithTimeout(shown(t.Context(), s.secrets[quoting.Public]), time.Minute)
	defer cancel()
	stop, failed := make(chan struct{}), make(chan error, 4)
	for range 4 {
		client := pb.NewCatalogServiceClient(s.dial(t, &tls.Config{}))
		go func() {
			for {
				select {
				case <-stop:
					failed <- nil
					return
				default:
				}
				if _, err := client.GetPart(ctx, &pb.GetPartRequest{Sku: "FU-ANL-100"}); err != nil && status.Code(err) != codes.ResourceExhausted {
					failed <- err
					return
				}
			}
		}()
	}
	serial := func() int64 {
		conn, err := (&tls.Dialer{Config: &tls.Config{RootCAs: s.issuer.pool(), NextProtos: []string{"h2"}}}).DialContext(ctx, "tcp", s.address)
		require.NoError(t, err)
		defer conn.Close()
		return conn.(*tls.Conn).ConnectionState().PeerCertificates[0].SerialNumber.Int64() //nolint:forcetypeassert // what the dialer gives
	}
	require.EqualValues(t, 100, serial())
	require.NoError(t, os.WriteFile(s.files.Key, []byte("no key"), 0o600))
	s.swap(t, 101)
	require.Eventually(t, func() bool { return serial() == 101 }, 20*time.Second, 50*time.Millisecond)
	close(stop)
	for range 4 {
		require.NoError(t, <-failed)
	}
}
