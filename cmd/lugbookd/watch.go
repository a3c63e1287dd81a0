package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"time"

	"example.com/lugbook/service/rpc/server"

	"github.com/prometheus/client_golang/prometheus"
	"github.com/prometheus/client_golang/prometheus/collectors"
	"github.com/prometheus/client_golang/prometheus/promhttp"
	"go.opentelemetry.io/contrib/instrumentation/google.golang.org/grpc/otelgrpc"
	"go.opentelemetry.io/contrib/instrumentation/google.golang.org/grpc/otelgrpc/filters"
	"go.opentelemetry.io/otel/exporters/otlp/otlptrace/otlptracegrpc"
	"go.opentelemetry.io/otel/sdk/resource"
	"go.opentelemetry.io/otel/sdk/trace"
	semconv "go.opentelemetry.io/otel/semconv/v1.26.0"
	"google.golang.org/grpc"
)

// lastWords is how long the last figures and traces may take on their way out.
const lastWords = 5 * time.Second

// watch has the calls counted and traced as the settings say, and gives what ends it.
func (s *settings) watch(ctx context.Context, c *server.Config) (func(), error) {
	var ends []func(context.Context) error
	end := func() {
		ctx, cancel := context.WithTimeout(context.WithoutCancel(ctx), lastWords)
		defer cancel()
		for _, e := range ends {
			if err := e(ctx); err != nil {
				c.Log.Warn("what was watched did not get out", "error", err)
			}
		}
	}
	if s.traces != "" {
		stop, err := s.trace(ctx, c)
		if err != nil {
			return nil, fmt.Errorf("--traces %q: %w", s.traces, err)
		}
		ends = append(ends, stop)
	}
	if s.metrics != "" {
		stop, err := s.measure(ctx, c)
		if err != nil {
			end()
			return nil, fmt.Errorf("--metrics %q: %w", s.metrics, err)
		}
		ends = append(ends, stop)
	}
	return end, nil
}

// trace sends a trace of every call but those that ask for the health. A trace has the
// method, its outcome and its time, and nothing of what was asked.
func (s *settings) trace(ctx context.Context, c *server.Config) (func(context.Context) error, error) {
	options := []otlptracegrpc.Option{otlptracegrpc.WithEndpoint(s.traces)}
	if !s.tracesSecure {
		options = append(options, otlptracegrpc.WithInsecure())
	}
	exporter, err := otlptracegrpc.New(ctx, options...)
	if err != nil {
		return nil, err
	}
	provider := trace.NewTracerProvider(trace.WithBatcher(exporter),
		trace.WithResource(resource.NewSchemaless(semconv.ServiceName("lugbookd"))))
	c.Options = append(c.Options, grpc.StatsHandler(otelgrpc.NewServerHandler(otelgrpc.WithTracerProvider(provider), otelgrpc.WithFilter(filters.Not(filters.HealthCheck())))))
	return provider.Shutdown, nil
}

// measure serves figures of the calls and of the program.
func (s *settings) measure(ctx context.Context, c *server.Config) (func(context.Context) error, error) {
	registry := prometheus.NewRegistry()
	took := prometheus.NewHistogramVec(prometheus.HistogramOpts{Name: "lugbook_call_seconds", Help: "How long calls took, by method and code.",
		Buckets: prometheus.ExponentialBuckets(0.001, 2.5, 12)}, []string{"method", "code"})
	registry.MustRegister(took, collectors.NewGoCollector(), collectors.NewProcessCollector(collectors.ProcessCollectorOpts{}))
	c.Watch = func(method, code string, d time.Duration) { took.WithLabelValues(method, code).Observe(d.Seconds()) }
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", s.metrics)
	if err != nil {
		return nil, err
	}
	mux := http.NewServeMux()
	mux.Handle("GET /metrics", promhttp.HandlerFor(registry, promhttp.HandlerOpts{}))
	web := &http.Server{Handler: mux, ReadHeaderTimeout: lastWords, ErrorLog: slog.NewLogLogger(c.Log.Handler(), slog.LevelWarn)}
	go func() {
		if err := web.Serve(listener); !errors.Is(err, http.ErrServerClosed) {
			c.Log.Error("figures are not served any more", "error", err)
		}
	}()
	c.Log.Info("figures served", "address", listener.Addr().String())
	return web.Shutdown, nil
}
