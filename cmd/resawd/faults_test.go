package main

import (
	"bufio"
	"fmt"
	"io"
	"log"
	"net"
	"net/http"
	"net/url"
	"os"
	"os/exec"
	"strings"
	"syscall"
	"testing"
	"time"
)

// TestHostileRequests sends, byte for byte, what no client should send. Each is
// answered with a status below 500, or not at all if HTTP has no answer for it;
// afterwards the service works as before.
func TestHostileRequests(t *testing.T) {
	s := start(t, "--read-timeout", "1s", "--write-timeout", "3s")
	defer s.stop()
	post := func(path, body string, headers ...string) string {
		return "POST " + path + " HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\n" + strings.Join(headers, "") +
			fmt.Sprintf("Content-Length: %d\r\n\r\n%s", len(body), body)
	}
	get := func(target string, headers ...string) string {
		return "GET " + target + " HTTP/1.1\r\nHost: x\r\n" + strings.Join(headers, "") + "\r\n"
	}
	const dial = "/v1/dial?leaf_thickness=0.05&kerf=0.045"
	for _, c := range []struct {
		name, sent string
		status     int
	}{
		{"no HTTP", "hello\r\n\r\n", 400},
		{"no host", "GET / HTTP/1.1\r\n\r\n", 400},
		{"two hosts", "GET / HTTP/1.1\r\nHost: a\r\nHost: b\r\n\r\n", 400},
		{"an older HTTP", "GET " + dial + " HTTP/1.0\r\n\r\n", 200},
		{"an HTTP to come", "GET / HTTP/9.9\r\nHost: x\r\n\r\n", 505},
		{"a method of nobody", "SAW " + dial + " HTTP/1.1\r\nHost: x\r\n\r\n", 405},
		{"a method in small letters", "get " + dial + " HTTP/1.1\r\nHost: x\r\n\r\n", 405},
		{"TRACE", "TRACE " + dial + " HTTP/1.1\r\nHost: x\r\n\r\n", 405},
		{"CONNECT", "CONNECT elsewhere:443 HTTP/1.1\r\nHost: elsewhere:443\r\n\r\n", 404},
		{"an override of the method", get(dial, "X-HTTP-Method-Override: DELETE\r\n"), 200},
		{"a path above all", get("/v1/../../etc/passwd"), 404},
		{"a path above all, encoded", get("/problems/..%2f..%2fetc%2fpasswd"), 404},
		{"two slashes", get("//v1/dial?leaf_thickness=0.05"), 404},
		{"a slash too many", get("/v1/dial/?leaf_thickness=0.05"), 404},
		{"a letter encoded", get("/v1/%64ial?leaf_thickness=0.05"), 404},
		{"a zero byte in the path", get("/v1/dial%00?leaf_thickness=0.05"), 404},
		{"a bad escape in the path", get("/v1/%zz"), 400},
		{"a bad escape in the query", get("/v1/dial?leaf_thickness=%zz"), 400},
		{"a whole address as path", get("http://elsewhere/v1/dial?leaf_thickness=0.05"), 200},
		{"two lengths", "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Length: 5\r\nContent-Length: 6\r\n\r\n{}{}{}", 400},
		{"a length and chunks", "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 5\r\nTransfer-Encoding: chunked\r\n\r\n2\r\n{}\r\n0\r\n\r\n", 422},
		{"a length below none", "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Length: -1\r\n\r\n", 400},
		{"a coding of nobody", "POST /v1/dial HTTP/1.1\r\nHost: x\r\nTransfer-Encoding: sawdust\r\n\r\n", 501},
		{"chunks that are none", "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nTransfer-Encoding: chunked\r\n\r\nzz\r\n", 400},
		{"a header of two lines", "GET / HTTP/1.1\r\nHost: x\r\nX-A: b\r\n c\r\n\r\n", 200},
		{"a header without a name", "GET / HTTP/1.1\r\nHost: x\r\n: b\r\n\r\n", 400},
		{"a header of 20 kB", get("/", "X-A: "+strings.Repeat("a", 21_000)+"\r\n"), 431},
		{"a thousand headers", get("/", strings.Repeat("X-A: bcdefghijklmnopqrst\r\n", 1000)), 431},
		{"a query of 20 kB", get("/v1/dial?" + strings.Repeat("a=1&", 6000)), 431},
		{"a body too long", post("/v1/dial", strings.Repeat(" ", 1<<20+1)), 413},
		{"a body of nothing but blanks", post("/v1/dial", strings.Repeat(" ", 1<<20)), 400},
		{"brackets in brackets", post("/v1/plan", strings.Repeat("[", 500_000)), 400},
		{"objects in objects", post("/v1/run", strings.Repeat(`{"board":`, 100_000)), 400},
		{"a list of lists", post("/v1/gauge", `{"readings":`+strings.Repeat("[", 50_000)+strings.Repeat("]", 50_000)+`}`), 400},
		{"bytes that are no UTF-8", post("/v1/run", "{\"board\":{\"name\":\"\xff\xfe\"}}"), 400},
		{"half a surrogate", post("/v1/run", `{"board":{"name":"\ud800"}}`), 400},
		{"a field twice", post("/v1/dial", `{"kerf":1,"kerf":2,"leaf_thickness":0.05}`), 400},
		{"a field twice, once escaped", post("/v1/dial", `{"kerf":1,"k\u0065rf":2,"leaf_thickness":0.05}`), 400},
		{"a number of 100 kB", post("/v1/dial", `{"leaf_thickness":`+strings.Repeat("1", 100_000)+`}`), 400},
		{"an exponent of 100 kB", post("/v1/dial", `{"leaf_thickness":1e`+strings.Repeat("9", 100_000)+`}`), 400},
		{"a bomb, compressed", post("/v1/dial", "\x1f\x8b\x08", "Content-Encoding: gzip\r\n"), 415},
		{"an Accept of thousands", get(dial, "Accept: "+strings.Repeat("a/b;q=0.1,", 1400)+"*/*;q=0\r\n"), 406},
		{"an Accept of nonsense", get(dial, "Accept: ;;;,,,q=\r\n"), 406},
		{"a format that is a path", get(dial + "&format=../../etc/passwd"), 400},
		{"a pick that is deep", get(dial + "&pick=" + strings.Repeat("steps/0/", 1500)), 400},
		{"a pick beyond all lists", get(dial + "&pick=steps/99999999999999999999"), 400},
		{"a pick below all lists", get(dial + "&pick=steps/-1/turns"), 400},
		{"a request ID with a line break", get(dial, "X-Request-Id: a\rSet-Cookie: b\r\n"), 400},
		{"a request ID of blanks and quotes", get(dial, "X-Request-Id: \" <script>\r\n"), 200},
		{"a name with a line break", get("/v1/run?board_thickness=1&board_width=5&board_length=10&leaf_thickness=0.1&format=html&board_name=a%0d%0aSet-Cookie:%20b"), 200},
		{"a name with a tag", get("/v1/run?board_thickness=1&board_width=5&board_length=10&leaf_thickness=0.1&format=svg&board_name=%3Cscript%3E"), 200},
		{"a length in other digits", get("/v1/dial?leaf_thickness=" + url.QueryEscape("٠.٠٥")), 400},
		{"a length in wide digits", get("/v1/dial?leaf_thickness=" + url.QueryEscape("０．０５")), 400},
		{"a length that is one character", get("/v1/dial?leaf_thickness=%C2%BD"), 200},
		{"a unit in another script", get("/v1/dial?leaf_thickness=" + url.QueryEscape("5 мм")), 400},
		{"a unit with a joiner in it", get("/v1/dial?leaf_thickness=" + url.QueryEscape("5 m\u200dm")), 400},
	} {
		t.Run(c.name, func(t *testing.T) {
			conn := s.dial(t)
			go func() { _, _ = io.WriteString(conn, c.sent) }() // it may be answered before it is sent
			answer, body := conn.hear(t, patience)
			if answer.StatusCode != c.status {
				t.Errorf("status %d, want %d: %.300s", answer.StatusCode, c.status, body)
			}
			if len(answer.Header.Values("Set-Cookie")) > 0 || strings.Contains(body, "<script>") {
				t.Errorf("it was let in: %v %.300s", answer.Header, body)
			}
		})
	}
	if status, body := s.get(t, "v1/dial?leaf_thickness=0.05&pick=turns&format=text"); status != 200 || body != "0.95" {
		t.Errorf("afterwards: %d %s", status, body)
	}
	if _, metrics := s.get(t, "metrics"); !strings.Contains(metrics, `resawd_problems_total{type="/problems/internal-error"} 0`) || strings.Contains(s.errors.String(), "panic") {
		t.Errorf("there were internal errors: %s", s.errors)
	}
}

