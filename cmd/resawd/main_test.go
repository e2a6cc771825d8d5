package main

import (
	"bytes"
	"context"
	"io"
	"maps"
	"net"
	"net/http"
	"os"
	"path/filepath"
	"regexp"
	"strings"
	"sync"
	"testing"
	"time"

	"resawd/api/key"
)

func noEnv(string) string { return "" }

// capture runs the program to its end.
func capture(t *testing.T, stdin string, args ...string) (code int, out, errors string) {
	t.Helper()
	var o, e bytes.Buffer
	code = run(t.Context(), args, noEnv, strings.NewReader(stdin), &o, &e)
	return code, o.String(), e.String()
}

// told tells whether a text is as wanted: it contains something, or nothing is said.
func told(text, want string) bool {
	return strings.Contains(text, want) && (want != "" || text == "")
}

func TestCommands(t *testing.T) {
	const request = `{"board": {"thickness": 0.5, "width": 6, "length": 10}, "leaf_thickness": 0.05, "kerf": 0.045, "skim": 0.05}`
	for _, c := range []struct {
		name, stdin string
		args        []string
		code        int
		out, errors string // what each must contain; "": nothing is said
	}{
		{"nothing", "", nil, 0, "Usage: resawd COMMAND", ""},
		{"help", "", []string{"help"}, 0, "RESAWD_LISTEN", ""},
		{"version", "", []string{"version"}, 0, "development", ""},
		{"version with more", "", []string{"version", "x"}, 1, "", "resawd version: takes no arguments; x was given"},
		{"no such command", "", []string{"saw"}, 2, "", `there is no command "saw"`},
		{"help of a command", "", []string{"serve", "--help"}, 0, "  --read-timeout\n        longest wait for a whole request", ""},
		{"no such flag", "", []string{"serve", "--loud"}, 2, "", "resawd serve: flag provided but not defined: -loud\nresawd serve --help lists the flags\n"},
		{"serve with more", "", []string{"serve", "x"}, 1, "", `takes flags only; "x" was given`},
		{"no shop file", "", []string{"serve", "--shop", "nowhere.yaml"}, 1, "", "nowhere.yaml"},
		{"a device as shop file", "", []string{"serve", "--shop", "/dev/zero"}, 1, "", "resawd serve: shop file /dev/zero:\nit is a device or a pipe"},
		{"no address", "", []string{"serve", "--listen", ""}, 2, "", `invalid value "" for flag -listen: it takes HOST:PORT, such as 127.0.0.1:8080, or :8080 for every address`},
		{"an address without port", "", []string{"serve", "--listen", "localhost"}, 2, "", "it takes HOST:PORT"},
		{"an address with a port too high", "", []string{"serve", "--listen", ":65536"}, 2, "", "it takes HOST:PORT"},
		{"a time without a unit", "", []string{"serve", "--read-timeout", "20"}, 2, "", `invalid value "20" for flag -read-timeout: it takes a time with its unit, such as 20s or 1m30s, from 1ms to 1h0m0s`},
		{"a time below 0", "", []string{"serve", "--idle-timeout", "-1s"}, 2, "", "from 1ms to 1h0m0s"},
		{"a drain below 0", "", []string{"serve", "--drain-timeout", "-1s"}, 2, "", "from 0s to 1h0m0s"},
		{"a delay below 0", "", []string{"serve", "--drain-delay", "-1ns"}, 2, "", "from 0s to 1h0m0s"},
		{"reading longer than writing", "", []string{"serve", "--read-timeout", "30s"}, 1, "", "--read-timeout is 30s and --write-timeout 30s: it must be shorter"},
		{"a body limit of nothing", "", []string{"serve", "--body-limit", "0"}, 2, "", `invalid value "0" for flag -body-limit: it takes a whole number, from 1 to 67108864`},
		{"a body limit in words", "", []string{"serve", "--body-limit", "1MB"}, 2, "", "it takes a whole number"},
		{"fewer than no plan workers", "", []string{"serve", "--plan-workers", "-1"}, 2, "", "from 0 to 64"},
		{"more plan workers than sense", "", []string{"serve", "--plan-workers", "65"}, 2, "", "from 0 to 64"},
		{"a queue shorter than none", "", []string{"serve", "--plan-queue", "-1"}, 2, "", "from 0 to 1000"},
		{"a queue longer than patience", "", []string{"serve", "--plan-queue", "1001"}, 2, "", "from 0 to 1000"},
		{"no time for plans", "", []string{"serve", "--plan-time-limit", "0s"}, 2, "", "from 1ms to 1m0s"},
		{"too much time for plans", "", []string{"serve", "--plan-time-limit", "61s"}, 2, "", "from 1ms to 1m0s"},
		{"no connections", "", []string{"serve", "--connections", "0"}, 2, "", "from 1 to 100000"},
		{"no memory", "", []string{"serve", "--memory-limit", "63"}, 2, "", "from 64 to 1048576"},
		{"keys and none", "", []string{"serve", "--listen", ":0"}, 1, "", "other machines can reach :0: say who may ask with --keys, or let everybody ask with --open"},
		{"keys and everybody", "", []string{"serve", "--keys", "keys.yaml", "--open"}, 1, "", "--keys and --open contradict each other"},
		{"no keys file", "", []string{"serve", "--keys", "nowhere.yaml"}, 1, "", "keys file nowhere.yaml:\nno such file or directory"},
		{"keys in queries without keys", "", []string{"serve", "--key-in-query"}, 1, "", "--key-in-query has no effect without --keys"},
		{"half a certificate", "", []string{"serve", "--tls-cert", "x"}, 1, "", "--tls-cert and --tls-key go together"},
		{"no certificate", "", []string{"serve", "--tls-cert", "nowhere.pem", "--tls-key", "none.pem"}, 1, "", "certificate nowhere.pem with the key none.pem:\nopen nowhere.pem: no such file"},
		{"no certificate in a file", "", []string{"serve", "--tls-cert", "main.go", "--tls-key", "main.go"}, 1, "", "certificate main.go with the key main.go:\ntls: failed to find any PEM data"},
		{"neither open nor not", "", []string{"serve", "--open=maybe"}, 2, "", `invalid boolean value "maybe" for -open: it takes true or false`},
		{"a check of something", "", []string{"healthcheck", "x"}, 1, "", `takes flags only; "x" was given`},
		{"no network", "", []string{"serve", "--trusted-proxy", "10.0.0.0/40"}, 2, "", `"10.0.0.0/40" is not a network: give networks such as 10.0.0.0/8 or 192.168.1.5`},
		{"no origin", "", []string{"serve", "--cors-origin", "https://shop.example/"}, 2, "", `"https://shop.example/" is not an origin: give origins such as https://shop.example`},
		{"a rate below none", "", []string{"serve", "--rate-limit", "-1"}, 2, "", "from 0 to 1000000"},
		{"a key of nobody", "", []string{"key", "new"}, 1, "", "these flags make no key: line 1: name must have 1 to 60 letters"},
		{"a key for what nobody knows", "", []string{"key", "new", "--name", "x", "--roles", "use,own"}, 1, "", `roles are use, prices and metrics; "own" was given`},
		{"a key that was", "", []string{"key", "new", "--name", "x", "--expires", "soon"}, 1, "", "expires must be a day such as 2027-12-31"},
		{"a key, without new", "", []string{"key"}, 1, "", "takes new: resawd key new --name NAME >> keys.yaml"},
		{"no service to check", "", []string{"healthcheck", "--listen", "127.0.0.1:1"}, 1, "", "connection refused"},
		{"a run sheet as a table", request, []string{"run", "-"}, 0, "1    skim     -     -", ""},
		{"a run sheet as csv", request, []string{"run", "--format", "csv", "-"}, 0, "\n3,leaf,2,,\"billet no. 2, top edge up\",0.05,0.095,0.95,0,95,85,2,0.285,60,0.215,\n", ""},
		{"flags behind the file", request, []string{"run", "-", "--format", "csv"}, 0, "\n3,leaf,2,", ""},
		{"flags between", "leaf_thickness;kerf\n0,05;0,05\n", []string{"bulk", "dial", "--decimal", "comma", "units=in"}, 0, "\n0,05;0,05;0,1;", ""},
		{"a file that looks like a flag", "", []string{"run", "--", "--format"}, 1, "", "--format: no such file"},
		{"no such flag behind", request, []string{"run", "-", "--loud"}, 2, "", "flag provided but not defined: -loud"},
		{"a run sheet as json", request, []string{"run", "--format", "json", "-"}, 0, `"left_on_fence":0.215`, ""},
		{"a run sheet as nothing known", request, []string{"run", "--format", "pdf", "-"}, 1, "", "format=pdf: it must be one of json, csv, text"},
		{"a run sheet of no file", "", []string{"run"}, 1, "", "give one request file"},
		{"a run sheet of a missing file", "", []string{"run", "nowhere.json"}, 1, "", "nowhere.json"},
		{"a run sheet of a bad request", `{"board": {"thickness": 0}, "leaf_thickness": 0.05}`, []string{"run", "-"}, 1, "",
			"resawd run: 3 fields need attention\n  board.thickness must be above 0 in; 0 in was given\n  board.width is missing\n  board.length is missing\n"},
		{"a run sheet of no JSON", "board: 1", []string{"run", "-"}, 1, "", "the body is not valid JSON"},
		{"the document", "", []string{"openapi"}, 0, "openapi: 3.1", ""},
		{"the document as JSON", "", []string{"openapi", "--format", "json"}, 0, `"openapi": "3.1`, ""},
		{"the document as nothing known", "", []string{"openapi", "--format", "xml"}, 1, "", "takes --format yaml or json and nothing else; given were --format xml"},
		{"the demo order", "", []string{"run", "../../testdata/orders/run.json"}, 0, "book face to the fence, bookmatch with no. 2", ""},
	} {
		t.Run(c.name, func(t *testing.T) {
			code, out, errors := capture(t, c.stdin, c.args...)
			if code != c.code || !told(out, c.out) || !told(errors, c.errors) {
				t.Errorf("code %d\nout %s\nerrors %s", code, out, errors)
			}
		})
	}
}

