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

// TestProblemPage: a browser that asks for a page is told what is wrong on one, with a
// way to the form that has what was asked; everybody else gets JSON.
func TestProblemPage(t *testing.T) {
	const browser = "text/html,application/xhtml+xml,application/xml;q=0.9,image/avif,*/*;q=0.8"
	server := apitest.Server(t)
	for _, c := range []struct {
		target, accept string
		status         int
		media          string
		want           []string
	}{
		{"/v1/run?format=html&board_thickness=2&board_width=%3Cb%3E&board_name=a+b&leaf_thickness=0.1", browser, 400, "text/html", []string{
			"<h1>The request cannot be read</h1>", "<li>board width &#34;&lt;b&gt;&#34; has no number where one is needed</li>", "<li>board length is missing</li>",
			`<a href="/?board_name=a&#43;b&amp;board_thickness=2&amp;board_width=%3Cb%3E&amp;leaf_thickness=0.1">`, "Status 400",
		}},
		{"/v1/run?format=html&board_thickness=0.1&board_width=6&board_length=20&leaf_thickness=0.1", browser, 422, "text/html", []string{"0.125 in comes from the fixing tape"}},
		{"/v1/gauge?format=html&readings=x&key=secret", browser, 400, "text/html", []string{`<li>readings, entry 1, entry 1 &#34;x&#34; has`, `<a href="/use/gauge?readings=x">`}},
		{"/v1/run?format=html&board_thickness=2", "*/*", 422, "application/problem+json", nil},
		{"/v1/run?format=html&board_thickness=2", "", 422, "application/problem+json", nil},
		{"/v1/run?format=html&board_thickness=2", "text/html, application/problem+json", 422, "application/problem+json", nil},
		{"/v1/run?board_thickness=2", browser, 422, "application/problem+json", nil},
		{"/v1/dial?leaf_thickness=0", browser, 422, "application/problem+json", nil},
	} {
		r := httptest.NewRequest(http.MethodGet, c.target, http.NoBody)
		r.Header.Set("Accept", c.accept)
		answer := httptest.NewRecorder()
		server.ServeHTTP(answer, r)
		if answer.Code != c.status || !strings.HasPrefix(answer.Header().Get("Content-Type"), c.media) {
			t.Errorf("%s for %q: status %d, %s", c.target, c.accept, answer.Code, answer.Header().Get("Content-Type"))
		}
		for _, want := range c.want {
			if !strings.Contains(answer.Body.String(), want) {
				t.Errorf("%s lacks %s:\n%s", c.target, want, answer.Body)
			}
		}
		if h := answer.Header(); h.Get("Cache-Control") != "no-store" || c.media == "text/html" && h.Get("Content-Security-Policy") == "" {
			t.Errorf("%s: headers %v", c.target, h)
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
