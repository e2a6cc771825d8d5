package api_test

import (
	"encoding/json"
	"fmt"
	"net/http"
	"net/http/httptest"
	"runtime"
	"strings"
	"sync"
	"testing"
	"time"

	"resawd/api/apitest"
	"resawd/api/endpoint"
)

// post sends a JSON body to a server without a network.
func post(server http.Handler, target, body string) *httptest.ResponseRecorder {
	request := httptest.NewRequest(http.MethodPost, target, strings.NewReader(body))
	request.Header.Set("Content-Type", "application/json")
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, request)
	return answer
}

// get asks a server without a network.
func get(server http.Handler, target string) *httptest.ResponseRecorder {
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, httptest.NewRequest(http.MethodGet, target, nil))
	return answer
}

func problem(t *testing.T, answer *httptest.ResponseRecorder) (p endpoint.Problem) {
	t.Helper()
	if err := json.Unmarshal(answer.Body.Bytes(), &p); err != nil {
		t.Fatalf("%v: %.200s", err, answer.Body)
	}
	return p
}

// allocated returns how many bytes a function allocates.
func allocated(f func()) uint64 {
	var before, after runtime.MemStats
	runtime.ReadMemStats(&before)
	f()
	runtime.ReadMemStats(&after)
	return after.TotalAlloc - before.TotalAlloc
}

// A megabyte of faults is answered with a hundred of them and the number of the others.
func TestFaultsAreBounded(t *testing.T) {
	server := apitest.Server(t)
	fields := func(n int, of string) string {
		parts := make([]string, n)
		for i := range parts {
			parts[i] = fmt.Sprintf(of, i)
		}
		return strings.Join(parts, ",")
	}
	for _, c := range []struct {
		name, path, body string
		status, total    int
	}{
		{"unknown fields", "/v1/dial", "{" + fields(80_000, `"x%d":1`) + `,"leaf_thickness":0.05,"kerf":0.05}`, 400, 80_000},
		{"one field again and again", "/v1/dial", "{" + strings.Repeat(`"kerf":1,`, 50_000) + `"leaf_thickness":0.05}`, 400, 49_999},
		{"entries that are no objects", "/v1/plan", `{"boards":[` + strings.Repeat("1,", 200_000) + `1],"parts":[{"thickness":1,"quantity":1}]}`, 400, 2001},
		{"empty boards", "/v1/plan", `{"boards":[` + strings.Repeat("{},", 200_000) + `{}],"parts":[{"thickness":1,"quantity":1}]}`, 422, 2002},
		{"empty defects", "/v1/plan", `{"boards":[` + strings.Repeat(`{"thickness":1,"defects":[`+strings.Repeat("{},", 99)+`{}]},`, 1999) +
			`{"thickness":1}],"parts":[{"thickness":1,"quantity":1}]}`, 422, 1999 * 200},
		{"empty defects, and one that is none", "/v1/plan", `{"boards":[{"thickness":1,"defects":[1]},` + strings.Repeat(`{"thickness":1,"defects":[`+strings.Repeat("{},", 99)+`{}]},`, 1998) +
			`{"thickness":1}],"parts":[{"thickness":1,"quantity":1}]}`, 400, 1998*200 + 1},
	} {
		t.Run(c.name, func(t *testing.T) {
			var answer *httptest.ResponseRecorder
			bytes := allocated(func() { answer = post(server, c.path, c.body) })
			if answer.Code != c.status || answer.Body.Len() > 100_000 {
				t.Fatalf("status %d, %d bytes: %.300s", answer.Code, answer.Body.Len(), answer.Body)
			}
			p := problem(t, answer)
			last := p.Errors[len(p.Errors)-1]
			if len(p.Errors) != 101 || last.Detail != fmt.Sprintf("and %d more", c.total-100) || last.Code != "more" || last.Pointer != "" {
				t.Errorf("%d entries, the last %+v; want %d faults in all", len(p.Errors), last, c.total)
			}
			if p.Detail != fmt.Sprintf("%d fields need attention", c.total) {
				t.Errorf("detail %s", p.Detail)
			}
			if most := 100 * uint64(len(c.body)); bytes > most {
				t.Errorf("%d kB are allocated, at most %d are enough", bytes>>10, most>>10)
			}
			t.Logf("%d kB of body, %d kB allocated, %d kB of answer", len(c.body)>>10, bytes>>10, answer.Body.Len()>>10)
		})
	}
}

