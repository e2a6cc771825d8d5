package api_test

import (
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"resawd/api"
	"resawd/api/apitest"
)

// TestTooLarge: a body one byte over the limit is refused by the limit, and one
// at the limit is read.
func TestTooLarge(t *testing.T) {
	const limit = 64
	server := apitest.Server(t, func(c *api.Config) { c.BodyLimit = limit })
	for size, want := range map[int]int{limit: http.StatusOK, limit + 1: http.StatusRequestEntityTooLarge} {
		const request = `{"leaf_thickness": 0.05}`
		body := request + strings.Repeat(" ", size-len(request))
		r := httptest.NewRequest(http.MethodPost, "/v1/dial", strings.NewReader(body))
		r.Header.Set("Content-Type", "application/json")
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, r)
		if answer.Code != want {
			t.Errorf("%d bytes: status %d: %s", size, answer.Code, answer.Body)
		}
		if want != http.StatusOK && (answer.Header().Get("Content-Type") != "application/problem+json" ||
			!strings.Contains(answer.Body.String(), `"type":"/problems/too-large"`) ||
			!strings.Contains(answer.Body.String(), "the limit of 64 bytes")) {
			t.Errorf("%d bytes: %s", size, answer.Body)
		}
	}
}

// brokenBody is a body whose reading panics, which nothing of ours does.
type brokenBody struct{}

func (brokenBody) Read([]byte) (int, error) { panic("a secret of the house") }

// TestInternalError: a panic becomes a problem that tells nothing.
func TestInternalError(t *testing.T) {
	r := httptest.NewRequest(http.MethodPost, "/v1/dial", io.NopCloser(brokenBody{}))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("X-Request-Id", "row")
	answer := httptest.NewRecorder()
	apitest.Server(t).ServeHTTP(answer, r)
	want := `{"type":"/problems/internal-error","title":"Something went wrong on our side","status":500,"detail":"the log tells more under the request ID","instance":"row","errors":[]}` + "\n"
	if answer.Code != http.StatusInternalServerError || answer.Body.String() != want {
		t.Errorf("status %d: %s", answer.Code, answer.Body)
	}
}
