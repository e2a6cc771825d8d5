package main

import (
	"context"
	"net/http"
	"strings"
	"testing"
	"time"
)

// BenchmarkLatency tells how late a calculator answers at half of the load that the
// service can carry, alone and while plans saturate it: then it can carry less. Run
// it with -benchtime=1x.
func BenchmarkLatency(b *testing.B) {
	const request = "GET /v1/dial?leaf_thickness=0.05&kerf=0.045&leaf_count=3 HTTP/1.1\r\nHost: x\r\n\r\n"
	address, _ := served(b)
	for _, name := range []string{"alone", "beside-plans"} {
		b.Run(name, func(b *testing.B) {
			ctx, stop := context.WithCancel(b.Context())
			defer stop()
			if name == "beside-plans" {
				saturate(ctx, b, address, 4)
				untilRunning(b, address, 1)
			}
			for range b.N {
				half := rate(b, address, []byte(request), 8, time.Second) / 2
				list := steadily(b, address, []byte(request), 16, half, 5*time.Second)
				b.ReportMetric(float64(len(list))/5, "requests/s")
				reportLate(b, "", list)
			}
		})
	}
}

// saturate keeps so many hard plans asked for, until the context ends.
func saturate(ctx context.Context, tb testing.TB, address string, plans int) {
	tb.Helper()
	for range plans {
		go func() {
			for ctx.Err() == nil {
				request, err := http.NewRequestWithContext(ctx, http.MethodPost, "http://"+address+"/v1/plan", strings.NewReader(hardOrder()))
				if err != nil {
					tb.Error(err)
					return
				}
				request.Header.Set("Content-Type", "application/json")
				if answer, err := http.DefaultTransport.RoundTrip(request); err == nil {
					answer.Body.Close()
				}
			}
		}()
	}
}
