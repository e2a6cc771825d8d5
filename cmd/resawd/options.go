package main

import (
	"errors"
	"fmt"
	"time"

	"resawd/api"
	"resawd/api/key"
)

// options are the flags of serve.
type options struct {
	listen, metrics                           address
	shop, keys, cert, key                     string
	open, keyInQuery                          *bool
	proxies                                   networks
	origins                                   origins
	rate, burst                               *int
	readHeader, read, write, idle, drain, lag *time.Duration
	plan                                      *time.Duration
	connections, memory, bodyLimit            *int
	planWorkers, planQueue                    *int
}

// The limits that no flag moves.
const (
	maxHeader = 16 << 10  // bytes of a request's header; the standard library adds 4 KiB
	streams   = 50        // requests at once on a connection of HTTP/2
	scrapers  = 10        // connections to the metrics, where they are apart
	longest   = time.Hour // of any time
	megabyte  = 1_048_576 // a MiB
)

func (p *program) serveOptions(args []string) (options, error) {
	o := options{listen: "127.0.0.1:8080"}
	f := p.flags("serve")
	f.Var(&o.listen, "listen", "address to listen on")
	f.StringVar(&o.shop, "shop", "", "shop file; the built-in demo shop without one")
	f.StringVar(&o.keys, "keys", "", "keys file: who may ask; without one everybody, which needs --open beyond this machine")
	o.open = f.Bool("open", false, "let everybody ask, though the address can be reached from other machines")
	o.keyInQuery = f.Bool("key-in-query", false, "take a key from the query field key, too, for cells that cannot send a header")
	o.rate = count(f, "rate-limit", 100, 0, 1_000_000, "requests a second that each key, or each address without one, may send in the long run, where there are keys or --open; 0 for any number")
	o.burst = count(f, "rate-burst", 1000, 1, 1_000_000, "requests that each may send at once, as a workbook does when it counts again")
	f.Var(&o.proxies, "trusted-proxy", "networks of proxies whose word on a client's address is taken, such as 10.0.0.0/8,127.0.0.1")
	f.Var(&o.origins, "cors-origin", "origins whose pages may read the answers, such as https://shop.example, separated by commas")
	f.StringVar(&o.cert, "tls-cert", "", "certificate file, with its chain, in PEM; keys do not travel in the clear then")
	f.StringVar(&o.key, "tls-key", "", "file of the certificate's private key, in PEM")
	f.Var(&o.metrics, "metrics-listen", "address of the metrics, apart from all else and without keys; at /metrics without one")
	o.readHeader = span(f, "read-header-timeout", 5*time.Second, time.Millisecond, longest, "longest wait for a request's header")
	o.read = span(f, "read-timeout", 20*time.Second, time.Millisecond, longest, "longest wait for a whole request; shorter than --write-timeout, so that whoever is too slow is told")
	o.write = span(f, "write-timeout", 30*time.Second, time.Millisecond, longest, "longest time for a request and its answer")
	o.idle = span(f, "idle-timeout", time.Minute, time.Millisecond, longest, "longest rest of a connection between requests")
	o.lag = span(f, "drain-delay", time.Second, 0, longest, "time between not being ready and refusing connections, for whoever sends requests to notice")
	o.drain = span(f, "drain-timeout", 20*time.Second, 0, longest, "longest wait for requests in flight when stopping")
	o.connections = count(f, "connections", 2000, 1, 100_000, "connections open at once; more wait until one closes")
	o.memory = count(f, "memory-limit", 192, 64, 1<<20, "MiB of memory that the service keeps within; GOMEMLIMIT, where set, is left as it is")
	o.bodyLimit = count(f, "body-limit", megabyte, 1, 64*megabyte, "bytes of a JSON body")
	o.planWorkers = count(f, "plan-workers", 0, 0, 64, "plans worked on at once; 0 for one less than the processors, but one at least and four at most")
	o.planQueue = count(f, "plan-queue", 16, 0, 1000, "plans that may wait for a worker")
	o.plan = span(f, "plan-time-limit", time.Minute, time.Millisecond, time.Minute, "longest time limit that a plan may ask")
	rest, err := p.parse(f, args)
	if err == nil && len(rest) > 0 {
		err = fmt.Errorf("takes flags only; %q was given", rest[0])
	}
	if err == nil {
		err = o.check()
	}
	return o, err
}

// check refuses flags that do not go together.
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
		return fmt.Errorf("%s can be reached from other machines: say with --keys who may ask, or let everybody with --open", o.listen)
	}
	return nil
}

// guard is who may ask, but for the keys, which are read again and again.
func (o *options) guard() api.Guard {
	g := api.Guard{KeyInQuery: *o.keyInQuery, TrustedProxies: o.proxies, Origins: o.origins}
	if *o.rate > 0 && (*o.open || o.keys != "") {
		g.Limiter = key.NewLimiter(float64(*o.rate), *o.burst)
	}
	return g
}
