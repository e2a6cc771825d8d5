package api_test

import (
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"
	"time"

	"resawd/api"
	"resawd/api/apitest"
)

// FuzzQuery: no query makes any endpoint panic or answer with a 5xx.
func FuzzQuery(f *testing.F) {
	for _, row := range contractRows(f) {
		if _, query, ok := strings.Cut(row.Target, "?"); ok && row.Method == http.MethodGet {
			f.Add(query)
		}
	}
	server := apitest.Server(f)
	f.Fuzz(func(t *testing.T, query string) {
		for _, k := range api.Calculators() {
			request := httptest.NewRequest(http.MethodGet, k.Path, nil)
			request.URL.RawQuery = query
			mustAnswer(t, server, request)
		}
	})
}

// fuzzPlanTime bounds the plans of a fuzzer's orders.
const fuzzPlanTime = 100 * time.Millisecond

// FuzzBody: no body makes any endpoint panic, answer with a 5xx or search much
// longer than it may.
func FuzzBody(f *testing.F) {
	for _, row := range contractRows(f) {
		if row.Method == http.MethodPost {
			f.Add(row.Body)
		}
	}
	server := apitest.Server(f, func(c *api.Config) { c.PlanTimeLimit = fuzzPlanTime })
	f.Fuzz(func(t *testing.T, body string) {
		for _, k := range api.Calculators() {
			request := httptest.NewRequest(http.MethodPost, k.Path, strings.NewReader(body))
			request.Header.Set("Content-Type", "application/json")
			start := time.Now()
			mustAnswer(t, server, request)
			if took := time.Since(start); took > fuzzPlanTime+5*time.Second { // the machine may be busy
				t.Errorf("%s took %s", k.Path, took)
			}
		}
	})
}

// FuzzControls: no form of answer, place to pick or header makes any endpoint panic
// or answer with a 5xx.
func FuzzControls(f *testing.F) {
	f.Add("format=text&pick=turns&decimal=comma&errors=cell", "text/html;q=0.5, */*;q=0", "gzip;q=1, br")
	f.Add("pick=/steps/0/~1&format=csv", "application/json;q=1.0001", "identity;q=0")
	f.Add("pick=%2F%2F&errors=cell&errors=", ",;q=,*", "\x00")
	server := apitest.Server(f)
	const good = "leaf_thickness=0.05&kerf=0.045&board_thickness=1&board_width=5&board_length=10&leaf_count=3&"
	f.Fuzz(func(t *testing.T, query, accept, coding string) {
		for _, path := range []string{"/v1/dial", "/v1/run", "/v1/shop", "/docs"} {
			request := httptest.NewRequest(http.MethodGet, path, nil)
			request.URL.RawQuery = good + query
			request.Header.Set("Accept", accept)
			request.Header.Set("Accept-Encoding", coding)
			request.Header.Set("If-None-Match", accept)
			request.Header.Set("X-Request-Id", coding)
			mustAnswer(t, server, request)
		}
	})
}

func mustAnswer(t *testing.T, server http.Handler, request *http.Request) {
	t.Helper()
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, request)
	if answer.Code >= 500 || answer.Code < 200 {
		t.Fatalf("%s %s: status %d: %s", request.Method, request.URL, answer.Code, answer.Body)
	}
}
