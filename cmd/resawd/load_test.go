package main

import (
	"bufio"
	"bytes"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httputil"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strconv"
	"strings"
	"sync"
	"sync/atomic"
	"testing"
	"time"
)

// built builds the program as the Dockerfile does.
func built(tb testing.TB) string {
	tb.Helper()
	program := filepath.Join(tb.TempDir(), "resawd")
	build := exec.Command("go", "build", "-trimpath", "-ldflags=-s -w", "-o", program, ".")
	build.Env = append(os.Environ(), "CGO_ENABLED=0")
	if text, err := build.CombinedOutput(); err != nil {
		tb.Fatalf("%v: %s", err, text)
	}
	return program
}

// served starts the program as a process of its own that serves, and gives its
// address and its process ID. RESAWD_UNDER is what to start it with, such as
// "systemd-run --scope -p CPUQuota=50%".
func served(tb testing.TB, env ...string) (address string, pid int) {
	tb.Helper()
	address = freePort(tb)
	words := append(strings.Fields(os.Getenv("RESAWD_UNDER")), built(tb), "serve")
	command := process(tb, append(env, "RESAWD_LISTEN="+address), words[0], words[1:]...)
	untilReady(tb, address)
	return address, command.Process.Pid
}

// asker is a connection that asks and reads as cheaply as can be, so that what is
// measured is the service.
type asker struct {
	net.Conn
	in *bufio.Reader
}

func connect(address string) (*asker, error) {
	conn, err := net.Dial("tcp", address)
	if err != nil {
		return nil, err
	}
	return &asker{conn, bufio.NewReader(conn)}, nil
}

// ask sends a request, reads its answer to the end and gives the status.
func (a *asker) ask(request []byte) (status int, err error) {
	if _, err := a.Write(request); err != nil {
		return 0, err
	}
	size, chunked := 0, false
	for {
		line, err := a.in.ReadSlice('\n')
		if err != nil {
			return 0, err
		}
		line = bytes.TrimSuffix(line, []byte("\r\n"))
		if len(line) == 0 {
			break
		}
		if status == 0 {
			status, err = strconv.Atoi(string(line[len("HTTP/1.1 "):][:3]))
		} else if text, ok := bytes.CutPrefix(line, []byte("Content-Length: ")); ok {
			size, err = strconv.Atoi(string(text))
		}
		if err != nil {
			return 0, err
		}
		chunked = chunked || string(line) == "Transfer-Encoding: chunked"
	}
	if chunked {
		if _, err = io.Copy(io.Discard, httputil.NewChunkedReader(a.in)); err == nil {
			size = len("\r\n") // after the last chunk
		}
	}
	return status, errors.Join(err, discard(a.in, size))
}

func discard(in *bufio.Reader, size int) error {
	_, err := in.Discard(size)
	return err
}

// rate sends a request over and over on a few connections and gives the answers a
// second, without refusals for want of room.
func rate(b *testing.B, address string, request []byte, connections int, lasts time.Duration) float64 {
	b.Helper()
	var done atomic.Int64
	var wait sync.WaitGroup
	start := time.Now()
	for range connections {
		wait.Go(func() {
			a, err := connect(address)
			if err != nil {
				b.Error(err)
				return
			}
			defer a.Close()
			for time.Since(start) < lasts {
				switch status, err := a.ask(request); {
				case err == nil && status == http.StatusOK:
					done.Add(1)
				case err != nil || status != http.StatusServiceUnavailable:
					b.Errorf("status %d, %v", status, err)
					return
				}
			}
		})
	}
	wait.Wait()
	return float64(done.Load()) / time.Since(start).Seconds()
}

// answered is one answer to a steady load.
type answered struct {
	status int
	took   time.Duration
}

// steadily asks so many times a second, whether or not the answers keep up. An
// answer's time counts from when its request was due, if the answer before it was
// late, so that one wait is not told once for all that waited.
func steadily(b *testing.B, address string, request []byte, connections int, perSecond float64, lasts time.Duration) []answered {
	b.Helper()
	every := time.Duration(float64(connections) / perSecond * float64(time.Second))
	lists := make([][]answered, connections)
	var wait sync.WaitGroup
	start := time.Now()
	for i := range connections {
		wait.Go(func() {
			a, err := connect(address)
			if err != nil {
				b.Error(err)
				return
			}
			defer a.Close()
			first := start.Add(every * time.Duration(i) / time.Duration(connections))
			for due := first; due.Before(start.Add(lasts)); due = due.Add(every) {
				from := due
				if wait := time.Until(due); wait > 0 {
					time.Sleep(wait)
					from = time.Now() // the sleeper's own lateness is not the service's
				}
				status, err := a.ask(request)
				if err != nil {
					b.Error(err)
					return
				}
				lists[i] = append(lists[i], answered{status, time.Since(from)})
			}
		})
	}
	wait.Wait()
	return slices.Concat(lists...)
}

// reportLate reports the percentiles of answers' times.
func reportLate(b *testing.B, prefix string, list []answered) {
	b.Helper()
	if len(list) == 0 {
		b.Errorf("no answer is %s", prefix)
		return
	}
	slices.SortFunc(list, func(x, y answered) int { return int(x.took - y.took) })
	for _, p := range []float64{50, 99, 99.9} {
		took := list[int(float64(len(list))*p/100)].took
		b.ReportMetric(float64(took.Microseconds())/1000, fmt.Sprintf("%sp%v-ms", prefix, p))
	}
}

// processorSeconds is what a process has used of the processors so far.
func processorSeconds(tb testing.TB, pid int) float64 {
	tb.Helper()
	text, err := os.ReadFile("/proc/" + strconv.Itoa(pid) + "/stat")
	if err != nil {
		tb.Fatal(err)
	}
	_, after, _ := strings.Cut(string(text), ") ")
	words := strings.Fields(after)
	user, errUser := strconv.Atoi(words[11])
	system, errSystem := strconv.Atoi(words[12])
	if err := errors.Join(errUser, errSystem); err != nil {
		tb.Fatal(err)
	}
	const ticks = 100 // a second, on every Linux
	return float64(user+system) / ticks
}

func median(values []float64) float64 {
	slices.Sort(values)
	return values[len(values)/2]
}
