package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"runtime/debug"
	"sync/atomic"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api"
	"resawd/api/shop"
)

// options are the flags of serve.
type options struct {
	listen, shop                              string
	readHeader, read, write, idle, drain, lag time.Duration
	plan                                      time.Duration
	bodyLimit                                 int64
	planWorkers, planQueue                    int
}

func (p *program) serveOptions(args []string) (options, error) {
	var o options
	f := p.flags("serve")
	f.StringVar(&o.listen, "listen", "127.0.0.1:8080", "address to listen on")
	f.StringVar(&o.shop, "shop", "", "shop file; the built-in demo shop without one")
	f.DurationVar(&o.readHeader, "read-header-timeout", 5*time.Second, "longest wait for a request's header")
	f.DurationVar(&o.read, "read-timeout", 30*time.Second, "longest wait for a whole request")
	f.DurationVar(&o.write, "write-timeout", 30*time.Second, "longest time for an answer")
	f.DurationVar(&o.idle, "idle-timeout", 60*time.Second, "longest rest of a connection between requests")
	f.DurationVar(&o.lag, "drain-delay", time.Second, "time between not being ready and refusing connections, for whoever sends requests to notice")
	f.DurationVar(&o.drain, "drain-timeout", 20*time.Second, "longest wait for requests in flight when stopping")
	f.Int64Var(&o.bodyLimit, "body-limit", 1<<20, "bytes of a JSON body")
	f.IntVar(&o.planWorkers, "plan-workers", 0, "plans worked on at once; 0 for one less than the processors, but one at least")
	f.IntVar(&o.planQueue, "plan-queue", 16, "plans that may wait for a worker")
	f.DurationVar(&o.plan, "plan-time-limit", 60*time.Second, "longest time limit that a plan may ask, 60 s at most")
	rest, err := p.parse(f, args)
	if err == nil && len(rest) > 0 {
		err = fmt.Errorf("takes flags only; %q was given", rest[0])
	}
	if err == nil {
		err = o.check()
	}
	return o, err
}

// check refuses numbers with which nothing would be answered.
func (o *options) check() error {
	switch {
	case o.bodyLimit < 1:
		return fmt.Errorf("--body-limit is %d: it must be at least 1", o.bodyLimit)
	case o.planWorkers < 0:
		return fmt.Errorf("--plan-workers is %d: it must be at least 0", o.planWorkers)
	case o.planQueue < 0:
		return fmt.Errorf("--plan-queue is %d: it must be at least 0", o.planQueue)
	case o.plan <= 0 || o.plan > time.Minute:
		return fmt.Errorf("--plan-time-limit is %s: it must be above 0 and at most 60 s", o.plan)
	}
	return nil
}

// loadShop reads a shop file, or the demo shop where there is none.
func loadShop(path string) (*shop.Shop, error) {
	if path == "" {
		return shop.Demo()
	}
	return shop.Read(path)
}

func serve(ctx context.Context, p *program, args []string) error {
	o, err := p.serveOptions(args)
	if err != nil {
		return err
	}
	s, err := loadShop(o.shop)
	if err != nil {
		return err
	}
	var ready atomic.Bool
	lines := newLineBuffer(p.errors)
	defer lines.Flush()
	log := slog.New(slog.NewJSONHandler(lines, nil))
	if p.getenv("GOGC") == "" {
		debug.SetGCPercent(400) // requests leave little behind: a few MiB more spare most collections
	}
	handler := api.New(api.Config{
		Shop: s, Build: version, Log: log, Metrics: prometheus.NewRegistry(), BodyLimit: o.bodyLimit, Ready: ready.Load,
		PlanWorkers: o.planWorkers, PlanQueue: o.planQueue, PlanTimeLimit: o.plan,
	})
	server := &http.Server{
		Handler:           handler,
		ReadHeaderTimeout: o.readHeader, ReadTimeout: o.read, WriteTimeout: o.write, IdleTimeout: o.idle,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	listener, err := new(net.ListenConfig).Listen(ctx, "tcp", o.listen)
	if err != nil {
		return err
	}
	ready.Store(true)
	p.greet(listener.Addr(), s)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	select {
	case err := <-failed:
		return err
	case <-ctx.Done():
	}
	ready.Store(false)
	log.Info("stopping", "drain_delay", o.lag.String())
	time.Sleep(o.lag)
	handler.Drain()
	return shutdown(server, o.drain)
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

// demoBoard is a board of the demo scenario, as a query.
const demoBoard = "board_name=walnut-1&board_species=walnut,%20black&board_thickness=2&board_width=8&board_length=24&leaf_thickness=0.05&leaf_count=12&skim=1/32&fixing=glue&run_in=2&run_out=2"

// greet prints where to look first.
func (p *program) greet(at net.Addr, s *shop.Shop) {
	base := "http://" + at.String()
	if tcp, ok := at.(*net.TCPAddr); ok && tcp.IP.IsUnspecified() {
		base = fmt.Sprintf("http://localhost:%d", tcp.Port)
	}
	fmt.Fprintf(p.out, "resawd %s is ready, with the shop file %q\n", version, s.Name)
	for _, page := range []struct{ about, path string }{
		{"Start page", "/"},
		{"Run sheet", "/v1/run?format=html&" + demoBoard},
		{"Its drawing", "/v1/run?format=svg&" + demoBoard},
		{"The API", "/docs"},
	} {
		fmt.Fprintf(p.out, "  %-12s %s%s\n", page.about, base, page.path)
	}
}

// healthcheck asks a service at the listen address whether it is well.
func healthcheck(ctx context.Context, p *program, args []string) error {
	f := p.flags("healthcheck")
	listen := f.String("listen", "127.0.0.1:8080", "address that the service listens on")
	if _, err := p.parse(f, args); err != nil {
		return err
	}
	host, port, err := net.SplitHostPort(*listen)
	if err != nil {
		return err
	}
	if ip := net.ParseIP(host); host == "" || ip != nil && ip.IsUnspecified() {
		host = "127.0.0.1"
	}
	ctx, cancel := context.WithTimeout(ctx, 3*time.Second)
	defer cancel()
	request, err := http.NewRequestWithContext(ctx, http.MethodGet, "http://"+net.JoinHostPort(host, port)+"/healthz", nil)
	if err != nil {
		return err
	}
	answer, err := http.DefaultClient.Do(request)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("the service answers %s", answer.Status)
	}
	return nil
}
