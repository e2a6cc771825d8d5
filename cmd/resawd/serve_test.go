package main

import (
	"bufio"
	"fmt"
	"io"
	"net"
	"net/http"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// rawConn is a connection for HTTP written by hand.
type rawConn struct {
	net.Conn
	in *bufio.Reader
}

func (s *service) dial(t *testing.T) *rawConn {
	t.Helper()
	conn, err := net.Dial("tcp", s.address())
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { conn.Close() })
	return &rawConn{conn, bufio.NewReader(conn)}
}

// say sends text as it is.
func (c *rawConn) say(t *testing.T, text string) {
	t.Helper()
	if _, err := io.WriteString(c, text); err != nil {
		t.Fatal(err)
	}
}

// hear reads one answer and its body, within a time.
func (c *rawConn) hear(t *testing.T, within time.Duration) (*http.Response, string) {
	t.Helper()
	if err := c.SetReadDeadline(time.Now().Add(within)); err != nil {
		t.Fatal(err)
	}
	answer, err := http.ReadResponse(c.in, nil)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer, string(body)
}

// getDial is a plain request.
const getDial = "GET /v1/dial?leaf_thickness=0.05&kerf=0.045&pick=turns&format=text HTTP/1.1\r\nHost: x\r\n\r\n"

func TestHangupDoesNotKill(t *testing.T) {
	s := start(t)
	defer s.stop()
	if err := syscall.Kill(syscall.Getpid(), syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
	s.waitFor(t, "SIGHUP")
	if status, _ := s.get(t, "healthz"); status != http.StatusOK {
		t.Errorf("status %d, log %s", status, s.errors)
	}
}

// TestConnectionsAreCapped opens one connection more than may be open: it is served
// once another one closes.
func TestConnectionsAreCapped(t *testing.T) {
	s := start(t, "--connections", "2")
	defer s.stop()
	first, second, third := s.dial(t), s.dial(t), s.dial(t)
	for _, c := range []*rawConn{first, second} {
		c.say(t, getDial)
		if answer, _ := c.hear(t, patience); answer.StatusCode != http.StatusOK {
			t.Fatalf("status %d", answer.StatusCode)
		}
	}
	third.say(t, getDial)
	_ = third.SetReadDeadline(time.Now().Add(200 * time.Millisecond))
	if _, err := third.in.Peek(1); err == nil {
		t.Fatal("a third connection was answered")
	}
	first.Close()
	if answer, body := third.hear(t, patience); answer.StatusCode != http.StatusOK || len(body) == 0 {
		t.Errorf("status %d, body %q", answer.StatusCode, body)
	}
}

// TestStopWhileConnectionsWait stops a service all of whose connections are
// taken.
func TestStopWhileConnectionsWait(t *testing.T) {
	s := start(t, "--connections", "1", "--drain-timeout", "5s")
	first := s.dial(t)
	first.say(t, getDial)
	first.hear(t, patience)
	s.dial(t)
	s.stop()
	select {
	case code := <-s.code:
		if code != 0 {
			t.Errorf("exit code %d: %s", code, s.errors)
		}
	case <-time.After(patience):
		t.Error("it does not stop")
	}
}

func TestHeaderIsBounded(t *testing.T) {
	s := start(t)
	defer s.stop()
	c := s.dial(t)
	c.say(t, "GET /v1/species HTTP/1.1\r\nHost: x\r\nAccept: "+strings.Repeat("text/html;q=0.1,", 2000)+"*/*\r\n\r\n")
	if answer, _ := c.hear(t, patience); answer.StatusCode != http.StatusRequestHeaderFieldsTooLarge {
		t.Errorf("a header of 32 kB: status %d", answer.StatusCode)
	}
}

// TestNoPostIsLost stops the service under load, on connections that are reused: every
// request that was sent gets its answer.
func TestNoPostIsLost(t *testing.T) {
	var sent, lost atomic.Int64
	var clients sync.WaitGroup
	s := startWith(t, map[string]string{"RESAWD_DRAIN_DELAY": "500ms"})
	const body = `{"leaf_thickness": 0.05, "kerf": 0.045}`
	request := fmt.Sprintf("POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: %d\r\n\r\n%s", len(body), body)
	for i := range 16 {
		c := s.dial(t)
		clients.Go(func() {
			for {
				if _, err := io.WriteString(c, request); err != nil {
					lost.Add(1)
					return
				}
				sent.Add(1)
				answer, err := http.ReadResponse(c.in, nil)
				if err != nil || answer.StatusCode != http.StatusOK {
					lost.Add(1)
					return
				}
				if _, err := io.Copy(io.Discard, answer.Body); err != nil {
					lost.Add(1)
					return
				}
				if answer.Close {
					return // as told: the next request would go to another connection
				}
				time.Sleep(time.Duration(i) * time.Millisecond)
			}
		})
	}
	until(t, "100 requests", func() bool { return sent.Load() >= 100 || lost.Load() > 0 })
	s.stop()
	clients.Wait()
	if code := <-s.code; code != 0 || lost.Load() > 0 {
		t.Errorf("exit code %d, %d sent, %d lost", code, sent.Load(), lost.Load())
	}
}

// TestSlowBody sends half a body and no more: it is answered with 408, and the service
// does not wait for ever.
func TestSlowBody(t *testing.T) {
	s := start(t, "--read-timeout", "200ms", "--write-timeout", "2s")
	defer s.stop()
	c := s.dial(t)
	c.say(t, "POST /v1/dial HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 39\r\n\r\n"+`{"leaf_thickness"`)
	answer, body := c.hear(t, patience)
	if answer.StatusCode != http.StatusRequestTimeout || !strings.Contains(body, `"type":"/problems/timed-out"`) {
		t.Errorf("status %d: %s", answer.StatusCode, body)
	}
}

// TestKeyIsNotLogged sends a key in every place that a client may put it: neither the log
// nor the metrics have it.
func TestKeyIsNotLogged(t *testing.T) {
	secret, entry := newKey(t, "laptop", "use,metrics")
	keys := filepath.Join(t.TempDir(), "keys.yaml")
	write(t, keys, []byte(entry))
	s := start(t, "--keys", keys, "--key-in-query")
	defer s.stop()
	const version = " HTTP/1.1\r\nHost: x\r\nConnection: close\r\n"
	for _, request := range []string{
		"GET /v1/dial?key=KEY" + version,
		"GET /v1/dial?key=KEY&key=KEY" + version,
		"GET /v1/dial?Key=KEY" + version,
		"GET /v1/dial?key=KEY&%zz" + version,
		"GET /v1/KEY" + version,
		"GET /use/KEY" + version,
		"GET /problems/KEY" + version,
		"KEY /v1/dial" + version,
		"GET http://KEY@x/v1/dial" + version,
		"GET /v1/dial HTTP/KEY\r\n",
		"KEY\r\n",
		"GET /v1/dial" + version + "Authorization: KEY\r\n",
		"GET /v1/dial" + version + "Authorization: Basic KEY\r\n",
		"GET /v1/dial" + version + "Authorization: Bearer KEY\r\nX-Request-Id: KEY\r\n",
		"GET /v1/dial" + version + "Authorization: Bearer KEY\r\nX-Forwarded-For: KEY\r\nUser-Agent: KEY\r\nCookie: KEY\r\nReferer: KEY\r\nOrigin: KEY\r\nHost: KEY\r\n",
		"POST /v1/dial" + version + "Content-Type: KEY\r\nContent-Length: KEY\r\n",
		"POST /v1/dial" + version + "Authorization: Bearer KEY\r\nContent-Type: application/json\r\nContent-Length: 53\r\n\r\n{\"KEY\":0}",
	} {
		c := s.dial(t)
		c.say(t, strings.ReplaceAll(request, "KEY", secret)+"\r\n")
		if answer, _ := c.hear(t, patience); answer.StatusCode < 400 {
			t.Errorf("%q: status %d", request, answer.StatusCode)
		}
	}
	s.waitFor(t, `"method":"POST"`)
	time.Sleep(2 * flushAfter)
	_, metrics := s.getWith(t, secret, "metrics")
	if all := s.errors.String() + s.out.String() + metrics; strings.Contains(all, secret) || !strings.Contains(all, `"method":"other"`) || !strings.Contains(all, `"key":"laptop"`) {
		t.Errorf("it has the key %s, or neither its name nor an odd method:\n%s", secret, all)
	}
}
