package main

import (
	"context"
	"errors"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"os"
	"os/signal"
	"runtime/debug"
	"sync/atomic"
	"syscall"
	"time"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api"
	"resawd/api/shop"
)

// options are the flags of serve.
type options struct {
	listen                                    address
	shop                                      string
	readHeader, read, write, idle, drain, lag *time.Duration
	plan                                      *time.Duration
	connections, memory, bodyLimit            *int
	planWorkers, planQueue                    *int
}

// The limits that no flag moves.
const (
	maxHeader = 16 << 10  // bytes of a request's header; the standard library adds 4 KiB
	longest   = time.Hour // of any time
	megabyte  = 1_048_576 // a MiB
)

func (p *program) serveOptions(args []string) (options, error) {
	o := options{listen: "127.0.0.1:8080"}
	f := p.flags("serve")
	f.Var(&o.listen, "listen", "address to listen on")
	f.StringVar(&o.shop, "shop", "", "shop file; the built-in demo shop without one")
	o.readHeader = span(f, "read-header-timeout", 5*time.Second, time.Millisecond, longest, "longest wait for a request's header")
	o.read = span(f, "read-timeout", 20*time.Second, time.Millisecond, longest, "longest wait for a whole request; shorter than --write-timeout, so that whoever is too slow is told")
	o.write = span(f, "write-timeout", 30*time.Second, time.Millisecond, longest, "longest time for a request and its answer")
	o.idle = span(f, "idle-timeout", time.Minute, time.Millisecond, longest, "longest rest of a connection between requests")
	o.lag = span(f, "drain-delay", time.Second, 0, longest, "time between not being ready and refusing connections, for whoever sends requests to notice")
	o.drain = span(f, "drain-timeout", 20*time.Second, 0, longest, "longest wait for requests in flight when stopping")
	o.connections = count(f, "connections", 2000, 1, 100_000, "connections open at once; more wait until one closes")
	o.memory = count(f, "memory-limit", 224, 64, 1<<20, "MiB of memory that the service keeps within; GOMEMLIMIT, where set, is left as it is")
	o.bodyLimit = count(f, "body-limit", megabyte, 1, 64*megabyte, "bytes of a JSON body")
	o.planWorkers = count(f, "plan-workers", 0, 0, 64, "plans worked on at once; 0 for one less than the processors, but one at least and four at most")
	o.planQueue = count(f, "plan-queue", 16, 0, 1000, "plans that may wait for a worker")
	o.plan = span(f, "plan-time-limit", time.Minute, time.Millisecond, time.Minute, "longest time limit that a plan may ask")
	rest, err := p.parse(f, args)
	if err == nil && len(rest) > 0 {
		err = fmt.Errorf("takes flags only; %q was given", rest[0])
	}
	if err == nil && *o.read >= *o.write {
		err = fmt.Errorf("--read-timeout is %s and --write-timeout %s: it must be shorter, so that a request that comes too slowly can be answered", *o.read, *o.write)
	}
	return o, err
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
	p.tuneMemory(*o.memory)
	handler := api.New(api.Config{
		Shop: s, Build: version, Log: log, Metrics: prometheus.NewRegistry(), BodyLimit: int64(*o.bodyLimit), Ready: ready.Load,
		PlanWorkers: *o.planWorkers, PlanQueue: *o.planQueue, PlanTimeLimit: *o.plan,
	})
	server := &http.Server{
		Handler:           lastRequests(&ready, handler),
		ReadHeaderTimeout: *o.readHeader, ReadTimeout: *o.read, WriteTimeout: *o.write, IdleTimeout: *o.idle, MaxHeaderBytes: maxHeader,
		ErrorLog: slog.NewLogLogger(log.Handler(), slog.LevelWarn),
	}
	listener, err := o.open(ctx)
	if err != nil {
		return err
	}
	hangups := make(chan os.Signal, 1)
	signal.Notify(hangups, syscall.SIGHUP)
	defer signal.Stop(hangups)
	ready.Store(true)
	p.greet(listener.Addr(), s)
	failed := make(chan error, 1)
	go func() { failed <- server.Serve(listener) }()
	for ctx.Err() == nil {
		select {
		case err := <-failed:
			return err
		case <-hangups:
			log.Info("SIGHUP ignored: there is nothing to read again")
		case <-ctx.Done():
		}
	}
	ready.Store(false)
	log.Info("stopping", "drain_delay", o.lag.String())
	time.Sleep(*o.lag)
	handler.Drain()
	return shutdown(server, *o.drain)
}

// open opens the listener.
func (o *options) open(ctx context.Context) (net.Listener, error) {
	l, err := new(net.ListenConfig).Listen(ctx, "tcp", string(o.listen))
	if err != nil {
		return nil, err
	}
	tcp, ok := l.(*net.TCPListener)
	if !ok {
		return nil, fmt.Errorf("%s is no TCP address", o.listen)
	}
	return limit(tcp, *o.connections), nil
}

// tuneMemory tells the garbage collector how much there is. Requests leave
// little behind: a few MiB more between collections spare most of them.
func (p *program) tuneMemory(mebibytes int) {
	if p.getenv("GOGC") == "" {
		debug.SetGCPercent(400)
	}
	if p.getenv("GOMEMLIMIT") == "" {
		debug.SetMemoryLimit(int64(mebibytes) * megabyte)
	}
}

// lastRequests lets each connection end with its next answer once the service
// stops. A connection that was closed while it rests could swallow the request
// that is on its way.
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
	listen := address("127.0.0.1:8080")
	f.Var(&listen, "listen", "address that the service listens on")
	if _, err := p.parse(f, args); err != nil {
		return err
	}
	host, port, err := net.SplitHostPort(string(listen))
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
