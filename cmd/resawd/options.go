package main

import (
	"errors"
	"fmt"
	"os"
	"time"

	"resawd/api"
	"resawd/api/key"
)

// options are the flags of serve.
type options struct {
	listen, metrics                                         address
	shop, keys, cert, key                                   string
	open, keyInQuery                                        *bool
	proxies                                                 networks
	origins                                                 origins
	rate, burst                                             *int
	readHeader, read, write, idle, drainTimeout, drainDelay *time.Duration
	plan                                                    *time.Duration
	connections, memory, bodyLimit                          *int
	planWorkers, planQueue                                  *int
	unread                                                  []string // variables of the environment that no flag reads
}

// Limits that no flag changes.
const (
	maxHeader = 16 << 10  // bytes of a request's header; the standard library adds 4 KiB
	streams   = 50        // requests at once on an HTTP/2 connection
	scrapers  = 10        // connections to the metrics, if they have an address of their own
	longest   = time.Hour // that any duration may be
	mebibyte  = 1 << 20
)

func (p *program) serveOptions(args []string) (options, error) {
	o := options{listen: "127.0.0.1:8080"}
	f := p.flags("serve")
	f.Var(&o.listen, "listen", "address to listen on")
	f.StringVar(&o.shop, "shop", "", shopUsage)
	f.StringVar(&o.keys, "keys", "", "keys file, which says who may ask; without one everybody may, which needs --open if other machines can reach the address")
	o.open = toggle(f, "open", "let everybody ask, even if other machines can reach the address")
	o.keyInQuery = toggle(f, "key-in-query", "also accept a key in the query field key, for cells of a spreadsheet, which cannot send a header")
	o.rate = count(f, "rate-limit", 100, 0, 1_000_000, "requests a second that each key, or each address without a key, may send in the long run; holds with --keys or --open; 0 for any number")
	o.burst = count(f, "rate-burst", 1000, 1, 1_000_000, "requests that each may send at once, as a workbook does when it recalculates")
	f.Var(&o.proxies, "trusted-proxy", "networks of proxies whose X-Forwarded-For header is believed, such as 10.0.0.0/8,127.0.0.1")
	f.Var(&o.origins, "cors-origin", "origins whose pages may read the answers, such as https://shop.example, separated by commas")
	f.StringVar(&o.cert, "tls-cert", "", "certificate file with its chain, in PEM; without one, keys travel in the clear")
	f.StringVar(&o.key, "tls-key", "", "file of the certificate's private key, in PEM")
	f.Var(&o.metrics, "metrics-listen", "address to serve the metrics on, apart from everything else and without keys; without one they are at /metrics")
	o.readHeader = span(f, "read-header-timeout", 5*time.Second, time.Millisecond, longest, "longest wait for a request's header")
	o.read = span(f, "read-timeout", 20*time.Second, time.Millisecond, longest, "longest wait for a whole request; shorter than --write-timeout, so that a client that is too slow still gets an answer")
	o.write = span(f, "write-timeout", 30*time.Second, time.Millisecond, longest, "longest time for a request and its answer")
	o.idle = span(f, "idle-timeout", time.Minute, time.Millisecond, longest, "longest time that a connection may be idle between requests")
	o.drainDelay = span(f, "drain-delay", time.Second, 0, longest, "time between reporting not ready and refusing connections, for a proxy to notice")
	o.drainTimeout = span(f, "drain-timeout", 20*time.Second, 0, longest, "longest wait for requests in flight when stopping")
	o.connections = count(f, "connections", 2000, 1, 100_000, "connections open at once; further ones wait until one closes")
	o.memory = count(f, "memory-limit", 192, 64, 1<<20, "MiB of memory that the service tries to stay within; GOMEMLIMIT, if set, counts instead")
	o.bodyLimit = count(f, "body-limit", mebibyte, 1, 64*mebibyte, "length of the longest JSON body, in bytes")
	o.planWorkers = count(f, "plan-workers", 0, 0, 64, "plans searched for at once; 0 for one less than there are processors, but at least one and at most four")
	o.planQueue = count(f, "plan-queue", 16, 0, 1000, "plans that may wait for a worker")
	o.plan = span(f, "plan-time-limit", time.Minute, time.Millisecond, time.Minute, "longest time limit that a plan may ask for")
	o.unread = unread(f, os.Environ())
	err := p.parseFlags(f, args)
	if err == nil {
		err = o.check()
	}
	return o, err
}

// check refuses flags that contradict each other.
func (o *options) check() error {
	switch {
	case *o.read >= *o.write:
		return fmt.Errorf("--read-timeout is %s and --write-timeout %s: it must be shorter, so that a request that comes too slowly can be answered", *o.read, *o.write)
	case (o.cert == "") != (o.key == ""):
		return errors.New("--tls-cert and --tls-key go together: give both or neither")
	case o.keys != "" && *o.open:
		return errors.New("--keys and --open contradict each other: give one")
	case o.keys == "" && *o.keyInQuery:
		return errors.New("--key-in-query has no effect without --keys")
	case o.keys == "" && !*o.open && !o.listen.local():
		return fmt.Errorf("other machines can reach %s: say who may ask with --keys, or let everybody ask with --open", o.listen)
	}
	return nil
}

// guard says who may ask. The keys are missing: they are read again and again.
func (o *options) guard() api.Guard {
	g := api.Guard{KeyInQuery: *o.keyInQuery, TrustedProxies: o.proxies, Origins: o.origins}
	if *o.rate > 0 && (*o.open || o.keys != "") {
		g.Limiter = key.NewLimiter(float64(*o.rate), *o.burst)
	}
	return g
}