// syncBuffer is a buffer that a running service may write to.
type syncBuffer struct {
	mu sync.Mutex
	b  bytes.Buffer
}

func (s *syncBuffer) Write(p []byte) (int, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.Write(p)
}

func (s *syncBuffer) String() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return s.b.String()
}

// service is the program while it serves.
type service struct {
	url    string
	stop   context.CancelFunc
	code   chan int
	out    *syncBuffer
	errors *syncBuffer
}

var startPage = regexp.MustCompile(`https?://[^/]+/`)

// start starts the service on a free port and waits until it is ready.
func start(t testing.TB, args ...string) *service {
	t.Helper()
	return startWith(t, nil, args...)
}

// startWith starts the service with further variables in its environment.
func startWith(t testing.TB, more map[string]string, args ...string) *service {
	t.Helper()
	ctx, stop := context.WithCancel(t.Context())
	s := &service{stop: stop, code: make(chan int, 1), out: &syncBuffer{}, errors: &syncBuffer{}}
	env := map[string]string{"RESAWD_LISTEN": "127.0.0.1:0", "RESAWD_DRAIN_DELAY": "0s"}
	maps.Copy(env, more)
	go func() {
		s.code <- run(ctx, append([]string{"serve"}, args...), func(name string) string { return env[name] }, strings.NewReader(""), s.out, s.errors)
	}()
	until(t, "a service that is ready", func() bool {
		if len(s.code) > 0 {
			t.Fatalf("it ended: %s%s", s.out, s.errors)
		}
		s.url = startPage.FindString(s.out.String())
		return s.url != ""
	})
	return s
}