// A cell is one short line whatever is wrong.
func TestCellIsOneLine(t *testing.T) {
	server := apitest.Server(t)
	for _, target := range []string{
		"/v1/dial?errors=cell&format=text&pick=turns&" + strings.Repeat("x%0Ay=1&", 500),
		"/v1/dial?errors=cell&format=text&pick=a%0Ab&leaf_thickness=0.05",
		"/v1/dial?errors=cell&format=text&pick=turns&leaf_thickness=%0A%E2%80%A8x",
		"/v1/dial?errors=cell&format=csv&rounding=a%0D%0Ab&leaf_thickness=1",
	} {
		answer := get(server, target)
		text := strings.TrimPrefix(answer.Body.String(), "error\n")
		if answer.Code != 200 || strings.ContainsAny(strings.TrimSuffix(text, "\n"), "\n\r\u2028") || len(text) > 2100 || !strings.Contains(text, "error: ") {
			t.Errorf("%.60s: status %d, %d bytes: %q", target, answer.Code, len(text), text)
		}
	}
}

// A name that begins with a line break, or holds one, stays in its cell and
// becomes no formula.
func TestNamesInCSV(t *testing.T) {
	server := apitest.Server(t)
	for _, c := range []struct{ name, want string }{
		{`\n=1+1`, "' =1+1,"},
		{`\r\n=1+1`, "'  =1+1,"},
		{`a\nb`, "\na b,"},
		{`-5`, "\n-5,"},
		{`@a`, "\n'@a,"},
	} {
		body := `{"boards": [{"name": "` + c.name + `", "thickness": 0.5, "price": 10}], "parts": [{"thickness": 0.05, "quantity": 2}], "kerf": 0.045, "hold_back": 0.125}`
		answer := post(server, "/v1/plan?format=csv", body)
		if text := answer.Body.String(); answer.Code != 200 || strings.Count(text, "\n") != 2 || !strings.Contains(text, c.want) {
			t.Errorf("%q: status %d\n%s", c.name, answer.Code, text)
		}
	}
}

// Every answer says how long it may be kept.
func TestCacheControlOnAll(t *testing.T) {
	server := apitest.Server(t)
	for _, c := range []struct{ method, target, want string }{
		{"GET", "/v1/dial?leaf_thickness=0.05", "no-cache"},
		{"HEAD", "/v1/dial?leaf_thickness=0.05", "no-cache"},
		{"GET", "/v1/dial", "no-store"},
		{"POST", "/v1/dial", "no-store"},
		{"GET", "/v1/shop", "no-cache"},
		{"GET", "/v1/species", "no-cache"},
		{"GET", "/", "no-cache"},
		{"GET", "/docs", "no-cache"},
		{"GET", "/openapi.json", "no-cache"},
		{"GET", "/problems/bad-request", "no-cache"},
		{"GET", "/nowhere", "no-store"},
		{"DELETE", "/v1/dial", "no-store"},
		{"OPTIONS", "/v1/dial", "no-store"},
		{"GET", "/healthz", "no-store"},
		{"GET", "/readyz", "no-store"},
		{"GET", "/metrics", "no-store"},
	} {
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, httptest.NewRequest(c.method, c.target, nil))
		if got := answer.Header().Get("Cache-Control"); got != c.want {
			t.Errorf("%s %s: %q, want %q", c.method, c.target, got, c.want)
		}
	}
}

// With more requests than can be worked on, each is answered, or refused with a time to
// ask again, and the memory that was held is given back.
func TestOverload(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	body := `{"board":{"thickness":100,"width":6,"length":20},"leaf_thickness":0.02,"kerf":0.04,"hold_back":0,"travel":200}`
	var mu sync.Mutex
	statuses := map[int]int{}
	var clients sync.WaitGroup
	for range 300 {
		clients.Go(func() {
			answer, err := http.Post(server.URL+"/v1/run?format=html", "application/json", strings.NewReader(body))
			if err != nil {
				t.Error(err)
				return
			}
			time.Sleep(10 * time.Millisecond) // it reads slowly
			answer.Body.Close()
			if answer.StatusCode == http.StatusServiceUnavailable && answer.Header.Get("Retry-After") != "1" {
				t.Errorf("Retry-After is %q", answer.Header.Get("Retry-After"))
			}
			mu.Lock()
			statuses[answer.StatusCode]++
			mu.Unlock()
		})
	}
	clients.Wait()
	if statuses[200] == 0 || statuses[503] == 0 || statuses[200]+statuses[503] != 300 {
		t.Errorf("statuses %v", statuses)
	}
	answer := get(server.Config.Handler, "/metrics")
	if text := answer.Body.String(); !strings.Contains(text, "\nresawd_held_bytes 0\n") || !strings.Contains(text, "\nresawd_calculations_waiting 0\n") {
		t.Errorf("memory stays held or calculations wait")
	}
	var stats runtime.MemStats
	runtime.ReadMemStats(&stats)
	t.Logf("statuses %v, %d MiB from the system", statuses, stats.Sys>>20)
}
