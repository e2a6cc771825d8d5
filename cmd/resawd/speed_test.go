package main

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/http/httptest"
	"slices"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"

	"github.com/labstack/echo/v4"

	"resawd/api/calculator"
	"resawd/api/endpoint"
	"resawd/calc/length"
)

// BenchmarkSpeedRatio compares a calculator of the running service, with
// everything that stands around it, to a bare Echo handler that binds the same request and answers the same
// struct precomputed. Rounds alternate; the median of the paired ratios is what
// counts. Run it with -benchtime=1x.
func BenchmarkSpeedRatio(b *testing.B) {
	ours := start(b)
	defer ours.stop()
	bare := httptest.NewServer(bareDial())
	defer bare.Close()
	const body = `{"leaf_thickness":0.05,"kerf":0.045,"leaf_count":3}`
	for name, request := range map[string]string{
		"GET":  "GET /v1/dial?leaf_thickness=0.05&kerf=0.045&leaf_count=3 HTTP/1.1\r\nHost: x\r\n\r\n",
		"POST": fmt.Sprintf("POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(body), body),
	} {
		b.Run(name, func(b *testing.B) {
			for range b.N {
				var ratios, work, rates []float64
				for range 21 {
					a, aWork := rate(b, bare.Listener.Addr().String(), request)
					z, zWork := rate(b, ours.address(), request)
					ratios, work, rates = append(ratios, z/a), append(work, aWork/zWork), append(rates, z)
				}
				b.ReportMetric(median(ratios), "ratio")
				b.ReportMetric(median(work), "ratio-by-cpu-time")
				b.ReportMetric(median(rates), "requests/s")
			}
		})
	}
}

func median(values []float64) float64 {
	slices.Sort(values)
	return values[len(values)/2]
}

// rate sends a request over and over on a few connections and gives the
// requests a second, and the processor time that each took on both sides: on a
// busy machine the second is the steadier.
func rate(b *testing.B, address, request string) (perSecond, cpuSeconds float64) {
	b.Helper()
	const connections, lasts = 8, 300 * time.Millisecond
	var done atomic.Int64
	var wait sync.WaitGroup
	start, cpu := time.Now(), cpuTime(b)
	for range connections {
		wait.Go(func() {
			conn, err := net.Dial("tcp", address)
			if err != nil {
				b.Error(err)
				return
			}
			defer conn.Close()
			in := bufio.NewReader(conn)
			for time.Since(start) < lasts {
				if err := exchange(conn, in, request); err != nil {
					b.Error(err)
					return
				}
				done.Add(1)
			}
		})
	}
	wait.Wait()
	n := float64(done.Load())
	return n / time.Since(start).Seconds(), (cpuTime(b) - cpu) / n
}

// cpuTime is what this process has used so far, in seconds.
func cpuTime(b *testing.B) float64 {
	b.Helper()
	var use syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_SELF, &use); err != nil {
		b.Fatal(err)
	}
	return float64(use.Utime.Nano()+use.Stime.Nano()) / 1e9
}

func exchange(conn net.Conn, in *bufio.Reader, request string) error {
	if _, err := io.WriteString(conn, request); err != nil {
		return err
	}
	answer, err := http.ReadResponse(in, nil)
	if err != nil {
		return err
	}
	defer answer.Body.Close()
	if answer.StatusCode != http.StatusOK {
		return fmt.Errorf("status %s", answer.Status)
	}
	_, err = io.Copy(io.Discard, answer.Body)
	return err
}

// bareRequest is the request as plain Go, for Echo to bind.
type bareRequest struct {
	Units         string  `json:"units" query:"units"`
	LeafThickness float64 `json:"leaf_thickness" query:"leaf_thickness"`
	Kerf          float64 `json:"kerf" query:"kerf"`
	LeafCount     int     `json:"leaf_count" query:"leaf_count"`
	Rounding      string  `json:"rounding" query:"rounding"`
}

func bareDial() http.Handler {
	units, bench, blade, rounding := "in", "bench", "half-inch", "step"
	zero, one, three, hundred := 0, length.Inch, 3, 100
	leaf := 50 * length.Thou
	answer := &calculator.DialAnswer{
		Advance: leaf, AdvanceSet: leaf, Turns: 0.95, WholeTurns: 0, Divisions: 95,
		Used: &calculator.DialRequest{
			Settings:      calculator.Settings{Units: &units, Saw: &bench, Blade: &blade},
			LeafThickness: &leaf, Kerf: &leaf, LeafCount: &three, Skim: &one, Lead: &leaf, DivisionsPerTurn: &hundred,
			StartReading: &zero, Travel: &one, Retract: &one, Rounding: &rounding,
		},
		Notes: endpoint.Notes{Units: "in", Warnings: []string{"kerf, lead, divisions per turn, travel: from the built-in demo shop; give your own, or start the service with --shop FILE"},
			Sources: []string{"advance = kerf + leaf thickness (definition)", "turns = advance / lead, one division = lead / divisions per turn (general engineering practice, from memory)"}},
	}
	for i := range 3 {
		answer.Steps = append(answer.Steps, calculator.DialStep{Cut: i + 1, Purpose: "leaf", Position: leaf, Turns: 0.95, WholeTurns: 0, Divisions: 95, Reading: 95, Leaf: &leaf, Deviation: &leaf})
	}
	e := echo.New()
	handler := func(c echo.Context) error {
		var q bareRequest
		if err := c.Bind(&q); err != nil {
			return err
		}
		return c.JSON(http.StatusOK, answer)
	}
	e.GET("/v1/dial", handler)
	e.POST("/v1/dial", handler)
	return e
}
