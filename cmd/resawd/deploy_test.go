package main

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"os"
	"os/exec"
	"regexp"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// TestDeployNamesRealMetrics: alert rules and dashboard ask only for metrics and labels
// that the service has.
func TestDeployNamesRealMetrics(t *testing.T) {
	s := start(t, "--shop", "../../api/shop/demo.yaml")
	defer s.stop()
	for _, body := range []string{`{"boards": [{"thickness": 0.5}], "parts": [{"thickness": 0.05, "quantity": 1}], "kerf": 0.05}`, `{}`} {
		answer, err := http.Post(s.url+"v1/plan", "application/json", strings.NewReader(body))
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
	}
	_, metrics := s.get(t, "metrics")
	name := regexp.MustCompile(`\b(resawd|process|go)_[a-z_]+\b`)
	selector := regexp.MustCompile(`\b(resawd_[a-z_]+)\{([^}]*)\}`)
	label := regexp.MustCompile(`(\w+)(?:=~|!=|!~|=)\\?"([^"\\]*)`)
	found := 0
	for _, file := range []string{"prometheus/rules.yml", "grafana/dashboards/resawd.json"} {
		text, err := os.ReadFile("../../deploy/" + file)
		if err != nil {
			t.Fatal(err)
		}
		for _, metric := range name.FindAllString(string(text), -1) {
			found++
			if !strings.Contains(metrics, "\n"+metric+"{") && !strings.Contains(metrics, "\n"+metric+" ") {
				t.Errorf("%s asks for %s, which the service does not have", file, metric)
			}
		}
		for _, of := range selector.FindAllStringSubmatch(string(text), -1) {
			for _, l := range label.FindAllStringSubmatch(of[2], -1) {
				if found++; !has(metrics, of[1], l[1], l[2]) {
					t.Errorf("%s asks for %s by %s, which the service does not have", file, of[1], l[0])
				}
			}
		}
	}
	if found < 30 {
		t.Errorf("only %d metrics and labels are named", found)
	}
}

// has reports whether metrics have a label of a series; of the types of problems, which
// are all there from the start, also whether they have the value.
func has(metrics, series, label, value string) bool {
	if label == "instance" || label == "job" { // Prometheus adds these
		return true
	}
	if label != "type" {
		value = ""
	}
	return regexp.MustCompile(`(?m)^` + series + `\{.*\b` + label + `="` + regexp.QuoteMeta(value)).MatchString(metrics)
}

// freePort is an address that nobody listens on.
func freePort(tb testing.TB) string {
	tb.Helper()
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		tb.Fatal(err)
	}
	defer l.Close()
	return l.Addr().String()
}

// process starts a program that ends with the test.
func process(tb testing.TB, env []string, name string, args ...string) *exec.Cmd {
	tb.Helper()
	command := exec.Command(name, args...)
	command.Env = append(append(os.Environ(), asProgram+"=1", "GORACE=halt_on_error=1"), env...) // a race ends it, and the test sees that
	if err := command.Start(); err != nil {
		tb.Fatal(err)
	}
	tb.Cleanup(func() {
		_ = command.Process.Kill()
		_, _ = command.Process.Wait()
	})
	return command
}

// untilReady waits until a service at an address is ready.
func untilReady(tb testing.TB, address string) {
	tb.Helper()
	until(tb, "a service that is ready at "+address, func() bool {
		answer, err := http.Get("http://" + address + "/readyz")
		if err != nil {
			return false
		}
		answer.Body.Close()
		return answer.StatusCode == http.StatusOK
	})
}