// patience is how long a test waits for what is sure to come: on a busy machine a
// moment may last long.
const patience = time.Minute

// until waits until a condition holds.
func until(tb testing.TB, what string, is func() bool) {
	tb.Helper()
	for began := time.Now(); !is(); time.Sleep(10 * time.Millisecond) {
		if time.Since(began) > patience {
			tb.Fatalf("it never came to %s", what)
		}
	}
}

// address is where the service listens.
func (s *service) address() string {
	return strings.TrimSuffix(strings.TrimPrefix(s.url, "http://"), "/")
}

func (s *service) get(t *testing.T, path string) (int, string) {
	t.Helper()
	answer, err := http.Get(s.url + path)
	if err != nil {
		t.Fatal(err)
	}
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	return answer.StatusCode, string(body)
}

func TestServe(t *testing.T) {
	s := start(t)
	if status, body := s.get(t, "v1/dial?leaf_thickness=0.05&kerf=0.045&pick=turns&format=text"); status != 200 || body != "0.95" {
		t.Errorf("dial answers %d %q", status, body)
	}
	if status, body := s.get(t, "readyz"); status != 200 || body != "ready\n" {
		t.Errorf("readyz answers %d %q", status, body)
	}
	host := s.address()
	if code, _, errors := capture(t, "", "healthcheck", "--listen", host); code != 0 {
		t.Errorf("healthcheck exits %d: %s", code, errors)
	}
	if _, body := s.get(t, "metrics"); !strings.Contains(body, `resawd_http_requests_total{method="GET",route="/v1/dial",status="200"} 1`) ||
		!strings.Contains(body, `resawd_leaves_computed_total 1`) || !strings.Contains(body, `resawd_build_info{version="development"} 1`) {
		t.Errorf("metrics\n%s", body)
	}
	s.stop()
	if code := <-s.code; code != 0 {
		t.Errorf("exit code %d: %s", code, s.errors)
	}
	if !strings.Contains(s.errors.String(), `"route":"/v1/dial","status":200`) {
		t.Errorf("log\n%s", s.errors)
	}
	if _, err := net.DialTimeout("tcp", host, time.Second); err == nil {
		t.Error("still listening after the stop")
	}
}

