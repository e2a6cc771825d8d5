package main

import (
	"bytes"
	"errors"
	"io"
	"net/http"
	"os"
	"strings"
	"testing"
	"time"
)

// BenchmarkBulk sends a long table to a service that has one core. Run it with
// -benchtime=1x.
func BenchmarkBulk(b *testing.B) {
	const rows = 1_000_000
	address, pid := served(b, "GOMAXPROCS=1")
	table := "leaf_thickness,kerf,leaf_count\n" + strings.Repeat("0.05,0.045,1\n", rows)
	for b.Loop() {
		used, start := processorSeconds(b, pid), time.Now()
		answer, err := http.Post("http://"+address+"/v1/dial", "text/csv", strings.NewReader(table))
		if err != nil {
			b.Fatal(err)
		}
		if lines := countLines(b, answer.Body); lines != rows+1 {
			b.Errorf("%d lines answer a header and %d rows", lines, rows)
		}
		b.ReportMetric(rows/time.Since(start).Seconds(), "rows/s")
		b.ReportMetric(rows/(processorSeconds(b, pid)-used), "rows/s-of-a-core")
		most, _ := memoryOf(b, pid)
		b.ReportMetric(float64(most)/(1<<20), "peak-MiB")
	}
}

func countLines(b *testing.B, r io.ReadCloser) (lines int) {
	b.Helper()
	defer r.Close()
	buf := make([]byte, 64<<10)
	for {
		n, err := r.Read(buf)
		lines += bytes.Count(buf[:n], []byte("\n"))
		if errors.Is(err, io.EOF) {
			return lines
		}
		if err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkStart tells how soon a service is ready once it is started, and what
// memory it has when nobody asks anything. Run it with -benchtime=1x.
func BenchmarkStart(b *testing.B) {
	program := built(b)
	for b.Loop() {
		var ready, idle []float64
		for range 11 {
			address, began := freePort(b), time.Now()
			pid := process(b, []string{"RESAWD_LISTEN=" + address}, program, "serve").Process.Pid
			for {
				if answer, err := http.Get("http://" + address + "/readyz"); err == nil {
					answer.Body.Close()
					break
				}
				time.Sleep(time.Millisecond)
			}
			ready = append(ready, float64(time.Since(began).Microseconds())/1000)
			time.Sleep(300 * time.Millisecond)
			_, now := memoryOf(b, pid)
			idle = append(idle, float64(now)/(1<<20))
		}
		file, err := os.Stat(program)
		if err != nil {
			b.Fatal(err)
		}
		b.ReportMetric(float64(file.Size())/1e6, "program-MB")
		b.ReportMetric(median(ready), "ready-ms")
		b.ReportMetric(median(idle), "idle-MiB")
	}
}
