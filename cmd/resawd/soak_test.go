package main

import (
	"io"
	"math/rand/v2"
	"net/http"
	"os"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"

	"resawd/api"
)

// everyday are requests as a shop sends them, some of them wrong.
func everyday() [][3]string {
	const json = "application/json"
	return [][3]string{
		{"/v1/dial?leaf_thickness=0.05&kerf=0.045&leaf_count=12"}, {"/v1/dial?leaf_thickness=0.05&pick=turns&format=text"},
		{"/v1/yield?board_thickness=2&leaf_thickness=0.05&kerf=0.045"}, {api.DemoRun + "&format=html"}, {api.DemoRun},
		{api.DemoRun + "&format=xlsx"}, {"/v1/dial", json, `{"leaf_thickness": 0.05, "kerf": 0.045}`}, {"/v1/dial", json, `{"leaf_thickness": -1}`}, {"/v1/nowhere"},
		{"/v1/dial", "text/csv", "leaf_thickness,kerf\n" + strings.Repeat("0.05,0.045\n", 100)},
		{"/v1/plan", json, `{"boards":[{"thickness":2,"width":8,"length":48,"price":60}],"parts":[{"thickness":0.14,"width":7.5,"length":20,"quantity":4,"matched":2},{"thickness":0.09,"width":4,"length":30,"quantity":9}],"kerf":0.045,"time_limit_seconds":0.3}`},
		{"/v1/shop"}, {"/openapi.json"},
	}
}

// TestSoak keeps a service at work for RESAWD_SOAK, such as 30m, at half of what it can
// do: goroutines, open files and memory do not grow from the first half of the time to
// the second.
func TestSoak(t *testing.T) {
	t.Parallel()
	lasts := 4 * time.Second
	if text := os.Getenv("RESAWD_SOAK"); text != "" {
		var err error
		if lasts, err = time.ParseDuration(text); err != nil {
			t.Fatal(err)
		}
	} else if testing.Short() {
		t.Skip("takes a while")
	}
	address := freePort(t)
	process(t, []string{"RESAWD_LISTEN=" + address}, binary(t), "serve")
	untilReady(t, address)
	requests := everyday()
	until := time.Now().Add(lasts)
	var asked, refused, failed atomic.Int64
	var clients sync.WaitGroup
	for client := range 4 {
		g := rand.New(rand.NewPCG(2, uint64(client)))
		clients.Go(func() {
			for time.Now().Before(until) {
				began := time.Now()
				asked.Add(1)
				switch status := send(t.Context(), address, requests[g.IntN(len(requests))], false); {
				case status == http.StatusServiceUnavailable:
					refused.Add(1)
				case status == 0 || status >= 500:
					failed.Add(1)
				}
				time.Sleep(time.Since(began)) // half of what these clients could ask
			}
		})
	}
	names := []string{"go_goroutines", "process_open_fds", "process_resident_memory_bytes"}
	slack := []float64{20, 20, 64 << 20} // what the first seconds may add
	samples := map[string][]float64{}
	for time.Now().Before(until) {
		time.Sleep(max(lasts/60, 100*time.Millisecond))
		for name, value := range measured(t, address, names) {
			samples[name] = append(samples[name], value)
		}
	}
	clients.Wait()
	if failed.Load() > 0 || refused.Load() > asked.Load()/2 { // beside other work some find no place
		t.Errorf("of %d requests %d failed, %d were refused", asked.Load(), failed.Load(), refused.Load())
	}
	for i, name := range names {
		half := len(samples[name]) / 2
		before, after := median(samples[name][:half]), median(samples[name][half:])
		t.Logf("%s: %.0f in the first half, %.0f in the second", name, before, after)
		if after > 1.1*before+slack[i] {
			t.Errorf("%s grows from %.0f to %.0f", name, before, after)
		}
	}
	t.Logf("%d requests in %s, %d refused", asked.Load(), lasts, refused.Load())
}

// measured reads some metrics, those of them that there are.
func measured(tb testing.TB, address string, names []string) map[string]float64 {
	tb.Helper()
	answer, err := http.Get("http://" + address + "/metrics")
	if err != nil {
		tb.Fatal(err)
	}
	defer answer.Body.Close()
	text, err := io.ReadAll(answer.Body)
	if err != nil {
		tb.Fatal(err)
	}
	found := map[string]float64{}
	for _, name := range names {
		_, rest, ok := strings.Cut(string(text), "\n"+name+" ")
		if !ok {
			continue
		}
		word, _, _ := strings.Cut(rest, "\n")
		if found[name], err = strconv.ParseFloat(word, 64); err != nil {
			tb.Fatal(err)
		}
	}
	return found
}
