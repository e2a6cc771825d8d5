package api_test

import (
	"bytes"
	"compress/gzip"
	"io"
	"net/http"
	"net/http/httptest"
	"sync"
	"testing"

	"resawd/api/apitest"
)

// longRun is a run of some thousand leaves.
const longRun = "/v1/run?board_thickness=100&board_width=6&board_length=10&leaf_thickness=0.02&kerf=0.03&travel=200&hold_back=0"

// getCoded asks with an Accept-Encoding header, and with an If-None-Match unless tag is
// empty.
func getCoded(server http.Handler, target, coding, tag string) *httptest.ResponseRecorder {
	request := httptest.NewRequest(http.MethodGet, target, nil)
	request.Header.Set("Accept-Encoding", coding)
	if tag != "" {
		request.Header.Set("If-None-Match", tag)
	}
	answer := httptest.NewRecorder()
	server.ServeHTTP(answer, request)
	return answer
}

func unzipped(t *testing.T, body []byte) []byte {
	t.Helper()
	z, err := gzip.NewReader(bytes.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	plain, err := io.ReadAll(z)
	if err != nil {
		t.Fatal(err)
	}
	return plain
}

// A long answer is compressed for a client that accepts that, and has a tag of its own.
// Uncompressed it is the same answer.
func TestCompressed(t *testing.T) {
	server := apitest.Server(t)
	plain := get(server, longRun)
	coded := getCoded(server, longRun, "br, gzip;q=0.5", "")
	if plain.Code != 200 || coded.Header().Get("Content-Encoding") != "gzip" || !bytes.Equal(unzipped(t, coded.Body.Bytes()), plain.Body.Bytes()) {
		t.Fatalf("status %d, coding %q", plain.Code, coded.Header().Get("Content-Encoding"))
	}
	if coded.Body.Len() > plain.Body.Len()/4 {
		t.Errorf("%d bytes become %d", plain.Body.Len(), coded.Body.Len())
	}
	tag, own := plain.Header().Get("Etag"), coded.Header().Get("Etag")
	if tag == own || tag == "" || own == "" || coded.Header().Get("Vary") != "Accept, Accept-Encoding, Authorization" {
		t.Errorf("tags %s and %s, Vary %s", tag, own, coded.Header().Get("Vary"))
	}
	if again := getCoded(server, longRun, "gzip", own); again.Code != http.StatusNotModified || again.Header().Get("Etag") != own || again.Body.Len() > 0 {
		t.Errorf("the same again: status %d, tag %s", again.Code, again.Header().Get("Etag"))
	}
	t.Logf("%d bytes become %d", plain.Body.Len(), coded.Body.Len())
}

func TestNotCompressed(t *testing.T) {
	server := apitest.Server(t)
	for _, c := range []struct{ name, target, coding string }{
		{"not asked for", longRun, ""},
		{"asked not to", longRun, "gzip;q=0, *;q=1"},
		{"another coding", longRun, "br, deflate"},
		{"none at all", longRun, "*;q=0"},
		{"a short answer", "/v1/dial?leaf_thickness=0.05&pick=turns&format=text", "gzip"},
		{"a workbook", "/v1/run?board_thickness=1&board_width=6&board_length=10&leaf_thickness=0.1&format=xlsx", "gzip"},
	} {
		if answer := getCoded(server, c.target, c.coding, ""); answer.Code != 200 || answer.Header().Get("Content-Encoding") != "" {
			t.Errorf("%s: status %d, coding %q", c.name, answer.Code, answer.Header().Get("Content-Encoding"))
		}
	}
}

// Many clients at once all get the answer, compressed or not, under the tag of what
// they got.
func TestCompressedAtOnce(t *testing.T) {
	server := apitest.Server(t)
	want := get(server, longRun)
	var clients sync.WaitGroup
	for range 16 {
		clients.Go(func() {
			answer := getCoded(server, longRun, "gzip", "")
			body, coded := answer.Body.Bytes(), answer.Header().Get("Content-Encoding") == "gzip"
			if answer.Code == http.StatusServiceUnavailable {
				return
			}
			if coded {
				body = unzipped(t, body)
			}
			if !bytes.Equal(body, want.Body.Bytes()) || coded == (answer.Header().Get("Etag") == want.Header().Get("Etag")) {
				t.Errorf("coded %v, tag %s, %d bytes", coded, answer.Header().Get("Etag"), len(body))
			}
		})
	}
	clients.Wait()
}