// TestRollingRestart restarts two replicas behind a proxy one after the other,
// twice, under load: no request fails.
func TestRollingRestart(t *testing.T) {
	t.Parallel()
	if testing.Short() {
		t.Skip("takes a while")
	}
	haproxy, err := exec.LookPath("haproxy")
	if err != nil {
		if os.Getenv("RESAWD_REQUIRE_TOOLS") != "" {
			t.Fatal(err)
		}
		t.Skip("there is no haproxy")
	}
	program, front, replicas := binary(t), freePort(t), []string{freePort(t), freePort(t)}
	run := func(address string) *exec.Cmd {
		c := process(t, []string{"RESAWD_LISTEN=" + address, "RESAWD_DRAIN_DELAY=1s"}, program, "serve")
		untilReady(t, address)
		return c
	}
	running := []*exec.Cmd{run(replicas[0]), run(replicas[1])}
	process(t, []string{"RESAWD_FRONT=" + front, "RESAWD_A=" + replicas[0], "RESAWD_B=" + replicas[1]}, haproxy, "-f", "../../deploy/haproxy/haproxy.cfg")
	untilReady(t, front)

	var stop atomic.Bool
	var answered, failed atomic.Int64
	var clients sync.WaitGroup
	for i := range 8 {
		clients.Go(func() { load(t, front, i, &stop, &answered, &failed) })
	}
	for range 2 {
		for i, address := range replicas {
			if err := running[i].Process.Signal(syscall.SIGTERM); err != nil {
				t.Fatal(err)
			}
			if state, err := running[i].Process.Wait(); err != nil || state.ExitCode() != 0 {
				t.Errorf("the replica ended with %v, %v", state, err)
			}
			running[i] = run(address)
			until(t, "requests from the proxy again", func() bool {
				const asked = `resawd_http_requests_total{method="GET",route="/v1/dial",status="200"}`
				return measured(t, address, []string{asked})[asked] > 0
			})
		}
	}
	stop.Store(true)
	clients.Wait()
	if failed.Load() > 0 || answered.Load() < 500 {
		t.Errorf("%d requests failed, %d were answered", failed.Load(), answered.Load())
	}
	t.Logf("%d requests answered, %d failed", answered.Load(), failed.Load())
}

// load asks by GET and POST, on one connection while that lasts, about 200 times
// a second.
func load(t *testing.T, address string, i int, stop *atomic.Bool, answered, failed *atomic.Int64) {
	t.Helper()
	const body = `{"leaf_thickness": 0.05, "kerf": 0.045}`
	requests := []string{
		"GET /v1/dial?leaf_thickness=0.05&kerf=0.045 HTTP/1.1\r\nHost: x\r\n\r\n",
		fmt.Sprintf("POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(body), body),
	}
	var conn net.Conn
	var in *bufio.Reader
	for n := i; !stop.Load(); n++ {
		if conn == nil {
			var err error
			if conn, err = net.Dial("tcp", address); err != nil {
				t.Error(err)
				return
			}
			in = bufio.NewReader(conn)
		}
		_, err := io.WriteString(conn, requests[n%2])
		var answer *http.Response
		if err == nil {
			answer, err = http.ReadResponse(in, nil)
		}
		if err == nil {
			_, err = io.Copy(io.Discard, answer.Body)
		}
		if err != nil || answer.StatusCode != http.StatusOK {
			failed.Add(1)
			conn.Close()
			conn = nil
			continue
		}
		answered.Add(1)
		if answer.Close {
			conn.Close()
			conn = nil
		}
		time.Sleep(5 * time.Millisecond)
	}
	if conn != nil {
		conn.Close()
	}
}

// TestDeploySetsRealFlags: what the files of deploy, the Dockerfile and the README
// set in the environment are flags of serve, and the files that they mount exist.
func TestDeploySetsRealFlags(t *testing.T) {
	_, help, _ := capture(t, "", "serve", "--help")
	name := regexp.MustCompile(`\bRESAWD_[A-Z_]+`)
	elsewhere := map[string]bool{"RESAWD_FRONT": true, "RESAWD_A": true, "RESAWD_B": true} // what haproxy's own file asks for
	found := 0
	for _, file := range []string{"deploy/compose/compose.yaml", "deploy/kubernetes/resawd.yaml", "deploy/systemd/resawd.service", "deploy/haproxy/haproxy.cfg", "Dockerfile"} {
		text, err := os.ReadFile("../../" + file)
		if err != nil {
			t.Fatal(err)
		}
		for _, variable := range name.FindAllString(string(text), -1) {
			flag := "--" + strings.ReplaceAll(strings.ToLower(strings.TrimPrefix(variable, "RESAWD_")), "_", "-")
			if found++; !strings.Contains(help, "  "+flag+"\n") && !elsewhere[variable] {
				t.Errorf("%s sets %s, and there is no flag %s", file, variable, flag)
			}
		}
	}
	if found < 12 {
		t.Errorf("only %d variables are set", found)
	}
	compose, err := os.ReadFile("../../deploy/compose/compose.yaml")
	if err != nil {
		t.Fatal(err)
	}
	mounts := regexp.MustCompile(`(?m)^ +- (\.\.?/[^:]+):`).FindAllStringSubmatch(string(compose), -1)
	for _, m := range mounts {
		if m[1] == "./keys.yaml" { // made by who runs it
			continue
		}
		if _, err := os.Stat("../../deploy/compose/" + m[1]); err != nil {
			t.Errorf("compose mounts what is not there: %v", err)
		}
	}
	if len(mounts) < 5 {
		t.Errorf("only %d files are mounted", len(mounts))
	}
}
