package main

import (
	"bytes"
	"crypto/ecdsa"
	"crypto/elliptic"
	"crypto/rand"
	"crypto/tls"
	"crypto/x509"
	"encoding/pem"
	"math/big"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"strings"
	"sync"
	"sync/atomic"
	"syscall"
	"testing"
	"time"
)

// write replaces a file in one step, as editors and Kubernetes do.
func write(t *testing.T, path string, text []byte) {
	t.Helper()
	if err := os.WriteFile(path+".new", text, 0o600); err != nil {
		t.Fatal(err)
	}
	if err := os.Rename(path+".new", path); err != nil {
		t.Fatal(err)
	}
}

func hangUp(t *testing.T) {
	t.Helper()
	if err := syscall.Kill(syscall.Getpid(), syscall.SIGHUP); err != nil {
		t.Fatal(err)
	}
}

// waitFor waits until the service says something in its log.
func (s *service) waitFor(t *testing.T, word string) {
	t.Helper()
	until(t, "a log that says "+word, func() bool { return strings.Contains(s.errors.String(), word) })
}

// getWith asks with a key.
func (s *service) getWith(t *testing.T, secret, path string) (int, string) {
	t.Helper()
	request, err := http.NewRequest(http.MethodGet, s.url+path, nil)
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Authorization", "Bearer "+secret)
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	var body bytes.Buffer
	_, _ = body.ReadFrom(answer.Body)
	return answer.StatusCode, body.String()
}

// newKey makes a key as an operator does.
func newKey(t *testing.T, name, roles string) (secret, entry string) {
	t.Helper()
	code, entry, beside := capture(t, "", "key", "new", "--name", name, "--roles", roles)
	if code != 0 {
		t.Fatal(beside)
	}
	return beside[strings.LastIndex(beside, " ")+1 : len(beside)-1], entry
}

const shownTurns = "v1/dial?leaf_thickness=0.05&pick=turns&format=text"