// A key's entry goes to the standard output, the key itself to the standard error.
func TestKeyNew(t *testing.T) {
	code, entry, beside := capture(t, "", "key", "new", "--name", "office-sheet", "--roles", "use,prices", "--expires", "2999-12-31")
	secret := beside[strings.LastIndex(beside, " ")+1 : len(beside)-1]
	ring, err := key.Parse([]byte(entry))
	if code != 0 || err != nil || strings.Contains(entry, secret) {
		t.Fatalf("code %d, entry %s, error %v", code, entry, err)
	}
	if k, ok := ring.Find(secret); !ok || !k.May(key.Prices) || k.May(key.Metrics) || k.Expired(time.Now()) {
		t.Errorf("%q opens %+v, %v", secret, k, ok)
	}
}

func TestEnvironment(t *testing.T) {
	var out, complaints bytes.Buffer
	env := map[string]string{"RESAWD_PLAN_WORKERS": "many"}
	code := run(t.Context(), []string{"serve"}, func(name string) string { return env[name] }, strings.NewReader(""), &out, &complaints)
	if want := "resawd serve: RESAWD_PLAN_WORKERS is \"many\": it takes a whole number, from 0 to 64\n"; code != 1 || complaints.String() != want {
		t.Errorf("code %d, errors %s", code, &complaints)
	}
}

// TestUnreadVariables: a variable with a slip in its name is told, not passed over.
func TestUnreadVariables(t *testing.T) {
	t.Setenv("RESAWD_SHOPS", "shop.yaml")
	t.Setenv("RESAWD_SHOP", "")
	s := start(t)
	defer s.stop()
	s.waitFor(t, `"level":"WARN","msg":"no flag of serve reads these variables of the environment","names":[`)
	if log := s.errors.String(); !strings.Contains(log, `"RESAWD_SHOPS"`) || strings.Contains(log, `"RESAWD_SHOP"`) {
		t.Errorf("log\n%s", log)
	}
}

