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

// TestTooLarge: a body of the longest length allowed is read, and one of a byte more is
// refused.
func TestTooLarge(t *testing.T) {
	const limit = 64
	server := apitest.Server(t, func(c *api.Config) { c.BodyLimit = limit })
	for size, want := range map[int]int{limit: http.StatusOK, limit + 1: http.StatusRequestEntityTooLarge} {
		const request = `{"leaf_thickness": 0.05}`
		r := httptest.NewRequest(http.MethodPost, "/v1/dial", strings.NewReader(request+strings.Repeat(" ", size-len(request))))
		r.Header.Set("Content-Type", "application/json")
		r.Header.Set("X-Request-Id", "row")
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, r)
		const tooLarge = `{"type":"/problems/too-large","title":"The body is too large","status":413,"detail":"the body is longer than the limit of 64 bytes","instance":"row","errors":[]}` + "\n"
		if answer.Code != want || want != http.StatusOK && answer.Body.String() != tooLarge {
			t.Errorf("%d bytes: status %d: %s", size, answer.Code, answer.Body)
		}
	}
}

// brokenBody is a body that panics when it is read.
type brokenBody struct{}

func (brokenBody) Read([]byte) (int, error) { panic("a secret of the house") }

// TestInternalError: a panic becomes a problem that gives nothing away.
func TestInternalError(t *testing.T) {
	r := httptest.NewRequest(http.MethodPost, "/v1/dial", io.NopCloser(brokenBody{}))
	r.Header.Set("Content-Type", "application/json")
	r.Header.Set("X-Request-Id", "row")
	answer := httptest.NewRecorder()
	apitest.Server(t).ServeHTTP(answer, r)
	want := `{"type":"/problems/internal-error","title":"Something went wrong on our side","status":500,"detail":"the log has more under the request ID","instance":"row","errors":[]}` + "\n"
	if answer.Code != http.StatusInternalServerError || answer.Body.String() != want {
		t.Errorf("status %d: %s", answer.Code, answer.Body)
	}
}
