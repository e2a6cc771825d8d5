package main

import (
	"net/http"
	"testing"
	"time"
)

// BenchmarkOverload asks for long run sheets at half of what the service can carry
// and then at four times that: how late the answers come, how late the refusals, and
// what memory it takes. Run it with -benchtime=1x.
func BenchmarkOverload(b *testing.B) {
	const request = "GET /v1/run?board_thickness=390&board_width=6&board_length=10&leaf_thickness=0.015&kerf=0.024&travel=300&hold_back=0" +
		"&leaf_count=9900&pick=summary/leaf_count&format=text HTTP/1.1\r\nHost: x\r\n\r\n"
	const lasts = 5 * time.Second
	address, pid := served(b)
	carries := rate(b, address, []byte(request), 4, 2*time.Second)
	for b.Loop() {
		reportLate(b, "half-", steadily(b, address, []byte(request), 16, carries/2, lasts))
		list := steadily(b, address, []byte(request), 256, 4*carries, lasts)
		var accepted, refused []answered
		for _, a := range list {
			switch a.status {
			case http.StatusOK:
				accepted = append(accepted, a)
			case http.StatusServiceUnavailable:
				refused = append(refused, a)
			default:
				b.Errorf("status %d", a.status)
			}
		}
		b.ReportMetric(carries, "carried/s")
		b.ReportMetric(float64(len(accepted))/lasts.Seconds(), "accepted/s")
		b.ReportMetric(float64(len(refused))/lasts.Seconds(), "refused/s")
		reportLate(b, "accepted-", accepted)
		reportLate(b, "refused-", refused)
		most, _ := memoryOf(b, pid)
		b.ReportMetric(float64(most)/(1<<20), "peak-MiB")
	}
}