// TestSlowHeader: a client that does not finish its header is disconnected.
func TestSlowHeader(t *testing.T) {
	s := start(t, "--read-header-timeout", "200ms")
	defer s.stop()
	c := s.dial(t)
	c.say(t, "GET / HTT")
	_ = c.SetReadDeadline(time.Now().Add(5 * time.Second))
	if text, err := io.ReadAll(c); err != nil || strings.Contains(string(text), " 200 ") {
		t.Errorf("it answers %q, %v", text, err)
	}
}

// TestHalfClosed: a client that closes its side after its request gets the answer.
func TestHalfClosed(t *testing.T) {
	s := start(t)
	defer s.stop()
	c := s.dial(t)
	c.say(t, getDial)
	closeWrite(t, c)
	if answer, body := c.hear(t, patience); answer.StatusCode != http.StatusOK || body != "0.95" {
		t.Errorf("status %d %s", answer.StatusCode, body)
	}
}

// TestHalfBodyClosed: a client that closes its side in the middle of a body is answered
// at once, not when its time is up.
func TestHalfBodyClosed(t *testing.T) {
	s := start(t, "--read-timeout", "2m", "--write-timeout", "3m")
	defer s.stop()
	for media, body := range map[string]string{"application/json": `{"leaf_thickness"`, "text/csv": "leaf_thickness,kerf\n0.05,0.0"} {
		c := s.dial(t)
		c.say(t, "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: "+media+"\r\nContent-Length: 390\r\n\r\n"+body)
		closeWrite(t, c)
		answer, text := c.hear(t, patience)
		if media == "application/json" && answer.StatusCode != http.StatusBadRequest || answer.StatusCode >= 500 {
			t.Errorf("%s: status %d %s", media, answer.StatusCode, text)
		}
	}
}

