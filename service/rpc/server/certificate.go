package server

import (
	"crypto/tls"
	"crypto/x509"
	"errors"
	"fmt"
	"log/slog"
	"os"
	"sync"
	"time"
)

// Files are what a server shows and asks for at a handshake, in PEM. They are read anew
// when they change.
type Files struct {
	Certificate, Key string
	// ClientCA issues the certificates of callers; empty: none are asked for.
	ClientCA string
}

// looked is how often at most the files are looked at.
const looked = time.Second

// errNoCertificate: a file of issuers holds none.
var errNoCertificate = errors.New("no certificate in it")

// TLS gives the configuration of a server that shows the certificate in files: TLS 1.3
// and nothing older. New connections get what the files hold by then; those that are
// there stay. Where new files cannot be used, those before go on and the log tells. It
// fails where they cannot be used to begin with.
func (f Files) TLS(log *slog.Logger) (*tls.Config, error) {
	w := &watched{files: f, log: log}
	if err := w.read(); err != nil {
		return nil, err
	}
	c := w.config.Clone()
	c.GetConfigForClient = func(*tls.ClientHelloInfo) (*tls.Config, error) { return w.current(), nil }
	return c, nil
}

// watched is a configuration made from files.
type watched struct {
	files Files
	log   *slog.Logger

	mu     sync.Mutex
	looked time.Time
	stamps [3]stamp
	config *tls.Config
}

// stamp tells a file from what it was before.
type stamp struct {
	changed time.Time
	size    int64
}

// current gives the configuration by the files as they are.
func (w *watched) current() *tls.Config {
	w.mu.Lock()
	defer w.mu.Unlock()
	if time.Since(w.looked) < looked {
		return w.config
	}
	w.looked = time.Now()
	if w.stamped() == w.stamps {
		return w.config
	}
	if err := w.read(); err != nil {
		w.log.Error("the new certificate cannot be used, the old one stays", "error", err)
		return w.config
	}
	w.log.Info("certificate read anew", "until", w.config.Certificates[0].Leaf.NotAfter)
	return w.config
}

func (w *watched) stamped() (stamps [3]stamp) {
	for i, name := range []string{w.files.Certificate, w.files.Key, w.files.ClientCA} {
		if info, err := os.Stat(name); err == nil {
			stamps[i] = stamp{info.ModTime(), info.Size()}
		}
	}
	return stamps
}

// read reads the files. Those that are being replaced do not belong together for a
// moment: the stamps are taken before, so that they are read again.
func (w *watched) read() error {
	stamps := w.stamped()
	pair, err := tls.LoadX509KeyPair(w.files.Certificate, w.files.Key)
	if err != nil {
		return fmt.Errorf("read the certificate: %w", err)
	}
	c := &tls.Config{MinVersion: tls.VersionTLS13, NextProtos: []string{"h2"}, Certificates: []tls.Certificate{pair},
		// A session that is resumed would go by the issuers of the day it began.
		SessionTicketsDisabled: true}
	if w.files.ClientCA != "" {
		raw, err := os.ReadFile(w.files.ClientCA)
		if err != nil {
			return fmt.Errorf("read the issuers of callers: %w", err)
		}
		c.ClientCAs, c.ClientAuth = x509.NewCertPool(), tls.VerifyClientCertIfGiven
		if !c.ClientCAs.AppendCertsFromPEM(raw) {
			return fmt.Errorf("read the issuers of callers: %s: %w", w.files.ClientCA, errNoCertificate)
		}
	}
	w.config, w.stamps = c, stamps
	return nil
}
