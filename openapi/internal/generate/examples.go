package main

import (
	"net/http"
	"net/url"
	"strings"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/contract"
	"resawd/openapi/internal/spec"
)

// exampleName is the key of an example where there is one.
const exampleName = "contract"

// row finds the first contract row of a path that succeeds in a media type, by
// its request line and body alone.
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

// exampleOf gives a media type the answer of its first row, with the request
// that it answers.
func (f *finisher) exampleOf(path, method, mediaType string, m *spec.Media) {
	row, ok := f.row(path, method, mediaType)
	if !ok || m == nil || mediaType == "text/html" || mediaType == "image/svg+xml" {
		return // whole pages and drawings would drown the rest
	}
	e := spec.Example{Summary: row.Name, Description: row.Method + " " + row.Target, Value: jsontext.Value(row.WantBody)}
	if mediaType != "application/json" {
		e.Value = literal(row.WantBody)
	}
	m.Examples.Set(exampleName, e)
}

// exampleQuery gives the query of the row that is the example of a GET.
func (f *finisher) exampleQuery(path string) url.Values {
	row, _ := f.row(path, "GET", "application/json")
	_, query, _ := strings.Cut(row.Target, "?")
	values, _ := url.ParseQuery(query) // the row was answered: it can be read
	return values
}
