package main

import (
	"bufio"
	"context"
	"net"
	"net/http"
	"slices"
	"strings"
	"sync"
	"testing"
	"time"
)

// BenchmarkBesidePlans tells how late a calculator answers at a steady load
// while plans saturate the service, and while there are none. Run it with
// -benchtime=1x.
func BenchmarkBesidePlans(b *testing.B) {
	for _, saturated := range []bool{false, true} {
		name := "alone"
		if saturated {
			name = "saturated"
		}
		b.Run(name, func(b *testing.B) {
			service := start(b)
			defer service.stop()
			ctx, stop := context.WithCancel(b.Context())
			defer stop()
			if saturated {
				saturate(ctx, b, strings.TrimSuffix(service.url, "/"))
			}
			for range b.N {
				late := steadily(b, service.address(), 2*time.Second)
				slices.Sort(late)
				b.ReportMetric(float64(late[len(late)/2].Microseconds())/1000, "p50-ms")
				b.ReportMetric(float64(late[len(late)*99/100].Microseconds())/1000, "p99-ms")
			}
		})
	}
}

// saturate keeps more plans asked for than the service works on, until the
// context ends.
func saturate(ctx context.Context, b *testing.B, url string) {
	b.Helper()
	started := make(chan struct{}, 4)
	for range 4 {
		go func() {
			for ctx.Err() == nil {
				request, err := http.NewRequestWithContext(ctx, http.MethodPost, url+"/v1/plan", strings.NewReader(hardOrder()))
				if err != nil {
					b.Error(err)
					return
				}
				request.Header.Set("Content-Type", "application/json")
				select {
				case started <- struct{}{}:
				default:
				}
				if answer, err := http.DefaultTransport.RoundTrip(request); err == nil {
					answer.Body.Close()
					time.Sleep(100 * time.Millisecond) // most are sent away: the queue is short
				}
			}
		}()
	}
	<-started
	time.Sleep(time.Second)
}

// steadily asks 500 times a second on a few connections, whether or not the
// answers keep up, and gives the time from when each was due to its answer.
func steadily(b *testing.B, address string, lasts time.Duration) []time.Duration {
	b.Helper()
	const connections, every = 4, 8 * time.Millisecond
	const request = "GET /v1/dial?leaf_thickness=0.05&kerf=0.045&leaf_count=3 HTTP/1.1\r\nHost: x\r\n\r\n"
	var mu sync.Mutex
	var all []time.Duration
	var wait sync.WaitGroup
	for i := range connections {
		wait.Go(func() {
			conn, err := net.Dial("tcp", address)
			if err != nil {
				b.Error(err)
				return
			}
			defer conn.Close()
			in := bufio.NewReader(conn)
			var own []time.Duration
			begin := time.Now().Add(time.Duration(i) * every / connections)
			for due := begin; due.Before(begin.Add(lasts)); due = due.Add(every) {
				time.Sleep(time.Until(due))
				if err := exchange(conn, in, request); err != nil {
					b.Error(err)
					return
				}
				own = append(own, time.Since(due))
			}
			mu.Lock()
			all = append(all, own...)
			mu.Unlock()
		})
	}
	wait.Wait()
	return all
}
