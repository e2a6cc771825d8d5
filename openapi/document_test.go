package openapi_test

import (
	"errors"
	"io"
	"net/http"
	"net/http/httptest"
	"slices"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"
	"github.com/goccy/go-yaml"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/openapi"
	"resawd/openapi/internal/spec"
)

func document(tb testing.TB) *spec.Document {
	tb.Helper()
	doc, err := spec.Parse(openapi.JSON)
	if err != nil {
		tb.Fatal(err)
	}
	return doc
}

// operations lists the operations of the document as method and path.
func operations(doc *spec.Document) map[string]*spec.Operation {
	list := map[string]*spec.Operation{}
	for _, p := range doc.Paths {
		if p.Value.Get != nil {
			list["GET "+p.Name] = p.Value.Get
		}
		if p.Value.Post != nil {
			list["POST "+p.Name] = p.Value.Post
		}
	}
	return list
}

// TestRoutes: the document has the operations that the router has under /v1
// and for those who run the service, and no others.
func TestRoutes(t *testing.T) {
	documented := operations(document(t))
	routed := map[string]bool{}
	for _, route := range apitest.Server(t).Routes() {
		method, path, _ := strings.Cut(route, " ")
		probe := path == "/healthz" || path == "/readyz" || path == "/metrics"
		if (strings.HasPrefix(path, "/v1/") || probe) && method != http.MethodHead && method != http.MethodOptions {
			routed[route] = true
			if documented[route] == nil {
				t.Errorf("%s is not in the document", route)
			}
		}
	}
	for route := range documented {
		if !routed[route] {
			t.Errorf("%s is in the document and not in the router", route)
		}
	}
	if len(routed) < 2*len(api.Calculators()) {
		t.Errorf("%d routes for %d calculators", len(routed), len(api.Calculators()))
	}
}

// TestForms: JSON and YAML say the same.
func TestForms(t *testing.T) {
	fromYAML, err := yaml.YAMLToJSON(openapi.YAML)
	if err != nil {
		t.Fatal(err)
	}
	got, want := jsontext.Value(fromYAML), jsontext.Value(openapi.JSON).Clone()
	if err := errors.Join(got.Canonicalize(), want.Canonicalize()); err != nil { // RFC 8785: one way to write numbers
		t.Fatal(err)
	}
	if string(got) != string(want) {
		t.Error("openapi.yaml and openapi.json differ")
	}
}

// TestServed: the document and its page are served as they are embedded, and
// the page names every path and may load nothing.
func TestServed(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	page, err := openapi.Page()
	if err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		path, mediaType string
		body            []byte
	}{
		{"/openapi.json", "application/json", openapi.JSON},
		{"/openapi.yaml", "application/yaml", openapi.YAML},
		{"/docs", "text/html; charset=utf-8", page},
	} {
		answer, body := get(t, server.URL+c.path, nil)
		if answer.StatusCode != http.StatusOK || answer.Header.Get("Content-Type") != c.mediaType || body != string(c.body) {
			t.Errorf("%s: status %d, %s, %d bytes", c.path, answer.StatusCode, answer.Header.Get("Content-Type"), len(body))
		}
		again, _ := get(t, server.URL+c.path, http.Header{"If-None-Match": {answer.Header.Get("ETag")}})
		if again.StatusCode != http.StatusNotModified {
			t.Errorf("%s: status %d for the same ETag", c.path, again.StatusCode)
		}
	}
	for _, p := range document(t).Paths {
		if !strings.Contains(string(page), p.Name+"</code>") {
			t.Errorf("the page does not name %s", p.Name)
		}
	}
	answer, _ := get(t, server.URL+"/docs", nil)
	policy := strings.Split(answer.Header.Get("Content-Security-Policy"), "; ")
	if !slices.Contains(policy, "default-src 'none'") || strings.Contains(string(page), "<script") || strings.Contains(string(page), "http") && strings.Contains(string(page), "src=") {
		t.Errorf("the page could load something: %v", policy)
	}
}

func get(t *testing.T, url string, header http.Header) (*http.Response, string) {
	t.Helper()
	request, err := http.NewRequest(http.MethodGet, url, nil)
	if err != nil {
		t.Fatal(err)
	}
	if header != nil {
		request.Header = header
	}
	return send(t, request)
}

func send(t *testing.T, request *http.Request) (*http.Response, string) {
	t.Helper()
	answer, err := http.DefaultTransport.RoundTrip(request)
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
