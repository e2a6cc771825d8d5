package openapi_test

import (
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api"
	"resawd/api/apitest"
	"resawd/openapi/internal/spec"
)

// TestExamples sends every example and finds the answer that the document gives
// for it. Each operation of a calculator has one.
func TestExamples(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	sent := 0
	for name, op := range operations(document(t)) {
		t.Run(name, func(t *testing.T) {
			method, path, _ := strings.Cut(name, " ")
			if method == http.MethodPost {
				sent += sendBody(t, server.URL+path, op)
				return
			}
			sent += sendParameters(t, server.URL+path, op)
			for mediaType, m := range contentOf(op) {
				for _, x := range m.Examples {
					sent++
					_, target, _ := strings.Cut(x.Value.Description, " ")
					answer, body := get(t, server.URL+target, nil)
					compare(t, answer, body, mediaType, x.Value.Value)
				}
			}
		})
	}
	if sent == 0 {
		t.Error("no example was sent")
	}
}

func contentOf(op *spec.Operation) map[string]spec.Media {
	list := map[string]spec.Media{}
	for _, m := range op.Responses.At("200").Content {
		list[m.Name] = m.Value
	}
	return list
}

// sendBody sends the example body of a POST.
func sendBody(t *testing.T, url string, op *spec.Operation) int {
	t.Helper()
	examples := op.RequestBody.Content.At("application/json").Examples
	if len(examples) == 0 {
		t.Error("there is no example of a request: testdata/contract needs a POST that succeeds")
	}
	for _, x := range examples {
		request, err := http.NewRequest(http.MethodPost, url, strings.NewReader(string(x.Value.Value)))
		if err != nil {
			t.Fatal(err)
		}
		request.Header.Set("Content-Type", "application/json")
		answer, body := send(t, request)
		compare(t, answer, body, "application/json", op.Responses.At("200").Content.At("application/json").Examples.At(x.Name).Value)
		for mediaType, m := range contentOf(op) {
			for _, y := range m.Examples {
				if strings.Contains(y.Value.Description, "?format=") && y.Value.Summary == x.Value.Summary {
					sendForm(t, url, string(x.Value.Value), mediaType, y.Value)
				}
			}
		}
	}
	return len(examples)
}

// sendForm asks for another form of the answer to an example.
func sendForm(t *testing.T, url, body, mediaType string, want spec.Example) {
	t.Helper()
	_, query, _ := strings.Cut(want.Description, "?")
	request, err := http.NewRequest(http.MethodPost, url+"?"+query, strings.NewReader(body))
	if err != nil {
		t.Fatal(err)
	}
	request.Header.Set("Content-Type", "application/json")
	answer, got := send(t, request)
	compare(t, answer, got, mediaType, want.Value)
}

// sendParameters sends a query of the examples that the parameters have.
func sendParameters(t *testing.T, base string, op *spec.Operation) int {
	t.Helper()
	query := url.Values{}
	for _, p := range op.Parameters {
		if p.Example != nil {
			query.Set(p.Name, plain(p.Example))
		}
	}
	if len(op.Parameters) > 0 && len(query) == 0 {
		t.Error("no parameter has an example: testdata/contract needs a GET that succeeds in JSON")
	}
	answer, body := get(t, base+"?"+query.Encode(), nil)
	if len(query) > 0 {
		compare(t, answer, body, "application/json", op.Responses.At("200").Content.At("application/json").Examples.At("contract").Value)
	}
	return len(query)
}

func plain(v jsontext.Value) string {
	if text, err := jsontext.AppendUnquote(nil, v); err == nil {
		return string(text)
	}
	return string(v)
}

// compare finds the answer as the document has it.
func compare(t *testing.T, answer *http.Response, body, mediaType string, want jsontext.Value) {
	t.Helper()
	got, _, _ := strings.Cut(answer.Header.Get("Content-Type"), ";")
	if answer.StatusCode != http.StatusOK || got != mediaType {
		t.Errorf("%s: status %d, %s: %s", answer.Request.URL, answer.StatusCode, got, body)
		return
	}
	if mediaType == "text/html" || mediaType == "image/svg+xml" {
		if start := plain(want); len(start) < 100 || !strings.HasPrefix(body, start) {
			t.Errorf("%s does not begin with %s", answer.Request.URL, start)
		}
		return
	}
	if mediaType != "application/json" {
		if text := plain(want); strings.TrimRight(body, "\n") != text {
			t.Errorf("%s: got\n%s\nwant\n%s", answer.Request.URL, body, text)
		}
		return
	}
	if got, want := compact(body), compact(string(want)); got != want {
		t.Errorf("%s: got\n%s\nwant\n%s", answer.Request.URL, got, want)
	}
}

func compact(text string) string {
	v := jsontext.Value(text)
	if err := v.Compact(); err != nil {
		return text
	}
	return string(v)
}

// TestProblemExamples: each status that is refused has an example, a problem of
// that status.
func TestProblemExamples(t *testing.T) {
	s := newSchemas(t)
	found := 0
	for _, r := range document(t).Components.Responses {
		m := r.Value.Content.At("application/problem+json")
		if m == nil {
			continue
		}
		found++
		if len(m.Examples) == 0 {
			t.Errorf("%s has no example", r.Name)
		}
		for _, x := range m.Examples {
			if err := s.check(problemSchema, string(x.Value.Value)); err != nil {
				t.Errorf("%s: %v", r.Name, err)
			}
		}
	}
	if found < 9 {
		t.Errorf("only %d statuses", found)
	}
}

// TestMediaExamples: a calculator has an example of every form that it answers
// in, but of workbooks, which are no text.
func TestMediaExamples(t *testing.T) {
	list := operations(document(t))
	for _, k := range api.Calculators() {
		for _, method := range []string{"GET ", "POST "} {
			if op := list[method+k.Path]; op != nil {
				for mediaType, m := range contentOf(op) {
					binary := strings.HasPrefix(mediaType, "application/vnd.")
					if len(m.Examples) == 0 && !binary {
						t.Errorf("%s%s has no example of %s", method, k.Path, mediaType)
					}
				}
			}
		}
	}
}
