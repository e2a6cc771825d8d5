package main

import (
	"context"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api"
	"resawd/api/contract"
	"resawd/openapi/internal/spec"
)

// exampleName is the key of a single example.
const exampleName = "contract"

// row finds the first contract row of a path that succeeds with a media type, and whose
// request is its request line and body alone.
func (f *finisher) row(path, method, mediaType string) (contract.Row, bool) {
	for _, row := range f.rows {
		at, query, _ := strings.Cut(row.Target, "?")
		answered, _, _ := strings.Cut(row.MediaType, ";")
		special := row.Table() || row.Header.Get("Accept") != "" || strings.Contains(query, "decimal=") || strings.Contains(query, "errors=") ||
			mediaType == "application/json" && strings.Contains(query, "pick=")
		if at == path && row.Method == method && row.Status == http.StatusOK && answered == mediaType && !special {
			return row, true
		}
	}
	return contract.Row{}, false
}

// exampleOf sets the example of a media type: the answer of its first row, with the
// request. If no row has the media type, the service answers the first row that has
// JSON in that form.
func (f *finisher) exampleOf(path, method, mediaType string, m *spec.Media) {
	row, ok := f.row(path, method, mediaType)
	if m == nil || len(m.Examples) > 0 {
		return
	}
	if !ok {
		f.askFor(path, method, mediaType, m)
		return
	}
	e := spec.Example{Summary: row.Name, Description: row.Method + " " + row.Target, Value: jsontext.Value(row.WantBody)}
	if mediaType != "application/json" {
		e.Value = literal(row.WantBody)
	}
	m.Examples.Set(exampleName, e)
}

// askFor has the service answer the first row in another form. Of a page or a drawing
// it keeps the beginning.
func (f *finisher) askFor(path, method, mediaType string, m *spec.Media) {
	row, ok := f.row(path, method, "application/json")
	query, known := f.queryFor(path, mediaType)
	if !ok || !known {
		return
	}
	target := row.Target + "?" + query
	if strings.Contains(row.Target, "?") {
		target = row.Target + "&" + query
	}
	request := httptest.NewRequestWithContext(context.Background(), method, target, strings.NewReader(row.Body))
	request.Header.Set("Content-Type", "application/json")
	answer := httptest.NewRecorder()
	f.service.ServeHTTP(answer, request)
	if answer.Code != http.StatusOK {
		return
	}
	e := spec.Example{Summary: row.Name, Description: method + " " + target, Value: literal(strings.TrimRight(answer.Body.String(), "\n"))}
	if start := answer.Body.String(); mediaType == "text/html" || mediaType == "image/svg+xml" {
		start = start[:min(len(start), beginning)]
		e.Value = literal(start[:strings.LastIndexByte(start, '>')+1])
	}
	m.Examples.Set(exampleName, e)
}

// beginning is how many bytes show how a page begins.
const beginning = 240

// queryFor asks for a form; for text it picks the first scalar of the answer.
func (f *finisher) queryFor(path, mediaType string) (query string, ok bool) {
	switch mediaType {
	case "text/html":
		return "format=html", true
	case "image/svg+xml":
		return "format=svg", true
	case typeCSV:
		return "format=csv", true
	case "text/plain":
		if k, ok := api.CalculatorAt(path); ok {
			return "format=text&pick=" + f.firstScalar(k.Answer.String()), true
		}
	}
	return "", false
}

// firstScalar is the name of the answer's first field that is always there and neither
// an object nor a list.
func (f *finisher) firstScalar(kind string) string {
	for _, field := range f.src.structs[kind].fields {
		if neededInAnswer(field) && f.src.structs[field.kind] == nil && !strings.HasPrefix(field.kind, "[]") {
			return field.name
		}
	}
	return "units"
}

// exampleQuery is the query of the row that is the example of a GET.
func (f *finisher) exampleQuery(path string) url.Values {
	row, _ := f.row(path, "GET", "application/json")
	_, query, _ := strings.Cut(row.Target, "?")
	values, _ := url.ParseQuery(query) // the row was answered: it can be read
	return values
}
