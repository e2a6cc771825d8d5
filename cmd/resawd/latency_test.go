package main

import (
	"context"
	"fmt"
	"io"
	"net/http"
	"strings"
	"testing"
	"time"
)

// BenchmarkLatency tells how late a calculator answers at half of the load that the
// service can carry, alone, and while plans or tables saturate it: then it can carry
// less. Run it with -benchtime=1x.
func BenchmarkLatency(b *testing.B) {
	const request = "GET /v1/dial?leaf_thickness=0.05&kerf=0.045&leaf_count=3 HTTP/1.1\r\nHost: x\r\n\r\n"
	address, _ := served(b)
	for _, name := range []string{"alone", "beside-plans", "beside-tables"} {
		b.Run(name, func(b *testing.B) {
			ctx, stop := context.WithCancel(b.Context())
			defer stop()
			switch name {
			case "beside-plans":
				saturate(ctx, b, address, 4)
				untilRunning(b, address, 1)
			case "beside-tables":
				endlessTables(ctx, b, address, 16)
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

// endlessTables sends tables without an end, until the context ends.
func endlessTables(ctx context.Context, tb testing.TB, address string, tables int) {
	tb.Helper()
	const rows = 4000
	chunk := "leaf_thickness,kerf,leaf_count\n" + strings.Repeat("0.05,0.045,1\n", rows)
	head := "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: text/csv\r\nTransfer-Encoding: chunked\r\n\r\n"
	for range tables {
		a, err := connect(address)
		if err != nil {
			tb.Fatal(err)
		}
		context.AfterFunc(ctx, func() { a.Close() })
		go func() { _, _ = io.Copy(io.Discard, a.in) }()
		go func() {
			_, err := io.WriteString(a, head)
			for text := chunk; err == nil; text = chunk[strings.IndexByte(chunk, '\n')+1:] {
				_, err = fmt.Fprintf(a, "%x\r\n%s\r\n", len(text), text)
			}
		}()
	}
}
