package api

import (
	"bufio"
	"fmt"
	"log/slog"
	"net"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/prometheus/client_golang/prometheus"

	"resawd/api/shop"
)

// TestHold: bodies and answers share 64 MiB. Small ones are not counted, and what is
// given back can be taken again.
func TestHold(t *testing.T) {
	a := newAdmission()
	all := make([]hold, 64)
	for i := range all {
		all[i].of = a
		if err := all[i].grow(1 << 20); err != nil {
			t.Fatalf("MiB %d: %v", i+1, err)
		}
	}
	more := hold{of: a}
	if err := more.grow(16 << 10); err != nil {
		t.Errorf("a small one: %v", err)
	}
	if err := more.grow(16<<10 + 1); err == nil {
		t.Error("there is room for more than 64 MiB")
	}
	more.release()
	all[7].release()
	if err := more.grow(1 << 20); err != nil {
		t.Errorf("in the place of another: %v", err)
	}
	if err := more.grow(1 << 20); err == nil {
		t.Error("one MiB was given back, and two are there")
	}
}

// TestBodiesShareMemory: of 80 bodies of a mebibyte that stop before their last byte, 64
// find room at most; the others are sent away, and small requests are answered meanwhile.
// When the bodies end, their memory is given back.
func TestBodiesShareMemory(t *testing.T) {
	const bodies, size = 80, 1<<20 - 1
	demo, err := shop.Demo()
	if err != nil {
		t.Fatal(err)
	}
	server := httptest.NewServer(New(Config{Shop: demo, Build: "test", Log: slog.New(slog.DiscardHandler), Metrics: prometheus.NewRegistry(), BodyLimit: 1 << 20}))
	defer server.Close()
	text := func(path string) (status int, body string) {
		answer := httptest.NewRecorder()
		server.Config.Handler.ServeHTTP(answer, httptest.NewRequest(http.MethodGet, path, http.NoBody))
		return answer.Code, answer.Body.String()
	}
	metric := func(name string) (value float64) {
		_, all := text("/metrics")
		_, rest, _ := strings.Cut(all, "\n"+name+" ")
		_, _ = fmt.Sscan(rest, &value)
		return value
	}

	body := strings.Repeat(" ", size)
	var open []net.Conn
	defer func() {
		for _, conn := range open {
			conn.Close()
		}
	}()
	for range bodies {
		conn, err := net.Dial("tcp", server.Listener.Addr().String())
		if err != nil {
			t.Fatal(err)
		}
		open = append(open, conn)
		go func() {
			_, _ = fmt.Fprintf(conn, "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", size, body[1:])
		}()
	}
	eventually(t, "16 that are sent away", func() bool { return metric(`resawd_problems_total{type="/problems/unavailable"}`) >= bodies-64 })
	if metric("resawd_held_bytes") == 0 {
		t.Error("nothing is held")
	}
	if status, answer := text("/v1/dial?leaf_thickness=0.05&kerf=0.045&pick=turns&format=text"); status != http.StatusOK || answer != "0.95" {
		t.Errorf("meanwhile: %d %s", status, answer)
	}
	for _, conn := range open {
		_, _ = conn.Write([]byte(" ")) // those that were sent away are closed
	}
	eventually(t, "no memory that is held", func() bool { return metric("resawd_held_bytes") == 0 })
	read := 0
	for _, conn := range open {
		if answer, err := http.ReadResponse(bufio.NewReader(conn), nil); err == nil && answer.StatusCode == http.StatusBadRequest {
			read++
		}
	}
	if read == 0 {
		t.Error("no body was read to its end")
	}
}
