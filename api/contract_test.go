package api_test

import (
	"bytes"
	"fmt"
	"io"
	"net/http"
	"net/http/httptest"
	"strings"
	"testing"

	"github.com/go-json-experiment/json/jsontext"

	"resawd/api/apitest"
	"resawd/api/contract"
)

// exchangeRow is one row of the contract.
type exchangeRow contract.Row

// TestContract sends every row to a real server.
func TestContract(t *testing.T) {
	server := httptest.NewServer(apitest.Server(t))
	defer server.Close()
	refusals, successes := 0, 0
	for _, row := range contractRows(t) {
		if row.Status >= 400 {
			refusals++
		} else {
			successes++
		}
		t.Run(row.File+"/"+row.Name, func(t *testing.T) { row.check(t, server.URL) })
	}
	if refusals <= successes || successes == 0 {
		t.Errorf("%d refusals and %d successes: there must be more refusals", refusals, successes)
	}
}

func (row exchangeRow) check(t *testing.T, base string) {
	t.Helper()
	answer := row.send(t, base)
	defer answer.Body.Close()
	body, err := io.ReadAll(answer.Body)
	if err != nil {
		t.Fatal(err)
	}
	if answer.StatusCode != row.Status {
		t.Errorf("status %d, want %d", answer.StatusCode, row.Status)
	}
	if got := answer.Header.Get("Content-Type"); got != row.MediaType {
		t.Errorf("media type %q, want %q", got, row.MediaType)
	}
	for name, want := range row.WantHeader {
		if got := answer.Header.Values(name); fmt.Sprint(got) != fmt.Sprint(want) {
			t.Errorf("header %s is %q, want %q", name, got, want)
		}
	}
	if got, want := normal(string(body), row.MediaType), normal(row.WantBody, row.MediaType); got != want {
		t.Errorf("body\n%s\nwant\n%s", got, want)
	}
}

func (row exchangeRow) send(t *testing.T, base string) *http.Response {
	t.Helper()
	request, err := http.NewRequest(row.Method, base+row.Target, strings.NewReader(row.Body))
	if err != nil {
		t.Fatal(err)
	}
	request.Header = row.Header.Clone()
	request.Header.Set("X-Request-ID", "row")
	answer, err := http.DefaultTransport.RoundTrip(request)
	if err != nil {
		t.Fatal(err)
	}
	return answer
}

// normal lays out JSON in one way, and leaves anything else as it is.
func normal(body, mediaType string) string {
	value := jsontext.Value(bytes.Clone([]byte(body)))
	if strings.Contains(mediaType, "json") && value.Indent() == nil {
		return string(value)
	}
	return strings.TrimRight(body, "\n")
}

// contractRows reads all rows.
func contractRows(t testing.TB) []exchangeRow {
	t.Helper()
	rows, err := contract.Read("../testdata/contract")
	if err != nil {
		t.Fatal(err)
	}
	list := make([]exchangeRow, len(rows))
	for i, row := range rows {
		list[i] = exchangeRow(row)
	}
	return list
}