// TestReload changes keys and shop while the service runs: SIGHUP makes it read them
// again, and files that cannot be read change nothing.
func TestReload(t *testing.T) {
	demo, err := os.ReadFile("../../api/shop/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	folder := t.TempDir()
	shopFile, keysFile := filepath.Join(folder, "shop.yaml"), filepath.Join(folder, "keys.yaml")
	old, oldEntry := newKey(t, "old", "use,metrics")
	young, youngEntry := newKey(t, "young", "use,metrics")
	write(t, shopFile, demo)
	write(t, keysFile, []byte(oldEntry))
	s := start(t, "--shop", shopFile, "--keys", keysFile)
	defer s.stop()
	if status, body := s.getWith(t, old, shownTurns); status != 200 || body != "0.95" {
		t.Fatalf("at the start: %d %s", status, body)
	}
	if status, _ := s.getWith(t, young, shownTurns); status != 401 {
		t.Errorf("a key of tomorrow: status %d", status)
	}

	write(t, shopFile, bytes.Replace(demo, []byte("kerf: 0.045"), []byte("kerf: 0.050"), 1))
	write(t, keysFile, []byte(youngEntry))
	hangUp(t)
	s.waitFor(t, `"a file was read again","file":"keys"`)
	if status, body := s.getWith(t, young, shownTurns); status != 200 || body != "1" {
		t.Errorf("0.05 and 0.05 in a lead of 0.1 are 1 turn: %d %s", status, body)
	}
	if status, _ := s.getWith(t, old, shownTurns); status != 401 {
		t.Errorf("a key of yesterday: status %d", status)
	}

	write(t, shopFile, []byte("units: in\nleed: none\n"))
	write(t, keysFile, []byte("- name: nobody\n"))
	hangUp(t)
	s.waitFor(t, `what it held stays in force","file":"keys"`)
	if status, body := s.getWith(t, young, shownTurns); status != 200 || body != "1" {
		t.Errorf("after bad files: %d %s", status, body)
	}
	_, metrics := s.getWith(t, young, "metrics")
	for _, want := range []string{
		`resawd_config_last_reload_successful{file="shop"} 0`, `resawd_config_last_reload_successful{file="keys"} 0`,
		`resawd_config_reloads_total{file="keys",result="failed"} 1`, `resawd_config_reloads_total{file="keys",result="read"} 2`,
	} {
		if !strings.Contains(metrics, want+"\n") {
			t.Errorf("the metrics do not tell %s", want)
		}
	}
	if log := s.errors.String(); strings.Contains(log, old) || strings.Contains(log, young) || !strings.Contains(log, `unknown field \"leed\"`) {
		t.Errorf("log\n%s", log)
	}
}

// TestDoubtfulShop: a shop file of inch figures under millimetres is used, and doubted
// wherever its operator may look.
func TestDoubtfulShop(t *testing.T) {
	demo, err := os.ReadFile("../../api/shop/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	inches := bytes.Replace(demo, []byte("units: in"), []byte("units: mm"), 1)
	const doubt = "line 47: blades[1].kerf is 0.045 mm, where at least 0.3 mm is usual: check the figure and its unit"
	file := filepath.Join(t.TempDir(), "shop.yaml")
	write(t, file, inches)
	s := start(t, "--shop", file)
	defer s.stop()
	s.waitFor(t, `"level":"WARN","msg":"the shop file may be wrong","path":"`+file+`","warnings":["line 12: saws[0].wheel_diameter is 14 mm`)
	if _, body := s.get(t, "v1/shop"); !strings.Contains(body, `"warnings":["line 12: `) || !strings.Contains(body, doubt) {
		t.Errorf("the shop is %s", body)
	}
	write(t, file, demo)
	hangUp(t)
	s.waitFor(t, `"a file was read again","file":"shop"`)
	if _, body := s.get(t, "v1/shop"); !strings.Contains(body, `"warnings":[]`) {
		t.Errorf("the mended shop is %s", body)
	}
	write(t, file, inches)
	hangUp(t)
	until(t, "a second warning", func() bool { return strings.Count(s.errors.String(), "the shop file may be wrong") == 2 })
	if code, out, beside := capture(t, "leaf_thickness\n1\n", "bulk", "--shop", file, "dial", "units=mm"); code != 0 || !strings.Contains(beside, "shop file "+file+": "+doubt+"\n") || strings.Contains(out, "blades[1]") {
		t.Errorf("code %d, %s, beside it %s", code, out, beside)
	}
}

// TestReloadStorm sends SIGHUP again and again, with good files and bad ones, under
// load: every request is answered by one file or the other.
func TestReloadStorm(t *testing.T) {
	demo, err := os.ReadFile("../../api/shop/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "shop.yaml")
	write(t, file, demo)
	s := start(t, "--shop", file)
	defer s.stop()
	var stop atomic.Bool
	var asked atomic.Int64
	var clients sync.WaitGroup
	for range 2 {
		clients.Go(func() {
			for !stop.Load() {
				status, body := s.get(t, shownTurns)
				if asked.Add(1); status != 200 || body != "0.95" && body != "1" {
					t.Errorf("status %d, %s", status, body)
				}
			}
		})
	}
	for i := 0; i < 60 || asked.Load() < 100; i++ {
		write(t, file, [][]byte{demo, []byte("units: [["), bytes.Replace(demo, []byte("kerf: 0.045"), []byte("kerf: 0.050"), 1)}[i%3])
		hangUp(t)
		time.Sleep(5 * time.Millisecond)
	}
	stop.Store(true)
	clients.Wait()
}

// selfSigned writes a certificate for this machine, and its key.
func selfSigned(t *testing.T, folder string, serial int64) (cert, key string) {
	t.Helper()
	private, err := ecdsa.GenerateKey(elliptic.P256(), rand.Reader)
	if err != nil {
		t.Fatal(err)
	}
	template := &x509.Certificate{SerialNumber: big.NewInt(serial), NotAfter: time.Now().Add(time.Hour), IPAddresses: []net.IP{net.IPv4(127, 0, 0, 1)}}
	der, err := x509.CreateCertificate(rand.Reader, template, template, private.Public(), private)
	if err != nil {
		t.Fatal(err)
	}
	bytes, err := x509.MarshalPKCS8PrivateKey(private)
	if err != nil {
		t.Fatal(err)
	}
	cert, key = filepath.Join(folder, "cert.pem"), filepath.Join(folder, "key.pem")
	write(t, cert, pem.EncodeToMemory(&pem.Block{Type: "CERTIFICATE", Bytes: der}))
	write(t, key, pem.EncodeToMemory(&pem.Block{Type: "PRIVATE KEY", Bytes: bytes}))
	return cert, key
}

// TestTLS asks over TLS, with either version of HTTP, before and after the certificate
// is renewed.
func TestTLS(t *testing.T) {
	folder := t.TempDir()
	cert, key := selfSigned(t, folder, 1)
	s := start(t, "--tls-cert", cert, "--tls-key", key)
	defer s.stop()
	serial := func(http2 bool) (string, int64) {
		transport := &http.Transport{TLSClientConfig: &tls.Config{InsecureSkipVerify: true}, ForceAttemptHTTP2: http2}
		defer transport.CloseIdleConnections()
		request, err := http.NewRequest(http.MethodGet, s.url+"healthz", nil)
		if err != nil {
			t.Fatal(err)
		}
		answer, err := transport.RoundTrip(request)
		if err != nil {
			t.Fatal(err)
		}
		answer.Body.Close()
		return answer.Proto, answer.TLS.PeerCertificates[0].SerialNumber.Int64()
	}
	for http2, want := range map[bool]string{false: "HTTP/1.1", true: "HTTP/2.0"} {
		if proto, number := serial(http2); proto != want || number != 1 {
			t.Errorf("%s with certificate %d, want %s", proto, number, want)
		}
	}
	if code, _, errors := capture(t, "", "healthcheck", "--listen", strings.TrimPrefix(strings.TrimSuffix(s.url, "/"), "https://"), "--tls-cert", cert); code != 0 {
		t.Errorf("healthcheck: %s", errors)
	}
	selfSigned(t, folder, 2)
	hangUp(t)
	s.waitFor(t, `"a file was read again","file":"certificate"`)
	if _, number := serial(true); number != 2 {
		t.Errorf("after the renewal the certificate is %d", number)
	}
}

// TestMetricsAside reads the metrics at their own address, without a key.
func TestMetricsAside(t *testing.T) {
	_, entry := newKey(t, "x", "use")
	keys := filepath.Join(t.TempDir(), "keys.yaml")
	write(t, keys, []byte(entry))
	free, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		t.Fatal(err)
	}
	at := free.Addr().String()
	free.Close()
	s := start(t, "--keys", keys, "--metrics-listen", at)
	defer s.stop()
	answer, err := http.Get("http://" + at + "/metrics")
	if err != nil {
		t.Fatal(err)
	}
	answer.Body.Close()
	if status, _ := s.get(t, "metrics"); answer.StatusCode != http.StatusOK || status != http.StatusNotFound {
		t.Errorf("status %d at their own address, %d at the service's", answer.StatusCode, status)
	}
}