// TestHalfClosedPlan: a client that closes its side while its plan is searched for
// counts as gone, and its worker is free at once for the next.
func TestHalfClosedPlan(t *testing.T) {
	s := start(t, "--plan-workers", "1", "--plan-queue", "1")
	defer s.stop()
	c := s.dial(t)
	const hard = `{"time_limit_seconds": 60, "boards": [{"thickness": 3, "width": 7.3, "length": 41}, {"thickness": 2, "width": 9.1, "length": 67}], "parts": [` +
		`{"thickness": 0.05, "width": 2.3, "length": 17.1, "quantity": 600}, {"thickness": 0.07, "width": 3.1, "length": 13.7, "quantity": 700}, {"thickness": 0.09, "width": 1.9, "length": 19.3, "quantity": 800}, {"thickness": 0.11, "width": 2.7, "length": 11.9, "quantity": 900}]}`
	c.say(t, fmt.Sprintf("POST /v1/plan HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(hard), hard))
	s.waitMetric(t, "resawd_plans_running 1\n")
	closeWrite(t, c)
	s.waitMetric(t, "resawd_plans_running 0\n")
}

// waitMetric waits until the metrics have a line.
func (s *service) waitMetric(t *testing.T, line string) {
	t.Helper()
	until(t, "metrics that say "+line, func() bool {
		_, text := s.get(t, "metrics")
		return strings.Contains(text, "\n"+line)
	})
}

func closeWrite(t *testing.T, c *rawConn) {
	t.Helper()
	tcp, ok := c.Conn.(*net.TCPConn)
	if !ok {
		t.Fatal("no TCP")
	}
	if err := tcp.CloseWrite(); err != nil {
		t.Fatal(err)
	}
}

// TestFullDiskOfCommands: a command whose output cannot be written says so and fails.
func TestFullDiskOfCommands(t *testing.T) {
	for _, args := range [][]string{
		{"version"}, {"openapi"}, {"key", "new", "--name", "x"}, {"run", "../../testdata/orders/run.json"},
		{"run", "--format", "xlsx", "../../testdata/orders/run.json"}, {"plan", "../../testdata/orders/plan.json"}, {"bulk", "dial"},
	} {
		full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
		if err != nil {
			t.Skip(err)
		}
		command := exec.CommandContext(t.Context(), binary(t), args...)
		command.Env = append(os.Environ(), asProgram+"=1")
		var errors strings.Builder
		command.Stdin = strings.NewReader("leaf_thickness,kerf\n" + strings.Repeat("0.05,0.045\n", 2000))
		command.Stdout, command.Stderr = full, &errors
		if err := command.Run(); err == nil || !strings.Contains(errors.String(), "no space left on device") {
			t.Errorf("%v: %v, %s", args, err, errors.String())
		}
		full.Close()
	}
}

// TestFullDisk: requests are answered even if the log cannot be written.
func TestFullDisk(t *testing.T) {
	full, err := os.OpenFile("/dev/full", os.O_WRONLY, 0)
	if err != nil {
		t.Skip(err)
	}
	defer full.Close()
	address := freePort(t)
	command := exec.Command(binary(t), "serve")
	command.Env = append(os.Environ(), asProgram+"=1", "RESAWD_LISTEN="+address)
	command.Stderr = full
	if err := command.Start(); err != nil {
		t.Fatal(err)
	}
	defer func() { _ = command.Process.Kill(); _, _ = command.Process.Wait() }()
	untilReady(t, address)
	for range 300 {
		answer, err := http.Get("http://" + address + "/" + shownTurns)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		if answer.StatusCode != http.StatusOK {
			t.Fatalf("status %d", answer.StatusCode)
		}
	}
}

// TestKilledAndStarted: a service that was killed starts again at once, at the
// same address.
func TestKilledAndStarted(t *testing.T) {
	program, address := binary(t), freePort(t)
	for range 3 {
		c := process(t, []string{"RESAWD_LISTEN=" + address}, program, "serve")
		untilReady(t, address)
		if took := processorSeconds(t, c.Process.Pid); took > 1 { // 0.1 s; on a busy machine all else takes longer
			t.Errorf("ready after %.2f s of processor time", took)
		}
		if err := c.Process.Signal(syscall.SIGKILL); err != nil {
			t.Fatal(err)
		}
		_, _ = c.Process.Wait()
	}
}

// TestNoDescriptorsLeft opens more connections than the service may have files: it
// waits until there are some again, and answers.
func TestNoDescriptorsLeft(t *testing.T) {
	program, address := binary(t), freePort(t)
	process(t, []string{"RESAWD_LISTEN=" + address}, "/bin/sh", "-c", "ulimit -n 40; exec "+program+" serve")
	untilReady(t, address)
	var open []net.Conn
	for range 80 {
		conn, err := net.DialTimeout("tcp", address, time.Second)
		if err != nil {
			break
		}
		open = append(open, conn)
	}
	time.Sleep(300 * time.Millisecond)
	for _, conn := range open {
		conn.Close()
	}
	conn, err := net.Dial("tcp", address)
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	_ = conn.SetDeadline(time.Now().Add(patience))
	if _, err := io.WriteString(conn, getDial); err != nil {
		t.Fatal(err)
	}
	answer, err := http.ReadResponse(bufio.NewReader(conn), nil)
	if err != nil || answer.StatusCode != http.StatusOK {
		t.Errorf("afterwards: %v, %v", answer, err)
	}
	if len(open) < 40 {
		t.Errorf("only %d connections were opened", len(open))
	}
}

// asProgram is set in the environment of a test binary that is to be the program.
const asProgram = "RESAWD_AS_PROGRAM"

func TestMain(m *testing.M) {
	if address := os.Getenv(asBare); address != "" {
		log.Fatal(serveBare(address))
	}
	if os.Getenv(asProgram) != "" {
		main()
	}
	code := m.Run()
	closeOffices()
	os.Exit(code)
}

// binary is a program that does what resawd does if asProgram is set.
func binary(tb testing.TB) string {
	tb.Helper()
	program, err := os.Executable()
	if err != nil {
		tb.Fatal(err)
	}
	return program
}
