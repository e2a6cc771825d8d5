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

func mustAnswer(t *testing.T, server http.Handler, request *http.Request) {
	t.Helper()
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, request)
	if answer.Code >= 500 || answer.Code < 200 {
		t.Fatalf("%s %s: status %d: %s", request.Method, request.URL, answer.Code, answer.Body)
	}
}