// TestLists: blanks behind commas are left out, and origins are as browsers send them.
func TestLists(t *testing.T) {
	var n networks
	if err := n.Set("10.0.0.0/8, 127.0.0.1"); err != nil || n.String() != "10.0.0.0/8,127.0.0.1/32" {
		t.Errorf("%v, %v", n, err)
	}
	var o origins
	if err := o.Set("https://Shop.Example, http://127.0.0.1:3000"); err != nil || o.String() != "https://shop.example,http://127.0.0.1:3000" {
		t.Errorf("%v, %v", o, err)
	}
}

// TestStoppedAtOnce: a service that is told to stop before it is ready ends well.
func TestStoppedAtOnce(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	var out, complaints syncBuffer
	if code := run(ctx, []string{"serve", "--listen", "127.0.0.1:0", "--drain-delay", "0s"}, noEnv, strings.NewReader(""), &out, &complaints); code != 0 {
		t.Errorf("code %d, errors %s", code, complaints.String())
	}
}

// TestDrain stops the service while a request is half sent: the request is still
// answered.
func TestDrain(t *testing.T) {
	s := start(t)
	conn, err := net.Dial("tcp", s.address())
	if err != nil {
		t.Fatal(err)
	}
	defer conn.Close()
	const body = `{"leaf_thickness": 0.05, "kerf": 0.045}`
	_, err = io.WriteString(conn, "POST /v1/dial?pick=turns&format=text HTTP/1.1\r\nHost: x\r\nContent-Type: application/json\r\nContent-Length: 39\r\n\r\n"+body[:20])
	if err != nil {
		t.Fatal(err)
	}
	s.waitMetric(t, "resawd_http_requests_in_flight 2\n") // this one and that for the metrics
	s.stop()
	s.waitFor(t, `"msg":"stopping"`)
	if _, err = io.WriteString(conn, body[20:]); err != nil {
		t.Fatal(err)
	}
	answer, err := io.ReadAll(conn)
	if err != nil || !bytes.HasPrefix(answer, []byte("HTTP/1.1 200 OK")) || !bytes.HasSuffix(answer, []byte("0.95")) ||
		!bytes.Contains(answer, []byte("Connection: close")) {
		t.Errorf("answer %q, %v", answer, err)
	}
	if code := <-s.code; code != 0 {
		t.Errorf("exit code %d: %s", code, s.errors)
	}
}

// TestServeWithDemoFile: the demo shop's file, as deploy/compose mounts it, is the demo shop.
func TestServeWithDemoFile(t *testing.T) {
	s := start(t, "--shop", "../../api/shop/demo.yaml")
	defer s.stop()
	if _, body := s.get(t, "v1/dial?leaf_thickness=0.05"); !strings.Contains(body, "demo shop") {
		t.Errorf("its values do not warn: %s", body)
	}
}

func TestServeWithShopFile(t *testing.T) {
	demo, err := os.ReadFile("../../api/shop/demo.yaml")
	if err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(t.TempDir(), "shop.yaml")
	if err := os.WriteFile(file, bytes.Replace(demo, []byte("kerf: 0.045"), []byte("kerf: 0.050"), 1), 0o600); err != nil {
		t.Fatal(err)
	}
	s := start(t, "--shop", file)
	defer s.stop()
	if _, body := s.get(t, "v1/dial?leaf_thickness=0.05&pick=turns&format=text"); body != "1" {
		t.Errorf("0.05 and 0.05 in a lead of 0.1 are one turn; the answer is %s", body)
	}
	if _, body := s.get(t, "v1/dial?leaf_thickness=0.05"); !strings.Contains(body, `"warnings":[]`) {
		t.Errorf("the shop's own values warn: %s", body)
	}
}
