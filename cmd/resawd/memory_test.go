package main

import (
	"bytes"
	"context"
	"fmt"
	"io"
	"math/rand/v2"
	"net"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// maxResident is how much of the machine's memory the service may ever hold with the
// default workers, whatever it is sent.
const maxResident = 256 << 20

// dearest are the most expensive requests, among those that are answered and among
// those that are refused: a target, a media type and a body.
func dearest() [][3]string {
	var unknown strings.Builder
	for i := range 90_000 {
		fmt.Fprintf(&unknown, `"%d":1,`, i)
	}
	const longRun = "?board_thickness=390&board_width=6&board_length=10&leaf_thickness=0.015&kerf=0.024&travel=300&hold_back=0&leaf_count=9900&format="
	var boards, parts, calls []string
	for i := range 2000 {
		boards = append(boards, fmt.Sprintf(`{"name":"b%d","thickness":0.5,"width":%d.5,"length":30,"quantity":3}`, i, 3+i%5))
		parts = append(parts, fmt.Sprintf(`{"name":"p%d","thickness":0.05,"width":%d,"length":%d.%03d,"quantity":2}`, i, 2+i%3, 8+i%11, i%1000))
		if i < 1000 {
			calls = append(calls, `{"path":"/v1/dial","body":{"leaf_thickness":0.05,"kerf":0.045,"leaf_count":10}}`)
		}
	}
	plan := `{"boards":[` + strings.Join(boards, ",") + `],"parts":[` + strings.Join(parts, ",") + `],"time_limit_seconds":0.5}`
	const json = "application/json"
	return [][3]string{
		{"/v1/run" + longRun + "html"}, {"/v1/run" + longRun + "json"}, {"/v1/run" + longRun + "csv"}, {"/v1/run" + longRun + "xlsx"},
		{"/v1/plan?format=html", json, plan}, {"/v1/plan?format=json", json, plan}, {"/v1/plan?format=xlsx", json, plan},
		{"/v1/plan", json, `{"boards":[{"thickness":0.3}],"parts":[{"thickness":0.05,"quantity":20000}],"time_limit_seconds":0.5}`},
		{"/v1/plan", json, `{"boards":[` + strings.Repeat(`{"thickness":1,"defects":[`+strings.Repeat("{},", 99)+`{}]},`, 1999) + `{"thickness":1}]}`},
		{"/v1/dial", json, "{" + strings.TrimSuffix(unknown.String(), ",") + "}"},
		{"/v1/batch", json, `{"requests":[` + strings.Join(calls, ",") + `]}`},
		{"/v1/dial", "text/csv", "leaf_thickness,kerf,leaf_count\n" + strings.Repeat("0.05,0.045,1000\n", 2000)},
		{"/v1/gauge", json, `{"readings":[` + strings.Repeat(`[1,1,1,1,1,1,1,1,1,1],`, 40_000) + `[1]]}`},
		{"/openapi.json"}, {"/docs"}, {"/v1/species"},
	}
}

// TestMemory: whatever the service is sent, its memory stays within its limit at
// every moment, and it answers all the while.
func TestMemory(t *testing.T) {
	if testing.Short() {
		t.Skip("takes a while")
	}
	if underRace {
		t.Skip("the race detector takes several times the memory")
	}
	address := freePort(t)
	service := process(t, []string{"RESAWD_LISTEN=" + address}, binary(t), "serve")
	untilReady(t, address)
	statuses := press(t, address)
	most, now := memoryOf(t, service.Process.Pid)
	t.Logf("statuses %v, at most %d MiB, then %d MiB", statuses, most>>20, now>>20)
	if most > maxResident {
		t.Errorf("%d MiB of memory, the limit is %d", most>>20, maxResident>>20)
	}
	for status, n := range statuses {
		if status == 0 || status >= 500 && status != http.StatusServiceUnavailable {
			t.Errorf("%d answers of status %d", n, status)
		}
	}
	if statuses[http.StatusOK] < enough {
		t.Errorf("only %d were answered", statuses[http.StatusOK])
	}
}

// BenchmarkMemory measures the most memory that a service takes under the most
// expensive requests. Run it with -benchtime=1x.
func BenchmarkMemory(b *testing.B) {
	address, pid := served(b)
	for b.Loop() {
		press(b, address)
		most, _ := memoryOf(b, pid)
		b.ReportMetric(float64(most)/(1<<20), "peak-MiB")
	}
}

// enough is how many requests must have been answered.
const enough = 20

// press sends the dearest requests for a while, many at once, to readers fast and
// slow, beside idle connections, and counts the statuses of the answers. When
// enough are answered and the time is up, the clients leave.
func press(tb testing.TB, address string) map[int]int {
	tb.Helper()
	for range 1000 {
		conn, err := net.Dial("tcp", address)
		if err != nil {
			tb.Fatal(err)
		}
		tb.Cleanup(func() { conn.Close() })
	}
	requests := dearest()
	ctx, leave := context.WithCancel(tb.Context())
	defer leave()
	began := time.Now()
	var mu sync.Mutex
	statuses := map[int]int{}
	var clients sync.WaitGroup
	for client := range 32 {
		g := rand.New(rand.NewPCG(1, uint64(client)))
		clients.Go(func() {
			for ctx.Err() == nil {
				status := send(ctx, address, requests[g.IntN(len(requests))], client%4 == 0)
				mu.Lock()
				if ctx.Err() == nil {
					statuses[status]++
				}
				if lasted := time.Since(began); lasted > 3*time.Second && statuses[http.StatusOK] >= enough || lasted > time.Minute {
					leave()
				}
				mu.Unlock()
			}
		})
	}
	clients.Wait()
	return statuses
}

// send sends a request and reads its answer, slowly if told so.
func send(ctx context.Context, address string, r [3]string, slowly bool) (status int) {
	method := http.MethodGet
	if r[1] != "" {
		method = http.MethodPost
	}
	request, err := http.NewRequestWithContext(ctx, method, "http://"+address+r[0], strings.NewReader(r[2]))
	if err != nil {
		return 0
	}
	request.Header.Set("Content-Type", r[1])
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		return 0
	}
	defer answer.Body.Close()
	if slowly {
		time.Sleep(2 * time.Second)
	}
	_, _ = io.Copy(io.Discard, answer.Body)
	return answer.StatusCode
}

// memoryOf returns the most resident memory that a process has had, and what it has
// now.
func memoryOf(tb testing.TB, pid int) (most, now int) {
	tb.Helper()
	text, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/status")
	if err != nil {
		tb.Fatal(err)
	}
	for line := range bytes.Lines(text) {
		words := strings.Fields(string(line))
		switch {
		case len(words) < 2:
		case words[0] == "VmHWM:":
			most, _ = strconv.Atoi(words[1])
		case words[0] == "VmRSS:":
			now, _ = strconv.Atoi(words[1])
		}
	}
	return most << 10, now << 10
}
