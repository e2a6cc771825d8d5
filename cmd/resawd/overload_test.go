package main

import (
	"context"
	"fmt"
	"net/http"
	"strings"
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
	carries := rate(b, address, []byte(request), 3, 2*time.Second)
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

// TestPlanEnds: a hard plan is answered at its time limit, and given up when its
// client leaves.
func TestPlanEnds(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a while")
	}
	s := start(t)
	defer s.stop()
	if late, free := planEnds(t, s.address()); late > 20*time.Second || free > 20*time.Second {
		t.Errorf("answered %s after its limit; given up %s after its client left", late, free)
	}
}

// BenchmarkPlanEnds tells how long after its time limit a hard plan is answered, and
// how long after its client left the worker is free. Run it with -benchtime=1x.
func BenchmarkPlanEnds(b *testing.B) {
	address, _ := served(b)
	for b.Loop() {
		late, free := planEnds(b, address)
		b.ReportMetric(float64(late.Milliseconds()), "late-ms")
		b.ReportMetric(float64(free.Milliseconds()), "freed-ms")
	}
}

func planEnds(tb testing.TB, address string) (late, free time.Duration) {
	tb.Helper()
	const limit = time.Second
	began := time.Now()
	answer, err := http.Post("http://"+address+"/v1/plan", "application/json", strings.NewReader(strings.Replace(hardOrder(), `_seconds": 60`, `_seconds": 1`, 1)))
	if err != nil || answer.StatusCode != http.StatusOK {
		tb.Fatal(answer, err)
	}
	answer.Body.Close()
	late = time.Since(began) - limit

	ctx, leave := context.WithCancel(tb.Context())
	defer leave()
	saturate(ctx, tb, address, 1)
	untilRunning(tb, address, 1)
	leave()
	left := time.Now()
	untilRunning(tb, address, 0)
	return late, time.Since(left)
}

// untilRunning waits until so many plans are worked on.
func untilRunning(tb testing.TB, address string, plans float64) {
	tb.Helper()
	until(tb, fmt.Sprintf("%g plans that are worked on", plans), func() bool {
		running, ok := measured(tb, address, []string{"resawd_plans_running"})["resawd_plans_running"]
		return ok && running == plans
	})
}
