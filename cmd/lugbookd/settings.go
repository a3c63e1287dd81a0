package main

import (
	"fmt"
	"slices"
	"strings"
	"time"

	"example.com/lugbook/clients/jobfile"
	"example.com/lugbook/cmd/internal/storage"
	"example.com/lugbook/service/rpc/server"

	"github.com/spf13/pflag"
	"github.com/spf13/viper"
)

// settings is what the daemon is started with.
type settings struct {
	listen       string
	plainText    bool
	loopbackRole string
	catalog      string
	store        string
	reflection   bool

	tls          server.Files
	certificates []string

	rates        map[server.Class]*server.Rate
	connections  int
	perAddress   int
	grace        time.Duration
	metrics      string
	traces       string
	tracesSecure bool
}

// envPrefix begins every variable of the environment.
const envPrefix = "LUGBOOK"

// Defaults (own choice, no source).
const (
	defaultListen      = "127.0.0.1:7317"
	defaultConnections = 4096
	defaultPerAddress  = 1024
	defaultGrace       = 10 * time.Second
)

// flagsFor gives the flags of every setting. Their names are the keys of the file too,
// with "_" for "-".
func flagsFor(name string, s *settings, env func(string) string) *pflag.FlagSet {
	usual, err := storage.DefaultPath(env)
	if err != nil {
		usual = "" // refused later, unless something says where
	}
	f := pflag.NewFlagSet(name, pflag.ContinueOnError)
	f.SortFlags = false
	f.String("config", "", "`file` of settings, in YAML")
	f.StringVar(&s.listen, "listen", defaultListen, "`address` to serve on: a loopback address, with TLS any, or unix:/path; port 0 takes any free one")
	f.BoolVar(&s.plainText, "plain-text", false, "serve other machines without encryption: everybody on the way can read and change everything")
	f.StringVar(&s.loopbackRole, "loopback-role", "", "`role` of callers on this machine who show no token, in plain text: none, public, counter or owner (default: owner until the first token is made, then none)")
	f.StringVar(&s.tls.Certificate, "tls-cert", "", "`file` of the certificate to show, with those that issued it, in PEM")
	f.StringVar(&s.tls.Key, "tls-key", "", "`file` of the certificate's key, in PEM")
	f.StringVar(&s.tls.ClientCA, "tls-client-ca", "", "`file` of those whose certificates callers may show instead of a token, in PEM")
	f.StringSliceVar(&s.certificates, "certificates", nil, "what callers' certificates may do, by a name in them: `name=role`, several with commas")
	f.StringVar(&s.catalog, "catalog", "", "`folder` or workbook (.xlsx) of the shop's catalog; without it the one that was imported answers, or else the invented shop")
	f.StringVar(&s.store, "store", usual, "`file` that holds the quotes, made where it is missing, or the postgres:// URL of a database")
	f.BoolVar(&s.reflection, "reflection", true, "let clients ask which services there are")
	s.rates = map[server.Class]*server.Rate{}
	usually := server.Rates()
	for _, c := range []server.Class{server.Look, server.Reckon, server.Change, server.Upload} {
		r := usually[c]
		s.rates[c] = &r
		f.Float64Var(&r.PerSecond, "rate-"+string(c), r.PerSecond, "calls a second of one caller, in the long run: "+classes[c])
	}
	f.IntVar(&s.connections, "connections", defaultConnections, "connections at a time, in all")
	f.IntVar(&s.perAddress, "connections-per-address", defaultPerAddress, "connections at a time from one address")
	f.DurationVar(&s.grace, "grace", defaultGrace, "how long running calls may take to finish when the daemon is stopped")
	f.StringVar(&s.metrics, "metrics", "", "loopback `address` to serve figures for Prometheus on, under /metrics")
	f.StringVar(&s.traces, "traces", "", "host and port of an OpenTelemetry collector to send traces to, by OTLP over gRPC")
	f.BoolVar(&s.tracesSecure, "traces-tls", true, "encrypt the traces on their way")
	return f
}

// classes says what each class of calls is.
var classes = map[server.Class]string{
	server.Look: "looking up", server.Reckon: "sizing, designing and pricing", server.Change: "changing quotes", server.Upload: "sending files to check",
}

// key gives the name of a flag as the file has it.
func key(flag string) string { return strings.ReplaceAll(flag, "-", "_") }

// variable gives the name of a flag as the environment has it.
func variable(flag string) string { return envPrefix + "_" + strings.ToUpper(key(flag)) }

// load reads the settings: flags, else the environment, else the file, else the default.
func load(flags *pflag.FlagSet, args []string, env func(string) string) error {
	if err := flags.Parse(args); err != nil {
		return err
	}
	file := viper.New()
	path := flags.Lookup("config").Value.String()
	if path == "" {
		path = env(variable("config"))
	}
	if path != "" {
		file.SetConfigFile(path)
		file.SetConfigType("yaml")
		if err := file.ReadInConfig(); err != nil {
			return fmt.Errorf("--config %s: %w", path, err)
		}
	}
	if err := onlyKnown(flags, file, path); err != nil {
		return err
	}
	var bad error
	flags.VisitAll(func(f *pflag.Flag) {
		if bad != nil || f.Changed || f.Name == "config" {
			return
		}
		text, origin := env(variable(f.Name)), variable(f.Name)
		if text == "" && file.IsSet(key(f.Name)) {
			origin = path + ": " + key(f.Name)
			if text = file.GetString(key(f.Name)); f.Value.Type() == "stringSlice" {
				text = strings.Join(file.GetStringSlice(key(f.Name)), ",")
			}
		} else if text == "" {
			return
		}
		if err := f.Value.Set(text); err != nil {
			bad = fmt.Errorf("%s: %q: %w", origin, text, err)
		}
	})
	return bad
}

// onlyKnown refuses keys of the file that no flag has.
func onlyKnown(flags *pflag.FlagSet, file *viper.Viper, path string) error {
	var known []string
	flags.VisitAll(func(f *pflag.Flag) {
		if f.Name != "config" {
			known = append(known, key(f.Name))
		}
	})
	keys := file.AllKeys()
	slices.Sort(keys)
	for _, k := range keys {
		if slices.Contains(known, k) {
			continue
		}
		if near := jobfile.Nearest(k, known); near != "" {
			return fmt.Errorf("%s: there is no key %q; did you mean %s?", path, k, near)
		}
		return fmt.Errorf("%s: there is no key %q; the keys are %s", path, k, strings.Join(known, ", "))
	}
	return nil
}
