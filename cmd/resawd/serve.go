package main

import (
	"context"
	"crypto/tls"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api"
	"resawd/api/shop"
)

func serve(ctx context.Context, p *program, args []string) error {
	o, err := p.serveOptions(args)
	if err != nil {
		return err
	}
	files := files{shop: o.shop, keys: o.keys, cert: o.cert, key: o.key}
	if err := files.read(); err != nil {
		return err
	}
	var ready atomic.Bool
	lines := newLineBuffer(p.stderr)
	defer lines.Flush()
	log := slog.New(slog.NewJSONHandler(lines, nil))
	if len(o.unread) > 0 {
		log.Warn("no flag of serve reads these variables of the environment", "names", o.unread)
	}
	files.doubt(log)
	p.tuneMemory(*o.memory)
	guard := o.guard()
	guard.Keys = files.ring
	handler := api.New(api.Config{
		Shop: files.saws, Build: version, Log: log, Metrics: prometheus.NewRegistry(), BodyLimit: int64(*o.bodyLimit), Ready: ready.Load,
		Guard: guard, MetricsApart: o.metrics != "",
		PlanWorkers: *o.planWorkers, PlanQueue: *o.planQueue, PlanTimeLimit: *o.plan,
	})
	files.tell(handler)
	defer p.tuneProcessors(handler.Workers() + 1)()
	listener, err := o.listener(ctx, &files)
	if err != nil {
		return err
	}
	server := o.server(lastRequests(&ready, handler), log)
	failed := make(chan error, 2)
	go func() { failed <- server.Serve(listener) }()
	if o.metrics != "" {
		aside, err := o.serveMetrics(ctx, handler, log, failed)
		if err != nil {
			return errors.Join(err, server.Close())
		}
		defer aside.Close()
	}
	ready.Store(true)
	p.greet(&o, listener.Addr(), files.saws)
	if err := untilTold(ctx, failed, func() { files.readAgain(handler, log) }); err != nil {
		return err
	}
	ready.Store(false)
	log.Info("stopping", "drain_delay", o.drainDelay.String())
	time.Sleep(*o.drainDelay)
	handler.Drain()
	return shutdown(server, *o.drainTimeout)
}

// untilTold waits until the service is told to stop or a server fails, and calls onHangup
// for each SIGHUP, which would end a program that does not handle it.
func untilTold(ctx context.Context, failed <-chan error, onHangup func()) error {
	hangups := make(chan os.Signal, 1)
	signal.Notify(hangups, syscall.SIGHUP)
	defer signal.Stop(hangups)
	for {
		select {
		case err := <-failed:
			return err
		case <-hangups:
			onHangup()
		case <-ctx.Done():
			return nil
		}
	}
}

// server makes a server that limits what one connection can use.
func (o *options) server(handler http.Handler, log *slog.Logger) *http.Server {
	return &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: *o.readHeader, ReadTimeout: *o.read, WriteTimeout: *o.write, IdleTimeout: *o.idle, MaxHeaderBytes: maxHeader,
		HTTP2:    &http.HTTP2Config{MaxConcurrentStreams: streams},
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
}

// serveMetrics serves the metrics at an address of their own.
func (o *options) serveMetrics(ctx context.Context, handler *api.Server, log *slog.Logger, failed chan<- error) (*http.Server, error) {
	listener, err := o.metrics.open(ctx, scrapers)
	if err != nil {
		return nil, err
	}
	routes := http.NewServeMux()
	routes.Handle("GET /metrics", handler.MetricsHandler())
	server := o.server(routes, log)
	go func() { failed <- server.Serve(listener) }()
	return server, nil
}

// listener opens the listener, with TLS if there is a certificate.
func (o *options) listener(ctx context.Context, files *files) (net.Listener, error) {
	listener, err := o.listen.open(ctx, *o.connections)
	if err != nil || o.cert == "" {
		return listener, err
	}
	return tls.NewListener(listener, &tls.Config{
		MinVersion: tls.VersionTLS12, NextProtos: []string{"h2", "http/1.1"},
		GetCertificate: func(*tls.ClientHelloInfo) (*tls.Certificate, error) { return files.certificate.Load(), nil },
	}), nil
}

// open opens a listener at the address.
func (a address) open(ctx context.Context, connections int) (net.Listener, error) {
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", string(a))
	if err != nil {
		return nil, err
	}
	tcp, ok := l.(*net.TCPListener)
	if !ok {
		return nil, fmt.Errorf("%s is not a TCP address", a)
	}
	return limit(tcp, connections), nil
}

// tuneMemory tells the garbage collector how much memory there is. Requests leave little
// behind, so a few MiB more between collections avoid most of them.
func (p *program) tuneMemory(mebibytes int) {
	if p.getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
	if p.getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(int64(mebibytes) * mebibyte)
	}
}

// tuneProcessors lets Go run that many goroutines at the same time. With one more than
// can be calculating, there is always one free to read a request and to refuse it, and
// the operating system shares out the processors. Go alone would let such a request wait
// for up to 10 ms. The returned function undoes the setting.
func (p *program) tuneProcessors(goroutines int) (undo func()) {
	if p.getenv("GOMAXPROCS") != "" {
		return func() {}
	}
	before := runtime.GOMAXPROCS(goroutines)
	return func() { runtime.GOMAXPROCS(before) }
}

// lastRequests ends each connection with its next answer once the service is stopping.
// Closing an idle connection instead could lose a request that is on its way.
func lastRequests(ready *atomic.Bool, next http.Handler) http.Handler {
	return http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !ready.Load() {
			w.Header().Set("Connection", "close")
		}
		next.ServeHTTP(w, r)
	})
}

// shutdown lets the requests in flight finish.
func shutdown(server *http.Server, limit time.Duration) error {
	ctx, cancel := context.WithTimeout(context.Background(), limit)
	defer cancel()
	if err := server.Shutdown(ctx); err != nil {
		return errors.Join(fmt.Errorf("requests were cut off after %s: %w", limit, err), server.Close())
	}
	return nil
}

// greet prints where to look first.
func (p *program) greet(o *options, at net.Addr, s *shop.Shop) {
	scheme := "http://"
	if o.cert != "" {
		scheme = "https://"
	}
	base := scheme + at.String()
	if tcp, ok := at.(*net.TCPAddr); ok && tcp.IP.IsUnspecified() {
		base = fmt.Sprintf("%slocalhost:%d", scheme, tcp.Port)
	}
	fmt.Fprintf(p.stdout, "resawd %s is ready, with the shop file %q\n", version, s.Name)
	for _, page := range []struct{ about, path string }{
		{"Start page", "/"},
		{"Run sheet", api.DemoRun + "&format=html"},
		{"Its drawing", api.DemoRun + "&format=svg"},
		{"The API", "/docs"},
	} {
		fmt.Fprintf(p.stdout, "  %-12s %s%s\n", page.about, base, page.path)
	}
}
